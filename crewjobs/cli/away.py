"""`crewjobs away PERSON DAY`: somebody is not with their crew."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the person, the day and where they are instead."""
    command.add_argument("person", metavar="PERSON", help="the name, or the first name where it is the only one")
    command.add_argument("day", metavar="DAY", help="the day: 2026-03-05, today, tomorrow or a weekday")
    command.add_argument(
        "--to",
        action=Named,
        default="",
        metavar="CREW",
        help="the crew they work with; a new name: by themselves that day",
    )
    command.add_argument("--because", default="", metavar="WHY", help="the reason, in a few words")
    command.add_argument("--again", action="store_true", help="in the place of what was recorded for that day")
    command.add_argument("--back", action="store_true", help="they are with their crew after all")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it; the next plan works with who is there."""
    office = open_office(args)
    day = office.read_day(args.day)
    if args.back:
        done = office.back(args.person, day)
    else:
        done = office.away(args.person, day, to=args.to, because=args.because, again=args.again)
    return emit(args, done, lambda: said(done.sentence, done.then))
