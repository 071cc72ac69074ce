"""`crewjobs take-off`: what a job's floors take, and what is bought beside them."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.cli import looking
from crewjobs.cli.interrupt import until_interrupted
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap

if TYPE_CHECKING:
    from crewjobs.services.laying.layout_rows import TakeOffView


def arguments(command: ArgumentParser) -> None:
    """Declare the job, the reserve, and how long layouts are looked for."""
    from crewjobs.services.laying.layout_rows import LAYOUT_SECONDS

    add = command.add_argument
    add("job", type=int)
    add(
        "--reserve",
        type=float,
        default=None,
        metavar="PERCENT",
        help="planks bought beyond those laid (default: 2, of wood 5; common practice, no source)",
    )
    add(
        "--kept",
        type=int,
        default=1,
        metavar="CARTONS",
        help="whole cartons that stay in the house (default: %(default)d)",
    )
    for what, usual in (("base", "16', or 4.8 m"), ("shoe", "16', or 4.8 m"), ("strip", "6' 6\", or 2 m")):
        add(f"--{what}-stick", default="", metavar="LENGTH", help=f"how long sticks of {what} come (default: {usual})")
    add("--again", action="store_true", help="look for layouts with fewer planks than those kept")
    add(
        "--seconds",
        type=float,
        default=LAYOUT_SECONDS,
        metavar="S",
        help="look at most so long at each material, unless it is proved before (default: %(default)g)",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the shopping list."""
    looking.check_seconds(args)
    office = open_office(args)
    with until_interrupted() as stop, looking.watched() as watch:
        view = office.take_off(
            args.job,
            reserve=args.reserve,
            kept=args.kept,
            again=args.again,
            sticks={what: given for what in ("base", "shoe", "strip") if (given := getattr(args, f"{what}_stick"))},
            seconds=args.seconds,
            stop=stop,
            watch=watch,
        )
    return emit(args, view, lambda: "\n".join(_lines(view)))


def _lines(view: TakeOffView) -> Iterator[str]:
    yield wrap(f"Job {view.job}: {view.title}. What it takes:", indent="  ", first="")
    for row in view.materials:
        yield ""
        yield wrap(f"{row.cartons} {row.unit}  {row.material} ({row.kind})", indent="    ", first="")
        yield wrap(row.sentence, indent="    ", first="  ")
        if row.fault:
            yield wrap(f"! not laid out: {row.fault}", indent="    ", first="  ")
        yield from (wrap(field, indent="    ", first="  ") for field in row.fields)
        yield from (wrap(lot, indent="    ", first="  ") for lot in row.lots)
    if view.goods:
        yield ""
        for goods in view.goods:
            yield wrap(goods.sentence, indent="    ", first="")
            yield from (wrap(stick, indent="      ", first="  ") for stick in goods.sticks)
    yield from (wrap(walls, indent="    ", first="") for walls in view.walls)
    for title, sentences in (
        ("Supplies:", [supply.sentence for supply in view.supplies]),
        ("Left over, if all goes by this:", view.left),
        ("With the seasons:", view.movement),
        ("Heights, to settle before ordering:", [f"{one}." for one in view.heights]),
    ):
        if sentences:
            yield ""
            yield title
            yield from (wrap(sentence, indent="    ", first="  ") for sentence in sentences)
    if view.taken_as:
        yield ""
        yield wrap("Taken as usual, since the job does not say:")
        yield from (wrap(f"- {sentence}", indent="    ", first="  ") for sentence in view.taken_as)
