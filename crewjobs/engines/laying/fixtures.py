"""Where a flange, a vent, a pipe, a cable or a jamb comes through: which row and piece, and how far from its ends.

What walls cut out of pieces (jogs, doorways, islands, slants) is told in the same terms.

Points and rectangles are given on the drawing, as the outline is. Distances are in the frame: left and right along the row as
seen by who faces the starting wall, near to and far from that wall across it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import Any, NamedTuple

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.engines.laying.floors import Floor
from crewjobs.engines.laying.geometry import NOTHING, inset, polygons
from crewjobs.engines.laying.model import Kind, Layout, Piece, Point


class Side(StrEnum):
    """A side of a piece."""

    LEFT = "left"
    RIGHT = "right"
    NEAR = "near"
    FAR = "far"


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut:
    """What is cut out of one piece (lengths in 1/4064 inch, distances from its sides; rows count from 0).

    `open` are the sides at which the cut-out reaches the piece's edge: none, a hole in it; else a notch. `slanted`: only a part of
    the rectangle is cut away, along a slanted wall, and `edges` say how much of the piece's edge toward the starting wall and of the
    other; `line` is the cut itself, corner by corner, each from the piece's left end and from its edge toward the starting wall.
    `piece` is the number of the piece in the layout, `place` which piece of its run it is, from 0.
    """

    field: int
    row: int
    run: int
    piece: int
    place: int
    kind: Kind
    from_left: int
    from_right: int
    from_near: int
    from_far: int
    width: int
    depth: int
    open: frozenset[Side]
    slanted: bool = False
    edges: tuple[int, int] = (0, 0)
    line: tuple[Point, ...] = ()

    @property
    def inside(self) -> bool:
        """Return whether it is a hole, closed all around."""
        return not self.open


def cut_outs(floor: Floor, layout: Layout, field: int, one: Point, other: Point | None = None) -> list[CutOut]:
    """Return the cut-outs for a point, or for the rectangle between two corners; a rectangle may cut several pieces.

    Raises:
        Refused: no piece of the field lies there.
    """
    frame = floor.fields[field].frame
    (ax, ay), (bx, by) = frame.to(one), frame.to(other or one)
    left, right, near, far = min(ax, bx), max(ax, bx), min(ay, by), max(ay, by)
    found = [
        _cut_out(spot, left, right, near, far)
        for spot in _spots(floor, layout)
        if spot.field == field
        and _meet(spot.piece.left, spot.piece.right, left, right)
        and _meet(spot.low, spot.high, near, far)
    ]
    if not found:
        raise Refused(
            f"{quoted(floor.fields[field].field.name)}: no plank lies where the fixture is: measure it from the same corner as the walls."
        )
    return found


def wall_cuts(floor: Floor, layout: Layout) -> list[CutOut]:
    """Return what jogs, doorways, islands and slanted walls cut out of pieces that are laid to their extent and row's width."""
    from shapely import box

    gap = floor.problem.product.gap
    within = [inset(rows.field, gap, rows.frame) for rows in floor.fields]
    found = []
    for spot in _spots(floor, layout):
        piece = spot.piece
        beyond = box(piece.left, spot.low, piece.right, spot.high).difference(within[spot.field])
        for part in polygons(beyond):
            if part.area > NOTHING:
                slanted = _slanted(part)
                for shape in [part] if slanted else _rectangles(part):
                    left, near, right, far = (round(value) for value in shape.bounds)
                    cut = _cut_out(spot, left, right, near, far)
                    if slanted:
                        cut = replace(cut, slanted=True, edges=_taken(part, spot), line=_line(part, spot))
                    found.append(cut)
    return found


def _taken(part: Any, spot: _Spot) -> tuple[int, int]:
    """Return how much a part takes of a piece's edge toward the starting wall, and of the one away from it."""
    found = []
    for edge in (spot.low, spot.high):
        xs = [x for x, y in part.exterior.coords if abs(y - edge) <= 1]
        found.append(round(max(xs) - min(xs)) if xs else 0)
    return found[0], found[1]


def _line(part: Any, spot: _Spot) -> tuple[Point, ...]:
    """Return the cut along a part, from the left: its sides that do not lie on the piece's own edges."""
    piece = spot.piece
    ring = [(x - piece.left, y - spot.low) for x, y in part.exterior.coords[:-1]]
    long, wide = piece.right - piece.left, spot.high - spot.low

    def on_edge(one: tuple[float, float], other: tuple[float, float]) -> bool:
        return any(
            abs(one[axis] - at) <= 1 and abs(other[axis] - at) <= 1
            for axis, at in ((0, 0), (0, long), (1, 0), (1, wide))
        )

    count = len(ring)
    cut = [not on_edge(ring[i], ring[(i + 1) % count]) for i in range(count)]
    if not any(cut) or all(cut):
        return ()
    first = next(i for i in range(count) if cut[i] and not cut[i - 1])
    path = [ring[first]]
    for step in range(count):
        if not cut[(first + step) % count]:
            break
        path.append(ring[(first + step + 1) % count])
    points = [(round(min(max(x, 0), long)), round(min(max(y, 0), wide))) for x, y in path]
    return tuple(points if points[0] <= points[-1] else reversed(points))


def _slanted(part: Any) -> bool:
    """Return whether a side runs neither along nor across the rows."""
    return any(abs(x1 - x2) > 1 and abs(y1 - y2) > 1 for (x1, y1), (x2, y2) in pairwise(part.exterior.coords))


def _rectangles(part: Any) -> list[Any]:
    """Return a part with corners at right angles only as rectangles side by side."""
    from shapely import box

    _, low, _, high = part.bounds
    lines = sorted({round(x) for x, _ in part.exterior.coords})
    slices = [part.intersection(box(left, low, right, high)) for left, right in pairwise(lines)]
    return [shape for one in slices for shape in polygons(one) if shape.area > NOTHING]


class _Spot(NamedTuple):
    """A piece in its place: its number in the layout and in its run, and its row across."""

    number: int
    place: int
    piece: Piece
    field: int
    row: int
    low: int
    high: int


def _spots(floor: Floor, layout: Layout) -> Iterator[_Spot]:
    place, last = 0, -1
    for number, piece in enumerate(layout.pieces):
        place = place + 1 if piece.run == last else 0
        last = piece.run
        run = floor.problem.runs[piece.run]
        yield _Spot(number, place, piece, run.field, run.row, *floor.fields[run.field].row_at(run.row))


def _cut_out(spot: _Spot, left: int, right: int, near: int, far: int) -> CutOut:
    """Return the part of a rectangle that lies on a piece."""
    piece = spot.piece
    distances = {
        Side.LEFT: left - piece.left,
        Side.RIGHT: piece.right - right,
        Side.NEAR: near - spot.low,
        Side.FAR: spot.high - far,
    }
    return CutOut(
        field=spot.field,
        row=spot.row,
        run=piece.run,
        piece=spot.number,
        place=spot.place,
        kind=piece.kind,
        from_left=max(0, distances[Side.LEFT]),
        from_right=max(0, distances[Side.RIGHT]),
        from_near=max(0, distances[Side.NEAR]),
        from_far=max(0, distances[Side.FAR]),
        width=min(right, piece.right) - max(left, piece.left),
        depth=min(far, spot.high) - max(near, spot.low),
        open=frozenset(side for side, distance in distances.items() if distance <= 0),
    )


def _meet(low: int, high: int, begin: int, end: int) -> bool:
    """Return whether a stretch of a piece and one of a fixture share more than an edge; a point lies in what begins with it."""
    return low <= begin < high if begin == end else low < end and begin < high
