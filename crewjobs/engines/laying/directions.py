"""Which way rows run and from which wall, and why: solid wood across the joists, then light, longest wall, doorways, slivers.

Where a room is worked in parts, rows begin in the part that is worked first. Common practice, no source. The reasons are data; words for people are made elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import hypot
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import FOOT
from crewjobs.engines.laying.floors import Laid, floor_of
from crewjobs.engines.laying.frames import Frame, Wall
from crewjobs.engines.laying.model import Field, Product
from crewjobs.engines.laying.rows import Rips

WIDEST_GAP: Final = 8 * FOOT
"""Walls in one line with no wider opening between them are one wall to the eye; common practice, no source."""
CLEARLY: Final = 1.1
"""A wall is the longest where it is longer by a tenth than any the other way."""


class WayReason(StrEnum):
    """Why rows run this way."""

    ACROSS_JOISTS = "solid wood goes across the joists"
    LIGHT = "rows run with the light from the main window"
    LONGEST_WALL = "rows run along the longest wall"
    PARTS = "rows run along the line between the parts of the room"
    DOORWAYS = "rows run on through the doorways"
    FEWEST_SLIVERS = "this way leaves fewer slivers"
    FEWEST_ROWS = "this way takes fewer rows"
    EITHER = "nothing speaks for one way"
    ASKED = "asked for"
    ONLY_WAY = "the other way leaves too narrow a row"


class WallReason(StrEnum):
    """Why laying begins at this wall of the two."""

    WORKED_FIRST = "what is worked first lies here"
    KEPT = "the layout kept begins here"
    LONGEST_WALL = "it is the longer straight wall"
    AWAY_FROM_DOORS = "it is the wall without doorways"
    FEWEST_SLIVERS = "beginning here leaves fewer slivers"
    EITHER = "both walls are alike"
    ASKED = "asked for"


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What speaks for a direction, as known; sides are sides of the drawing.

    `joists_along_x` is how the joists run, `light` the side of the main window, `doorways` the sides with one (once each time).
    `onward` points from what is worked first to what is worked later; `parts_along_x` is how the line between parts of a room runs.
    """

    solid: bool = False
    joists_along_x: bool | None = None
    light: Wall | None = None
    doorways: Sequence[Wall] = ()
    onward: tuple[float, float] | None = None
    parts_along_x: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Direction:
    """A proposed starting wall (which settles the direction) with both reasons and the rows it makes."""

    wall: Wall
    way: WayReason
    why_wall: WallReason
    rips: Rips


_ALONG_X: Final[tuple[Wall, ...]] = (Wall.TOP, Wall.BOTTOM)
_ALONG_Y: Final[tuple[Wall, ...]] = (Wall.LEFT, Wall.RIGHT)


def propose(
    product: Product,
    field: Field,
    known: Surroundings,
    *,
    along_x: bool | None = None,
    wall: Wall | None = None,
    doorways: frozenset[int] = frozenset(),
) -> Direction:
    """Return the starting wall to propose; `along_x` or `wall` ask for one way or one wall, `doorways` as in `Laid`.

    Raises:
        Refused: neither way can be laid (the sentence is the one of the way that was asked for, or of the first).
    """
    if wall is not None:
        rips = _rips(product, field, wall, doorways)
        return Direction(wall=wall, way=WayReason.ASKED, why_wall=WallReason.ASKED, rips=rips)
    rows: dict[Wall, Rips] = {}
    faults: dict[Wall, Refused] = {}
    for one in Wall:
        try:
            rows[one] = _rips(product, field, one, doorways)
        except Refused as fault:
            faults[one] = fault
    way, reason = _way(field, known, rows) if along_x is None else (along_x, WayReason.ASKED)
    walls = [one for one in (_ALONG_X if way else _ALONG_Y) if one in rows]
    if not walls and along_x is None:
        walls = [one for one in (_ALONG_Y if way else _ALONG_X) if one in rows]
        reason = WayReason.ONLY_WAY
    if not walls:
        raise next(iter(faults.values())) if along_x is None else faults[_ALONG_X[0] if along_x else _ALONG_Y[0]]
    chosen, why = _wall(field, known, rows, walls)
    return Direction(wall=chosen, way=reason, why_wall=why, rips=rows[chosen])


def _rips(product: Product, field: Field, wall: Wall, doorways: frozenset[int]) -> Rips:
    return floor_of(product, [Laid(field=field, wall=wall, doorways=doorways)]).fields[0].rips


def _way(field: Field, known: Surroundings, rows: dict[Wall, Rips]) -> tuple[bool, WayReason]:
    """Return whether rows run along x, by the first thing that speaks for one way."""
    if known.solid and known.joists_along_x is not None:
        return not known.joists_along_x, WayReason.ACROSS_JOISTS
    if known.light is not None:
        return not known.light.along_x, WayReason.LIGHT
    along, across = _longest(field, along_x=True), _longest(field, along_x=False)
    if max(along, across) >= CLEARLY * min(along, across):
        return along > across, WayReason.LONGEST_WALL
    if known.parts_along_x is not None:
        return known.parts_along_x, WayReason.PARTS
    through_x = sum(not wall.along_x for wall in known.doorways)
    through_y = len(known.doorways) - through_x
    if through_x != through_y:
        return through_x > through_y, WayReason.DOORWAYS
    for reason, figure in (
        (WayReason.FEWEST_SLIVERS, lambda rips: rips.slivers),
        (WayReason.FEWEST_ROWS, lambda rips: len(rips.widths)),
    ):
        x, y = (
            min((figure(rows[wall]) for wall in walls if wall in rows), default=None) for walls in (_ALONG_X, _ALONG_Y)
        )
        if x is not None and y is not None and x != y:
            return x < y, reason
    return along >= across, WayReason.EITHER


def _longest(field: Field, *, along_x: bool) -> float:
    """Return the longest wall that runs rather this way than the other; one with openings in it is one wall."""
    sides = [
        (one, other)
        for one, other in pairwise((*field.outline, field.outline[0]))
        if (abs(other[0] - one[0]) > abs(other[1] - one[1])) == along_x
    ]
    axis = 0 if along_x else 1
    lengths = [hypot(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in sides]
    level: dict[int, list[tuple[int, int]]] = {}
    for one, other in sides:
        if one[1 - axis] == other[1 - axis]:
            level.setdefault(one[1 - axis], []).append((min(one[axis], other[axis]), max(one[axis], other[axis])))
    for stretches in level.values():
        start, end = min(stretches)
        for low, high in sorted(stretches):
            if low - end > WIDEST_GAP:
                start = low
            end = max(end, high)
            lengths.append(float(end - start))
    return max(lengths, default=0.0)


def _wall(field: Field, known: Surroundings, rows: dict[Wall, Rips], walls: Sequence[Wall]) -> tuple[Wall, WallReason]:
    """Return which of two facing walls to begin at."""
    if len(walls) == 1:
        return walls[0], WallReason.EITHER
    one, other = walls
    if known.onward is not None:
        return (one if _begins(known.onward, one) else other), WallReason.WORKED_FIRST
    doors = {wall: sum(door is wall for door in known.doorways) for wall in walls}
    for figures, reason, tolerance in (
        ({wall: -_straight(field, wall) for wall in walls}, WallReason.LONGEST_WALL, CLEARLY),
        (doors, WallReason.AWAY_FROM_DOORS, 1.0),
        ({wall: rows[wall].slivers for wall in walls}, WallReason.FEWEST_SLIVERS, 1.0),
    ):
        low, high = sorted(walls, key=lambda wall: figures[wall])
        near, far = abs(figures[low]), abs(figures[high])
        if figures[low] != figures[high] and max(near, far) >= tolerance * min(near, far):
            return low, reason
    return one if rows[one].slivers <= rows[other].slivers else other, WallReason.EITHER


def _begins(onward: tuple[float, float], wall: Wall) -> bool:
    """Return whether rows from a wall come to what is worked first before the rest: earlier rows, else farther left."""
    right, away = Frame(wall=wall).to((round(onward[0]), round(onward[1])))
    return away > 0 if abs(away) >= abs(right) else right > 0


def _straight(field: Field, side: Wall) -> int:
    """Return the longest straight wall that faces the room from a side of the drawing."""
    sides = list(pairwise((*field.outline, field.outline[0])))
    turn = 1 if sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in sides) > 0 else -1
    axis = 0 if side.along_x else 1
    lowest = side in (Wall.TOP, Wall.LEFT)
    return max(
        (
            abs(b[axis] - a[axis])
            for a, b in sides
            if a[1 - axis] == b[1 - axis] and ((b[axis] - a[axis]) * turn * (1 if axis == 0 else -1) > 0) == lowest
        ),
        default=0,
    )
