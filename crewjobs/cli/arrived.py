"""`crewjobs arrived N CARTONS`: record cartons that came."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the delivery."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("cartons", type=int, metavar="CARTONS", help="how many came")
    command.add_argument("--material", default="", help="which material, where the job has several")
    command.add_argument("--lot", default="", help="the lot's name (default: the next letter)")
    command.add_argument("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    command.add_argument(
        "--in-rooms", action="store_true", help="they went into the conditioned rooms at once: the clock starts then"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Record the delivery and say when the material is ready."""
    done = open_office(args).arrived(
        args.number, args.material, args.cartons, lot=args.lot, at=args.at, in_rooms=args.in_rooms
    )
    return emit(args, done, lambda: said(done.sentence, done.then))
