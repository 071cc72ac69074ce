"""`crewjobs lots N MATERIAL A=living,hall B=bath`: the lead's word on which rooms each lot goes into."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the material and the lots with their rooms."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("material", metavar="MATERIAL", help="which material")
    command.add_argument(
        "lots",
        nargs="+",
        metavar="LOT[=ROOMS]",
        help="A for all rooms, or A=living,hall for some; stairs count as rooms",
    )
    command.add_argument(
        "--because",
        default="",
        metavar="REASON",
        help="why two lots share a room, a color that differs is laid, or too few cartons do",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Record the word and say whether each lot carries its rooms."""
    done = open_office(args).lots(args.number, args.material, args.lots, because=args.because)
    return emit(args, done, lambda: said(done.sentence, done.then))
