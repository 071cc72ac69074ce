"""`crewjobs back-ordered N WHAT DAY`: a new date for what has not come."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare what is missing and the day."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("what", metavar="WHAT", help="the material or goods, such as 'stair nose'")
    command.add_argument(
        "day", metavar="DAY", help="promised for, such as 2026-03-18 or 'wed 10:00'; 'none' where nobody can say"
    )
    command.add_argument("--because", default="", metavar="REASON", help="what the supplier says")
    add_json(command)


def run(args: Namespace) -> int:
    """Record the new date and say what it holds back."""
    done = open_office(args).back_ordered(args.number, args.what, args.day, args.because)
    return emit(args, done, lambda: said(done.sentence, done.then))
