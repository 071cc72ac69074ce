"""Sheet goods drawn: the rooms with their seams and drops by number, and the roll with what is cut from where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from crewjobs.domain.house import Room
from crewjobs.domain.units import FOOT, INCH
from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Says, Shape, Tile, Words
from crewjobs.engines.estimating.roll_choice import PlacedDrop, RollPlan

_LINE: Final = 6
_APART: Final = 18
"""Inches between the room and the roll, the roll's words among them."""


def drawn_roll(room: Room, plan: RollPlan, counted: str) -> Drawing:
    """Return a room with the drops that cover it, and the roll below with those hatched, in whole inches; `counted` says how much of it is bought."""
    xs, ys = [x for x, _ in room.outline.corners], [y for _, y in room.outline.corners]
    left, top, width, depth = min(xs), min(ys), _inches(max(xs) - min(xs)), _inches(max(ys) - min(ys))
    at_top = _LINE + depth + _APART
    long, high = plan.feet * FOOT // INCH, _inches(plan.roll)
    shapes = [
        *_room(room, plan, (left, top)),
        *_roll(room, plan, at_top),
        Words(tile=0, text=room.name, says=Says.ROOM, x=0, y=0, width=max(width, 60), depth=_LINE),
        Words(
            tile=1,
            text=f"the roll, {counted}",
            says=Says.ROOM,
            x=0,
            y=at_top - _LINE,
            width=long,
            depth=_LINE,
        ),
    ]
    tiles = (
        Tile(name=room.name, x=0, y=0, width=width, depth=depth + _LINE, inner=(0, _LINE, width, depth)),
        Tile(name="roll", x=0, y=at_top, width=long, depth=high, inner=(0, at_top, long, high)),
    )
    return Drawing(width=max(width, long, 60), depth=at_top + high, line=_LINE, shapes=tuple(shapes), tiles=tiles)


def _room(room: Room, plan: RollPlan, corner: tuple[int, int]) -> Iterator[Shape]:
    def at(x: int, y: int) -> tuple[int, int]:
        return _inches(x - corner[0]), _inches(y - corner[1]) + _LINE

    for ring, wall in [(room.outline, True), *((one.outline, True) for one in room.obstacles)]:
        for one, other in ring.sides:
            yield Line(tile=0, start=at(*one), end=at(*other), wall=wall)
    for floor in plan.floors:
        if floor.floor.room != room.name:
            continue
        for seam in floor.way.seams:
            upright = seam.crossing != floor.way.turned
            ends = [(seam.at, end) if upright else (end, seam.at) for end in (seam.start, seam.end)]
            yield Line(tile=0, start=at(*ends[0]), end=at(*ends[1]))
    for number, placed in enumerate(plan.drops, 1):
        if placed.room == room.name:
            (x, y), (to_x, to_y) = (at(*one) for one in _ends(placed))
            yield _number(0, number, (x, y, to_x, to_y))


def _ends(placed: PlacedDrop) -> Sequence[tuple[int, int]]:
    drop = placed.drop
    ends = ((drop.start, drop.near), (drop.end, drop.far))
    return [(y, x) for x, y in ends] if placed.turned else ends


def _roll(room: Room, plan: RollPlan, top: int) -> Iterator[Shape]:
    long, high = plan.feet * FOOT // INCH, _inches(plan.roll)
    for number, one in enumerate(plan.drops, 1):
        x, y = _inches(one.at), top + _inches(one.left)
        to_x, to_y = _inches(one.at + one.drop.length), top + _inches(one.left + one.drop.width)
        fill = Fill.PIECE if one.room == room.name else Fill.UNUSED
        yield Box(tile=1, x=x, y=y, width=to_x - x, depth=to_y - y, fill=fill)
        yield _number(1, number, (x, y, to_x, to_y))
    corners = [(0, top), (long, top), (long, top + high), (0, top + high)]
    for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        yield Line(tile=1, start=start, end=end, wall=True)


def _number(tile: int, number: int, box: tuple[int, int, int, int]) -> Words:
    x, y, to_x, to_y = box
    low = y + (to_y - y - _LINE) // 2
    return Words(tile=tile, text=str(number), says=Says.LETTER, x=x, y=low, width=to_x - x, depth=_LINE, middle=True)


def _inches(length: int) -> int:
    return round(length / INCH)
