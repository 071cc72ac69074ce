"""`crewjobs arrived N [WHAT] COUNT`: record cartons or goods that came."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted


def arguments(command: ArgumentParser) -> None:
    """Declare the delivery."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument(
        "came",
        nargs="+",
        metavar="[WHAT] COUNT",
        help="which material or goods, where the job has several, and how many came",
    )
    command.add_argument("--material", default="", help="which material, another way to say WHAT")
    command.add_argument("--lot", default="", help="the lot's name (default: the next letter)")
    command.add_argument("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    command.add_argument(
        "--in-rooms", action="store_true", help="they went into the conditioned rooms at once: the clock starts then"
    )
    command.add_argument(
        "--back-ordered",
        default="",
        metavar="DAY",
        help="for when the rest is promised, such as 2026-03-18; 'none' where nobody can say",
    )
    command.add_argument("--because", default="", metavar="REASON", help="why it is back-ordered")
    add_json(command)


def run(args: Namespace) -> int:
    """Record the delivery and say what is missing and when the material is ready."""
    *words, count = args.came
    if not (count.isdecimal() and count.isascii() and len(count) <= 6):
        raise Refused(
            f'{quoted(count)} is not a count: say what came and how many, such as `arrived 4 "stair nose" 14`.'
        )
    if words and args.material:
        raise Refused(f"say once which material came: {quoted(' '.join(words))} or --material {quoted(args.material)}.")
    done = open_office(args).arrived(
        args.number,
        " ".join(words) or args.material,
        int(count),
        lot=args.lot,
        at=args.at,
        in_rooms=args.in_rooms,
        back_ordered=args.back_ordered,
        because=args.because,
    )
    return emit(args, done, lambda: said(done.sentence, done.then))
