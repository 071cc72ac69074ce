"""Floors of an invented house as they are laid: what the layout screen is tested with."""

from __future__ import annotations

from itertools import pairwise

from crewjobs.drawing.shapes import Drawing
from crewjobs.services.laying.layout_rows import LayoutRow, LayoutsView, LayoutView, PieceRow


def _row(number: int, of: int) -> LayoutRow:
    first = 12 + 9 * (number % 4)
    ends = [0, first, first + 48, first + 96, 222]
    pieces = tuple(
        PieceRow(
            kind="whole" if 0 < place < 3 else "start" if place == 0 else "end",
            length=f'{b - a}"',
            length_in=float(b - a),
            plank=number * 4 + place - 3,
            kept=False,
            keep="",
            tight=place == 0 and number == 2,
            cut_outs=('vent: 4" x 10", 3" from its left end',) if place == 3 and number == 5 else (),
            keep_for=f'{47 - first}" for row {number + 2}' if place == 0 and number + 2 <= of else "",
            left_in=float(a),
        )
        for place, (a, b) in enumerate(pairwise(ends))
    )
    return LayoutRow(row=number, width='7"' if number < of else '3 1/2"', ripped=number == of, pieces=pieces)


def floor(job: int, title: str, rooms: tuple[str, ...], rows: int) -> LayoutView:
    """A floor of so many rows."""
    return LayoutView(
        job=job,
        title=title,
        material="harbor plank",
        rooms=rooms,
        direction=f"{' + '.join(rooms)}: {rows} rows from the wall of {rooms[0]} facing you as you come in from hall (18' 6\")",
        first="Face that wall: row 1 lies along it, every row runs from your left to your right.",
        planks=4 * rows,
        planks_of_all=4 * rows,
        bound_of_all=4 * rows,
        proved=True,
        sure="No layout of these rows takes fewer.",
        rows=tuple(_row(number, rows) for number in range(1, rows + 1)),
        notes=('1/4" free at every wall.',),
        taken_as=(),
        counts=f"{4 * rows} planks here. No layout of these rows takes fewer.",
        drawing=Drawing(width=1, depth=1, line=1, shapes=(), tiles=()),
    )


def layouts(job: int, title: str, *, laid: bool) -> LayoutsView:
    """Two floors that are laid out, or one that is not yet."""
    if not laid:
        return LayoutsView(job=job, title=title, floors=(), missing=("harbor plank: not laid out yet.",))
    floors = (floor(job, title, ("living", "hall"), 12), floor(job, title, ("study",), 7))
    return LayoutsView(job=job, title=title, floors=floors, missing=())
