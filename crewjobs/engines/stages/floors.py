"""The floor of a section as rectangles: its extent, what an L is short of, and where one can walk through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from crewjobs.domain.house import Room
from crewjobs.domain.units import INCH
from crewjobs.engines.moving.fitting import FloorPlan, Rect
from crewjobs.engines.stages.walks import size_of

WALKWAY_IN: Final = 32
"""The way left to walk; common practice, no source."""
HALL_IN: Final = 72
"""A place narrower than this is a hall, with doors along it; common practice, no source."""


def floor_plan(room: Room, part: str) -> FloorPlan:
    """Return the floor of a section in whole inches, with the ways to walk through it."""
    length, width = (side // INCH for side in size_of(room, part))
    corners = corners_of(room, part)
    missing = tuple(_missing(corners, length, width))
    ways = tuple(_around(corners, length, width, missing)) if missing else tuple(_across(length, width))
    return FloorPlan(width=length, depth=width, blocked=missing, walkways=ways)


def area_in2(room: Room, part: str) -> float:
    """Return the floor of a section in square inches."""
    return next(section.area_ft2 for section in room.sections if section.name == part) * 144


def corners_of(room: Room, part: str) -> list[tuple[int, int]]:
    """Return the corners of a section in whole inches, from the near corner of the rectangle around it."""
    ring = room.outline_of(part).corners
    left, near = min(x for x, _ in ring), min(y for _, y in ring)
    return [((x - left) // INCH, (y - near) // INCH) for x, y in ring]


def _missing(corners: Sequence[tuple[int, int]], length: int, width: int) -> Iterator[Rect]:
    """Yield the parts of the rectangle around a section that are not its floor, in inches, cut into stripes along its corners."""
    xs = sorted({0, length, *(x for x, _ in corners)})
    ys = sorted({0, width, *(y for _, y in corners)})
    for left, right in pairwise(xs):
        for top, low in pairwise(ys):
            if not _inside(corners, (left + right) / 2, (top + low) / 2):
                yield Rect(left, top, right - left, low - top)


def _inside(corners: Sequence[tuple[int, int]], x: float, y: float) -> bool:
    found = False
    for (x1, y1), (x2, y2) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            found = not found
    return found


def _across(length: int, width: int) -> Iterator[tuple[Rect, ...]]:
    """Yield ways to walk through a section: along either wall or in the middle, one way or the other.

    Where doors lie is not known. Through a place no wider than a hall the way runs all its length, past every door.
    """
    wide, hall = WALKWAY_IN, min(length, width) < HALL_IN
    if width >= wide and (not hall or length >= width):
        yield from ((Rect(0, y, length, wide),) for y in dict.fromkeys((0, width - wide, (width - wide) // 2)))
    if length >= wide and (not hall or width > length):
        yield from ((Rect(x, 0, wide, width),) for x in dict.fromkeys((0, length - wide, (length - wide) // 2)))


def _around(
    corners: Sequence[tuple[int, int]], length: int, width: int, missing: Sequence[Rect]
) -> Iterator[tuple[Rect, ...]]:
    """Yield ways through a section that is no rectangle: one along it and one across that meet, both as long as its floor is."""
    xs = sorted({0, length, *(x for x, _ in corners)})
    ys = sorted({0, width, *(y for _, y in corners)})
    along = [Rect(a, y, b - a, WALKWAY_IN) for y in _edges(ys) for a, b in _stretches(xs)]
    across = [Rect(x, a, WALKWAY_IN, b - a) for x in _edges(xs) for a, b in _stretches(ys)]
    flat, upright = (_longest(ways, missing, length, width) for ways in (along, across))
    for one in flat:
        for other in upright:
            if one.overlaps(other):
                yield one, other


def _edges(lines: Sequence[int]) -> list[int]:
    return sorted({edge for line in lines for edge in (line, line - WALKWAY_IN) if edge >= 0})


def _stretches(lines: Sequence[int]) -> list[tuple[int, int]]:
    return [(a, b) for i, a in enumerate(lines) for b in lines[i + 1 :]]


def _longest(ways: Sequence[Rect], missing: Sequence[Rect], length: int, width: int) -> list[Rect]:
    """Return the ways that lie on the floor, without those that are part of a longer one."""
    inside = [
        way
        for way in ways
        if way.x + way.width <= length and way.y + way.depth <= width and not any(way.overlaps(gap) for gap in missing)
    ]
    return [way for way in inside if not any(_part_of(way, other) for other in inside if other != way)]


def _part_of(way: Rect, other: Rect) -> bool:
    return (
        other.x <= way.x
        and other.y <= way.y
        and way.x + way.width <= other.x + other.width
        and way.y + way.depth <= other.y + other.depth
    )


def walked_in2(length: int, width: int) -> int:
    """Return the least floor that a way through a section takes, in square inches."""
    return WALKWAY_IN * (max(length, width) if min(length, width) < HALL_IN else min(length, width))
