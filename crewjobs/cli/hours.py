"""`crewjobs hours CREW DAY`: a crew works other hours on one day, or none."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said, wrap
from crewjobs.domain.errors import Refused


def arguments(command: ArgumentParser) -> None:
    """Declare the crew, the day and its hours that day."""
    command.add_argument("crew", metavar="CREW", help="the crew")
    command.add_argument("day", metavar="DAY", help="the day: 2026-03-05, today, tomorrow or a weekday")
    command.add_argument(
        "hours",
        nargs="*",
        default=[],
        metavar="HOURS",
        help="its hours that day, such as 8:00-12:00 or 7:00-12:00,12:30-15:30 (none, and no option: say what they are)",
    )
    command.add_argument("--off", action="store_true", help="the crew is off that day")
    command.add_argument("--usual", action="store_true", help="its hours are as every week again")
    command.add_argument("--because", default="", metavar="WHY", help="the reason, in a few words")
    add_json(command)


def run(args: Namespace) -> int:
    """Record the hours, or say what they are; the plan works with them."""
    hours = " ".join(args.hours)
    if bool(hours) + args.off + args.usual > 1:
        raise Refused("hours of a day, --off and --usual exclude each other: give one of them.")
    office = open_office(args)
    day = office.read_day(args.day)
    if args.usual:
        done = office.usual_hours(args.crew, day, because=args.because)
    elif hours or args.off:
        done = office.hours(args.crew, day, hours or "off", because=args.because)
    elif args.because:
        raise Refused("--because gives the reason of other hours: say them, such as 8:00-12:00, or --off or --usual.")
    else:
        row = office.hours_of(args.crew, day)
        return emit(args, row, lambda: wrap(row.sentence))
    return emit(args, done, lambda: said(done.sentence, done.then))
