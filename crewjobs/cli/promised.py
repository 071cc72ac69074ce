"""`crewjobs promised N WHO MOMENT`: record for when somebody else promises what was asked."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.ask import WHO
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare who promises what for when."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("who", metavar="WHO", help=WHO)
    command.add_argument("moment", metavar="MOMENT", help="for when, 'thu 12:00'")
    command.add_argument("--what", default="", help="which, where they were asked for several things")
    add_json(command)


def run(args: Namespace) -> int:
    """Record the promise; the next plan works with it."""
    done = open_office(args).promised(args.number, args.who, args.moment, what=args.what)
    return emit(args, done, lambda: said(done.sentence, done.then))
