"""`crewjobs told N [DAY]`: record the finish day that a customer was told."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the day."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("day", nargs="?", default="", metavar="DAY", help="the day told (default: the plan's finish)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it: the call is made."""
    done = open_office(args).told(args.number, args.day)
    return emit(args, done, lambda: said(done.sentence, done.then))
