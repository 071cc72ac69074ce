"""`crewjobs dry-run N`: record a crew sent to a house that was not ready."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.cli.ready import ITEMS


def arguments(command: ArgumentParser) -> None:
    """Declare who stood there and why it could not work."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("--crew", required=True, help="which crew was sent there")
    command.add_argument("--because", required=True, metavar="REASON", help='why it could not work, "paint is wet"')
    command.add_argument(
        "--item", default="", metavar="ITEM", help=f"what was missing, if the reason does not tell: {ITEMS}"
    )
    command.add_argument("--until", default="", metavar="MOMENT", help="when the house will be ready, 'thu 7:00'")
    command.add_argument("--at", default="", metavar="MOMENT", help="when the crew stood there (default: now)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it and name the ready work that fits the crew instead."""
    done = open_office(args).dry_run(args.number, args.crew, args.because, item=args.item, until=args.until, at=args.at)
    return emit(args, done, lambda: said(done.sentence, done.then))
