"""Floors drawn from their parts, each clipped to the floor: diagonal and racked rows, tiles, herringbone.

Patterns are drawn as they lie in the house; racked rows as rows of equal planks are, the starting wall at the top.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from crewjobs.domain.units import INCH
from crewjobs.drawing.shapes import Drawing, Fill, Line, Polygon, Says, Shape, Tile, Words
from crewjobs.engines.laying.cut_list import cut_list
from crewjobs.engines.laying.floors import FieldRows
from crewjobs.engines.laying.frames import Frame
from crewjobs.engines.laying.geometry import inset, polygons
from crewjobs.engines.laying.model import Field, Kind, Layout
from crewjobs.engines.take_off.diagonal import turned_back
from crewjobs.engines.take_off.fields import Vector
from crewjobs.engines.take_off.floors import HouseFloor
from crewjobs.engines.take_off.herringbone import HerringboneField
from crewjobs.engines.take_off.mixed import MixedFloor
from crewjobs.engines.take_off.tiled import TiledField

_FINE: Final = 4
"""Parts of an inch in which is drawn: slanted joints on whole inches would not be straight."""
_MARGIN: Final = 16 * _FINE
"""Around the floor for numbers of rows and ends of lines."""
_LINE: Final = 5
"""The height of a line of words in inches, at most."""
_LEAST_WORDS: Final = 12 * _FINE
"""A part that is narrower is drawn without its words."""
_SMALLEST: Final = (INCH // 4) ** 2

Ring = tuple[Vector, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """A piece by its corners and what it is: a whole one, or one of the kinds of cut ones, by what its words tell."""

    ring: Ring
    fill: Fill
    words: str = ""


@dataclass(frozen=True, slots=True)
class _Label:
    """Words whose right end stands at a point."""

    at: Vector
    words: str


def drawn_diagonal(house: HouseFloor, layout: Layout, field: int) -> Drawing:
    """Return a field of rows at 45 degrees, as it lies in the house."""
    width = house.floor.problem.product.width
    rows, pieces, parts, starts = house.floor.fields[field], layout.pieces, list[_Part](), dict[int, int]()
    for run in cut_list(house.floor, layout):
        if run.field == field:
            for piece in run.pieces:
                left, right = pieces[piece.number].left, pieces[piece.number].right
                fill = Fill.WHOLE if piece.kind is Kind.FULL else Fill.CUT
                words = (piece.offcut or str(piece.plank)) if fill is Fill.CUT else ""
                parts.append(_Part(_turned(rows, left, right, run.row), fill, words))
                starts[run.row] = min(left, starts.get(run.row, left))
    return _drawn(house.fields[field].field, house.floor.problem.product.gap, parts, _numbers(rows, starts), width)


def drawn_mixed(floor: MixedFloor, field: int) -> Drawing:
    """Return a field of racked boards: straight rows in their frame, diagonal ones as they lie in the house."""
    house, layout = floor.house, floor.layout
    rows, parts, starts = house.floor.fields[field], list[_Part](), dict[int, int]()
    cut = (
        Fill.CUT_ONWARD
        if layout.starts.keys() & {number for number, _ in house.floor.runs_of(field)}
        else Fill.CUT_ALONE
    )
    for number, run in house.floor.runs_of(field):
        left = run.left
        for place, length in enumerate(layout.pieces[number]):
            rest = place == 0 and (layout.begins[number] is not None or layout.first[number] > 0)
            closing = place == len(layout.pieces[number]) - 1 and layout.closes[number] is not None
            last = place == len(layout.pieces[number]) - 1 and layout.cut[number] > 0
            onward = layout.starts.get(number) if last else None
            words = str(house.floor.problem.runs[onward].row + 1) if onward is not None else ""
            ring = _turned if house.turned else _straight
            fill = cut if rest or last or closing else Fill.WHOLE
            parts.append(_Part(ring(rows, left, left + length, run.row), fill, words))
            left += length
        starts[run.row] = min(run.left, starts.get(run.row, run.left))
    gap, width = house.floor.problem.product.gap, house.floor.problem.product.width
    if house.turned:
        return _drawn(house.fields[field].field, gap, parts, _numbers(rows, starts), width)
    labels = [
        _Label((rows_left - 5 * INCH, sum(rows.row_at(row)) / 2), str(row + 1)) for row, rows_left in starts.items()
    ]
    return _drawn(_in_frame(rows.field, rows.frame), gap, parts, labels, width)


def drawn_tiles(field: TiledField, gap: int, width: int, length: int) -> Drawing:
    """Return a field of tiles as it lies in the house."""

    def ring(x: int, y: int) -> Ring:
        corners = ((x, y), (x + length, y), (x + length, y + width), (x, y + width))
        return tuple(turned_back(point) if field.turned else field.frame.back(point) for point in corners)

    parts = [_Part(ring(cell.x, cell.y), _told_alone(whole=cell.whole)) for cell in field.layout.cells]
    return _drawn(field.house.field, gap, parts, [], width)


def drawn_herringbone(field: HerringboneField, gap: int) -> Drawing:
    """Return a herringbone as it lies in the house, with its center line to beyond the walls."""
    outline, at = field.house.field.outline, field.layout.center
    axis = 0 if field.layout.along_x else 1
    low, high = (pick(point[axis] for point in outline) for pick in (min, max))
    reach = 8 * INCH
    ends = [(low - reach, at), (high + reach, at)] if axis == 0 else [(at, low - reach), (at, high + reach)]
    parts = [_Part(ring, _told_alone(whole=whole)) for ring, whole in field.layout.rings]
    return _drawn(field.house.field, gap, parts, [], INCH * _LINE, [(ends[0], ends[1])])


def _told_alone(*, whole: bool) -> Fill:
    """Return what a tile or a piece of a herringbone is: cut ones have no number."""
    return Fill.WHOLE if whole else Fill.CUT_ALONE


def _turned(rows: FieldRows, left: int, right: int, row: int) -> Ring:
    return tuple(turned_back(rows.frame.back(point)) for point in _corners(rows, left, right, row))


def _straight(rows: FieldRows, left: int, right: int, row: int) -> Ring:
    return _corners(rows, left, right, row)


def _corners(rows: FieldRows, left: int, right: int, row: int) -> tuple[tuple[int, int], ...]:
    near, far = rows.row_at(row)
    return (left, near), (right, near), (right, far), (left, far)


def _numbers(rows: FieldRows, starts: dict[int, int]) -> list[_Label]:
    """Return the numbers of diagonal rows, each before its row."""
    found = []
    for row, left in starts.items():
        near, far = rows.row_at(row)
        at = turned_back(rows.frame.back((left - 4 * INCH, (near + far) // 2)))
        found.append(_Label(at, str(row + 1)))
    return found


def _in_frame(field: Field, frame: Frame) -> Field:
    return Field(
        name=field.name,
        outline=tuple(frame.to(point) for point in field.outline),
        holes=tuple(tuple(frame.to(point) for point in hole) for hole in field.holes),
    )


def _drawn(
    field: Field,
    gap: int,
    parts: Iterable[_Part],
    labels: Sequence[_Label],
    row: int,
    lines: Sequence[tuple[Vector, Vector]] = (),
) -> Drawing:
    from shapely import Polygon as Shape_

    within, line = inset(field, gap, Frame()), _FINE * min(_LINE, max(1, row // INCH))
    left, top = (min(point[axis] for point in field.outline) for axis in (0, 1))
    right, low = (max(point[axis] for point in field.outline) for axis in (0, 1))

    def at(point: Vector) -> tuple[int, int]:
        return round((point[0] - left) * _FINE / INCH) + _MARGIN, round((point[1] - top) * _FINE / INCH) + _MARGIN

    shapes: list[Shape] = []
    for part in parts:
        for shape in polygons(within.intersection(Shape_(part.ring))):
            if shape.area > _SMALLEST:
                shapes += _painted(shape, part, at, line)
    shapes += [Line(tile=0, start=at(one), end=at(other)) for one, other in lines]
    for ring in (field.outline, *field.holes):
        corners = [at(point) for point in ring]
        shapes += [
            Line(tile=0, start=one, end=other, wall=True)
            for one, other in zip(corners, (*corners[1:], corners[0]), strict=True)
        ]
    for label in labels:
        x, y = at(label.at)
        shapes.append(
            Words(
                tile=0,
                text=label.words,
                says=Says.NOTE,
                x=x - _LEAST_WORDS // 2,
                y=y - line // 2,
                width=_LEAST_WORDS,
                depth=line,
                middle=True,
            )
        )
    width, depth = (round((high - under) * _FINE / INCH) + 2 * _MARGIN for high, under in ((right, left), (low, top)))
    inner = (_MARGIN, _MARGIN, width - 2 * _MARGIN, depth - 2 * _MARGIN)
    tile = Tile(name=field.name, x=0, y=0, width=width, depth=depth, inner=inner)
    return Drawing(width=width, depth=depth, line=line, shapes=tuple(shapes), tiles=(tile,), per_inch=_FINE)


def _painted(shape: Any, part: _Part, at: Any, line: int) -> Iterable[Shape]:
    ring = [at(point) for point in shape.exterior.coords[:-1]]
    yield Polygon(tile=0, corners=tuple(ring), fill=part.fill)
    yield from (
        Line(tile=0, start=one, end=other, joint=True)
        for one, other in zip(ring, (*ring[1:], ring[0]), strict=True)
        if one != other
    )
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    if part.words and min(max(xs) - min(xs), max(ys) - min(ys)) >= line and max(xs) - min(xs) >= _LEAST_WORDS:
        x, y = at((shape.representative_point().x, shape.representative_point().y))
        yield Words(
            tile=0, text=part.words, says=Says.LETTER, x=x - _LEAST_WORDS // 2, y=y - line // 2, width=_LEAST_WORDS,
            depth=line, middle=True,
        )  # fmt: skip
