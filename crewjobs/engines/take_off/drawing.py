"""A field drawn as it is laid: the wall the first row lies along at the top, rows numbered, cut pieces by their plank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from crewjobs.domain.units import INCH
from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Says, Shape, Tile, Words
from crewjobs.engines.laying.cut_list import CutRun
from crewjobs.engines.laying.model import Kind, Layout, Point
from crewjobs.engines.take_off.floors import HouseFloor

_NUMBERS: Final = 16
"""Inches to the left of the rows for their numbers."""
_LINE: Final = 6
_A_LETTER: Final = 3
_BESIDE: Final = 2
"""Inches a letter takes in such a line, and what stays free beside them: a piece shorter than its number is drawn without it."""


def drawn_layout(
    house: HouseFloor,
    layout: Layout,
    field: int,
    rows_cut: Sequence[CutRun],
    other: Mapping[int, Fill] | None = None,
    holes: Sequence[tuple[Point, Point]] = (),
) -> Drawing:
    """Return a field in the frame of its layout, in whole inches: whole planks plain, cut ones hatched with their plank's number.

    `holes` are two corners each of what is cut out, crossed on the drawing; `rows_cut` is its cut list, `other` what pieces are that are not laid now: laid before, or later.
    """
    rows, aside = house.floor.fields[field], other or {}
    corners = [rows.frame.to(point) for point in rows.field.outline]
    left, top = min(x for x, _ in corners), min(y for _, y in corners)
    right, low = max(x for x, _ in corners), max(y for _, y in corners)

    def at(x: int, y: int) -> tuple[int, int]:
        return round((x - left) / INCH) + _NUMBERS, round((y - top) / INCH)

    line = max(
        1, min(_LINE, house.floor.problem.product.width // INCH - 1)
    )  # one height, however rows fall on the inches
    shapes: list[Shape] = []
    pieces, numbered = layout.pieces, set[int]()
    for run in rows_cut:
        if run.field != field:
            continue
        near, far = rows.row_at(run.row)
        for piece in run.pieces:
            (x, y), (to_x, to_y) = at(pieces[piece.number].left, near), at(pieces[piece.number].right, far)
            fill = aside.get(piece.number, Fill.WHOLE if piece.kind is Kind.FULL else Fill.CUT)
            shapes.append(Box(tile=0, x=x, y=y, width=to_x - x, depth=to_y - y, fill=fill))
            text = piece.offcut or str(piece.plank)
            if fill is Fill.CUT and to_x - x >= len(text) * _A_LETTER + _BESIDE:
                place = (x, y, to_x - x, to_y - y)
                shapes.append(_words(text, Says.LETTER, place, middle=True, line=line))
        if run.row not in numbered:
            numbered.add(run.row)
            y, to_y = at(0, near)[1], at(0, far)[1]
            place = (0, y, _NUMBERS - 2, to_y - y)
            shapes.append(_words(str(run.row + 1), Says.NOTE, place, middle=False, line=line))
    for ring in (rows.field.outline, *rows.field.holes):
        turned = [at(*rows.frame.to(point)) for point in ring]
        shapes += [
            Line(tile=0, start=one, end=other_end, wall=True)
            for one, other_end in zip(turned, (*turned[1:], turned[0]), strict=True)
        ]
    for one, other_end in holes:
        (x, y), (to_x, to_y) = sorted((at(*rows.frame.to(one)), at(*rows.frame.to(other_end))))
        corners_of = ((x, y), (to_x, y), (to_x, to_y), (x, to_y))
        pairs = (
            *zip(corners_of, (*corners_of[1:], corners_of[0]), strict=True),
            ((x, y), (to_x, to_y)),
            ((x, to_y), (to_x, y)),
        )
        shapes += [Line(tile=0, start=begin, end=end, joint=True) for begin, end in pairs]
    width, depth = at(right, low)
    tile = Tile(name=rows.field.name, x=0, y=0, width=width, depth=depth, inner=(_NUMBERS, 0, width - _NUMBERS, depth))
    return Drawing(width=width, depth=depth, line=line, shapes=tuple(shapes), tiles=(tile,))


def _words(text: str, says: Says, place: tuple[int, int, int, int], *, middle: bool, line: int) -> Words:
    x, y, width, depth = place
    high = min(depth, line)
    return Words(tile=0, text=text, says=says, x=x, y=y + (depth - high) // 2, width=width, depth=high, middle=middle)
