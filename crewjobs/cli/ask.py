"""`crewjobs ask N WHO WHAT`: record that somebody else was asked for something."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import Other
from crewjobs.domain.units import quoted

WHO = ", ".join(other.value for other in Other)


def arguments(command: ArgumentParser) -> None:
    """Declare who was asked for what, and what it holds."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("who", metavar="WHO", help=WHO)
    command.add_argument("what", metavar="WHAT", help='what for, "gas shut off and capped"')
    command.add_argument("--promised", default="", metavar="MOMENT", help="for when it is promised, 'thu 12:00'")
    command.add_argument("--holds", default="", metavar="TASKS", help="tasks that may not start before: 12,13")
    command.add_argument("--holds-template", default="", metavar="KEY", help="or every open task of a template")
    command.add_argument("--at", default="", metavar="MOMENT", help="when it was asked (default: now)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it and say what it holds."""
    words = [word.strip() for word in args.holds.split(",") if word.strip()]
    if not all(word.isascii() and word.isdigit() for word in words):
        raise Refused(f"--holds {quoted(args.holds)}: task numbers with commas between them, such as 12,13.")
    done = open_office(args).ask(
        args.number,
        args.who,
        args.what,
        promised=args.promised,
        holds=[int(word) for word in words],
        template=args.holds_template,
        at=args.at,
    )
    return emit(args, done, lambda: said(done.sentence, done.then))
