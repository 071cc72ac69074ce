"""`crewjobs layout`: how a room's planks are laid: rows, cuts in order, what to keep."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli import looking
from crewjobs.cli.interrupt import until_interrupted
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, terminal_width, wrap
from crewjobs.domain.errors import Refused
from crewjobs.domain.wording import upper

if TYPE_CHECKING:
    from crewjobs.services.laying.layout_rows import LayoutView
    from crewjobs.services.laying.sheet_rows import SheetView


WIDEST = 110
"""Columns of the drawn rows at most."""


def arguments(command: ArgumentParser) -> None:
    """Declare job, room, and how long it is looked for."""
    from crewjobs.services.laying.layout_rows import LAYOUT_SECONDS

    add = command.add_argument
    add("job", type=int)
    add("room", help="such as living, or 'living room'")
    add("--row", type=int, default=None, metavar="K", help="row K lies: plan the rest anew, by what was measured")
    add(
        "--measured",
        default="",
        metavar="LENGTH",
        help='with --row: the next row from wall to wall, such as "14\' 6 1/2"',
    )
    add("--to-wall", default="", metavar="LENGTH", help="with --row: from that row's edge to the wall opposite")
    add("--svg", type=Path, default=None, metavar="FILE", help="write the layout as a picture (SVG) to a file")
    add("--again", action="store_true", help="look for a layout with fewer planks than the one kept")
    add(
        "--seconds",
        type=float,
        default=LAYOUT_SECONDS,
        metavar="S",
        help="look at most so long, unless it is proved before (default: %(default)g)",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print rows and cuts."""
    looking.check_seconds(args)
    if args.row is None and (args.measured or args.to_wall):
        raise Refused("--measured and --to-wall go with --row: say which row lies.")
    office = open_office(args)
    with until_interrupted() as stop, looking.watched() as watch:
        view = office.layout(
            args.job,
            args.room,
            again=args.again,
            row=args.row,
            measured=args.measured,
            to_wall=args.to_wall,
            seconds=args.seconds,
            stop=stop,
            watch=watch,
        )
    if args.svg is not None:
        from crewjobs.services.laying.layout_rows import drawing_svg

        title = f"Job {view.job}: {view.material} in {' + '.join(view.rooms)}"
        try:
            args.svg.write_text(drawing_svg(view.drawing, title), encoding="utf-8")
        except OSError as error:
            raise Refused(f"{args.svg} cannot be written: {error.strerror}.") from None
    return emit(args, view, lambda: "\n".join(_lines(view)))


def _lines(view: LayoutView | SheetView) -> Iterator[str]:
    from crewjobs.services.laying.sheet_rows import SheetView

    yield from _drops(view) if isinstance(view, SheetView) else _rows(view)
    if view.taken_as:
        yield ""
        yield wrap("Taken as usual, since the job does not say:")
        yield from (wrap(f"- {sentence}", indent="    ", first="  ") for sentence in view.taken_as)


def _drops(view: SheetView) -> Iterator[str]:
    yield wrap(f"Job {view.job}: {view.title}. {view.material} in {' + '.join(view.rooms)}.", indent="  ", first="")
    yield wrap(f"{view.direction}.", indent="  ", first="")
    yield wrap(f"{view.counted} off the roll in all. {view.sure}", indent="  ", first="")
    yield from (wrap(note, indent="  ", first="") for note in view.notes)
    yield ""
    yield from (wrap(drop.sentence, indent="        ", first="") for drop in view.drops)
    yield from (wrap(seam, indent="        ", first="") for seam in view.seams)


def _rows(view: LayoutView) -> Iterator[str]:
    from crewjobs.services.laying.layout_rows import key_of, paint_rows

    yield wrap(f"Job {view.job}: {view.title}. {view.material} in {' + '.join(view.rooms)}.", indent="  ", first="")
    yield wrap(f"{upper(view.direction)}.", indent="  ", first="")
    yield from (
        wrap(words, indent="  ", first="") for words in (view.first, *view.lines, view.counts, *view.notes) if words
    )
    drawn = view.drawn_rows
    if drawn:
        yield ""
        yield from ("".join(run.text for run in row) for row in paint_rows(drawn, min(terminal_width(), WIDEST)))
        yield key_of(drawn)
        yield ""
    place = ""
    for row in view.rows:
        if row.place != place:
            place = row.place
            yield f"{upper(place)}:"
        yield wrap(f"row {row.row:>2}: {row.line}", indent="        ", first="")
        for piece in row.pieces:
            yield from (
                wrap(f"{piece.named}: {words}", indent="          ", first="        ") for words in piece.cut_outs
            )
