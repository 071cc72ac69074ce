"""`crewjobs returned N WHAT COUNT`: record cartons that went back to their supplier."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.counts import number
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare what went back."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("what", metavar="WHAT", help="the material's name")
    command.add_argument("count", type=number, metavar="COUNT", help="how many cartons went back")
    command.add_argument("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it."""
    done = open_office(args).returned(args.number, args.what, args.count, at=args.at)
    return emit(args, done, lambda: said(done.sentence, done.then))
