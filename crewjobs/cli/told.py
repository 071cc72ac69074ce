"""`crewjobs told N [DAY]`: record the finish day that a customer was told, or that all were told of a job called off."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused


def arguments(command: ArgumentParser) -> None:
    """Declare the day."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument(
        "day",
        nargs="?",
        metavar="DAY",
        help="the day told (default: the plan's finish; none for a job called off or done: all are told)",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Record it: the call is made.

    Raises:
        Refused: an empty day, which is not the plan's.
    """
    if args.day is not None and not args.day.strip():
        raise Refused(
            "the day told is empty: write it, such as fri or 2026-03-06, or leave it away for the plan's finish."
        )
    done = open_office(args).told(args.number, args.day or "")
    return emit(args, done, lambda: said(done.sentence, done.then))
