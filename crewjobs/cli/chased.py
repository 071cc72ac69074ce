"""`crewjobs chased N WHO`: record that somebody else was asked again."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.ask import WHO
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare who it was, and which of several things."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("who", metavar="WHO", help=WHO)
    command.add_argument("what", nargs="?", default="", metavar="WHAT", help="which, where there are several")
    command.add_argument("--at", default="", metavar="MOMENT", help="when (default: now)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record that they were asked again."""
    done = open_office(args).chased(args.number, args.who, what=args.what, at=args.at)
    return emit(args, done, lambda: said(done.sentence, done.then))
