"""`crewjobs check-lot N MATERIAL LOT --cartons C`: a lot checked before its first carton is opened."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.counts import number
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the lot and what was found."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("material", metavar="MATERIAL", help="which material")
    command.add_argument("lot", metavar="LOT", help="which of its lots")
    command.add_argument(
        "--cartons",
        type=number,
        required=True,
        metavar="C",
        help="how many were counted (of sheet goods running feet, or metres in a metric shop)",
    )
    command.add_argument("--damaged", type=number, default=0, metavar="K", help="how many of them cannot be laid")
    command.add_argument(
        "--color-differs", action="store_true", help="the color is not that of the sample the customer signed"
    )
    command.add_argument("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record the check and say what is short and what the lead must decide."""
    done = open_office(args).check_lot(
        args.number,
        args.material,
        args.lot,
        args.cartons,
        damaged=args.damaged,
        color_differs=args.color_differs,
        at=args.at,
    )
    return emit(args, done, lambda: said(done.sentence, done.then))
