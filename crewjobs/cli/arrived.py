"""`crewjobs arrived N [WHAT] COUNT`: record cartons or goods that came, several of them in one change."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.counts import COUNT, number
from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.units import quoted

if TYPE_CHECKING:
    from crewjobs.services.rows import Done


def arguments(command: ArgumentParser) -> None:
    """Declare the delivery."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument(
        "came",
        nargs="+",
        metavar="[WHAT] COUNT",
        help="which material or goods, where the job has several, and how many came; again for what else the truck brought",
    )
    command.add_argument("--material", action=Named, default="", help="which material, another way to say WHAT")
    command.add_argument("--lot", action=Named, default="", help="the lot's name (default: the next letter)")
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
    command.add_argument(
        "--because",
        default="",
        metavar="REASON",
        help="why it is back-ordered, or why it went into a house that is not ready: the reason is kept",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Record the delivery and say what is missing and when the material is ready."""
    came = _deliveries(args.came)
    if came[0][0] and args.material:
        raise Refused(f"say once which material came: {quoted(came[0][0])} or --material {quoted(args.material)}.")
    if len(came) > 1 and (args.lot or args.back_ordered or args.material):
        raise Refused("--lot, --material and --back-ordered belong to one thing that came: record that by itself.")
    try:
        done = _record(args, came)
    except OnHold as hold:
        last = hold.sentences[-1].removesuffix(".")
        raise Refused([*hold.sentences[:-1], f"{last} with --because."]) from None
    return emit(args, done, lambda: said(done.sentence, done.then))


def _deliveries(words: list[str]) -> list[tuple[str, float]]:
    """Return what came with its count, a pair for each count: ``glue 2 transition 1``; a name may have several words."""
    found: list[tuple[str, float]] = []
    name: list[str] = []
    for word in words:
        if COUNT.fullmatch(word):
            found.append((" ".join(name), number(word)))
            name = []
        else:
            name.append(word)
    if name or not found:
        raise Refused(
            f'{quoted(words[-1])} is not a count: say what came and how many, such as `arrived 4 "stair nose" 14`.'
        )
    if any(not more for more, _ in found[1:]):  # a name that has a number in it: `arrived 4 oak 5 9`
        return [(" ".join(words[:-1]), found[-1][1])]
    return found


def _record(args: Namespace, came: list[tuple[str, float]]) -> Done:
    office = open_office(args)
    if len(came) > 1:
        return office.arrived_together(args.number, came, at=args.at, in_rooms=args.in_rooms, because=args.because)
    [(name, count)] = came
    return office.arrived(
        args.number,
        name or args.material,
        count,
        lot=args.lot,
        at=args.at,
        in_rooms=args.in_rooms,
        back_ordered=args.back_ordered,
        because=args.because,
    )
