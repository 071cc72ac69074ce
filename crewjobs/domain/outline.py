"""The outline of a room: corner points in order, its area and walls, and the parts a line across it makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise
from math import hypot

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import square_feet

Point = tuple[int, int]
"""A corner in 1/4064 inch from any origin of the room."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A closed ring of corner points, in order; the last side runs back to the first."""

    corners: tuple[Point, ...]

    def __post_init__(self) -> None:
        if len(self.corners) < 3:
            raise Refused("an outline needs at least three corners.")
        if any(x < 0 or y < 0 for x, y in self.corners):
            raise Refused(
                "a corner of the outline is negative: measure every corner from one outer corner of the room."
            )
        if any(a == b for a, b in self.sides):
            raise Refused("two neighbouring corners of the outline are the same point.")
        crossing = _first_crossing(self.sides)
        if crossing is not None:
            raise Refused(
                f"sides {crossing[0] + 1} and {crossing[1] + 1} of the outline cross or touch: list the corners in order along the wall."
            )

    @staticmethod
    def rectangle(length: int, width: int) -> Outline:
        """Return the outline of a plain room."""
        if length <= 0 or width <= 0:
            raise Refused("length and width must be more than zero.")
        return Outline(corners=((0, 0), (length, 0), (length, width), (0, width)))

    @property
    def sides(self) -> tuple[tuple[Point, Point], ...]:
        """Return the walls as pairs of corners."""
        return tuple(pairwise((*self.corners, self.corners[0])))

    @property
    def doubled_area(self) -> int:
        """Return twice the area in square units, exact."""
        return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in self.sides))

    @property
    def area_ft2(self) -> float:
        """Return the area in ft²."""
        return square_feet(self.doubled_area)

    @property
    def walls(self) -> tuple[int, ...]:
        """Return the wall lengths in order, rounded to the grid for slanted walls."""
        return tuple(round(hypot(x2 - x1, y2 - y1)) for (x1, y1), (x2, y2) in self.sides)

    @property
    def perimeter(self) -> int:
        """Return the sum of the walls."""
        return sum(self.walls)

    @property
    def is_rectangle(self) -> bool:
        """Return whether it is the outline of `rectangle`."""
        return len(self.corners) == 4 and self.corners == Outline.rectangle(*self.size).corners

    @property
    def size(self) -> tuple[int, int]:
        """Return the extent along x and y."""
        xs, ys = [x for x, _ in self.corners], [y for _, y in self.corners]
        return max(xs) - min(xs), max(ys) - min(ys)

    def holds(self, point: Point) -> bool:
        """Return whether a point lies inside or on a wall."""
        if any(_turn(*side, point) == 0 and _on(*side, point) for side in self.sides):
            return True
        (x, y), inside = point, False
        for (x1, y1), (x2, y2) in self.sides:
            if (y1 > y) != (y2 > y) and ((x2 - x1) * (y - y1) - (x - x1) * (y2 - y1)) * (1 if y2 > y1 else -1) > 0:
                inside = not inside
        return inside

    def overlaps(self, other: Outline) -> bool:
        """Return whether two outlines share floor; along a common line they only touch."""
        return _crosses(self, other) or _reaches_into(self, other) or _reaches_into(other, self)

    def strip(self, start: int, length: int) -> Outline:
        """Return the part of a room between two lines across it, `start` and `start` + `length` from its near end.

        Raises:
            Refused: nothing lies there, or it is in pieces that do not hang together.
        """
        return _strip(self, start, length)

    def across(self, start: int) -> int:
        """Return how much of a line across a room, so far from its near end, lies inside it; nothing along its walls."""
        at = min(x for x, _ in self.corners) + start
        before, after = (_inside_at(self.sides, at, side) for side in (-1, 1))
        shared = (min(b, d) - max(a, c) for a, b in before for c, d in after)
        return round(sum(length for length in shared if length > 0))


def _crosses(one: Outline, other: Outline) -> bool:
    """Return whether a wall of one goes through a wall of the other, not only up to it."""
    return any(
        _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0
        for a, b in one.sides
        for c, d in other.sides
    )


def _reaches_into(one: Outline, other: Outline) -> bool:
    """Return whether a corner, the middle of a wall, or of a line between corners of one lies truly inside both."""
    doubled = [(2 * x, 2 * y) for x, y in one.corners]
    points = [*doubled, *((a[0] + b[0], a[1] + b[1]) for a, b in combinations(one.corners, 2))]
    return any(_within(one, point, edge=True) and _within(other, point, edge=False) for point in points) or (
        set(one.corners) == set(other.corners)
    )


def _within(outline: Outline, doubled: Point, *, edge: bool) -> bool:
    """Return whether a point, given in halves, lies inside; on a wall only with `edge`."""
    twice = [((2 * a[0], 2 * a[1]), (2 * b[0], 2 * b[1])) for a, b in outline.sides]
    if any(_turn(*side, doubled) == 0 and _on(*side, doubled) for side in twice):
        return edge
    (x, y), inside = doubled, False
    for (x1, y1), (x2, y2) in twice:
        if (y1 > y) != (y2 > y) and ((x2 - x1) * (y - y1) - (x - x1) * (y2 - y1)) * (1 if y2 > y1 else -1) > 0:
            inside = not inside
    return inside


@lru_cache(maxsize=256)
def _strip(outline: Outline, start: int, length: int) -> Outline:
    near = min(x for x, _ in outline.corners) + start
    ring = _kept(_kept(outline.corners, near, 1), near + length, -1)
    return Outline(corners=tuple(_without_spikes(ring)))


def _kept(ring: Sequence[Point], line: int, side: int) -> list[Point]:
    """Return a ring without what lies before a line across (`side` 1) or behind it (-1); slanted walls end on the grid."""
    found: list[Point] = []
    for (x1, y1), (x2, y2) in pairwise((*ring, *ring[:1])):
        inside, then = (x1 - line) * side >= 0, (x2 - line) * side >= 0
        if inside:
            found.append((x1, y1))
        if inside != then and line not in (x1, x2):
            found.append((line, round(y1 + (y2 - y1) * (line - x1) / (x2 - x1))))
    return found


def _without_spikes(ring: Sequence[Point]) -> list[Point]:
    """Return a ring without corners at which it turns back on itself, or stands still."""
    found = [*ring]
    while len(found) > 2:
        count = len(found)
        spike = next(
            (i for i in range(count) if found[i - 1] == found[i]
             or _folds_back((found[i - 1], found[i]), (found[i], found[(i + 1) % count]))),
            None,
        )  # fmt: skip
        if spike is None:
            break
        del found[spike]
    return found


def _inside_at(sides: Sequence[tuple[Point, Point]], line: int, side: int) -> list[tuple[float, float]]:
    """Return the stretches of a line across that lie inside, just before it (`side` -1) or behind."""
    meets = sorted(
        y1 + (y2 - y1) * (line - x1) / (x2 - x1)
        for (x1, y1), (x2, y2) in sides
        if x1 != x2 and (min(x1, x2) < line <= max(x1, x2) if side < 0 else min(x1, x2) <= line < max(x1, x2))
    )
    return [*zip(meets[::2], meets[1::2], strict=True)]


def _first_crossing(sides: Sequence[tuple[Point, Point]]) -> tuple[int, int] | None:
    count = len(sides)
    for i in range(count):
        for j in range(i + 1, count):
            neighbours = j == i + 1 or (i == 0 and j == count - 1)
            if _folds_back(sides[i], sides[j]) if neighbours else _meet(sides[i], sides[j]):
                return i, j
    return None


def _turn(a: Point, b: Point, c: Point) -> int:
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (cross > 0) - (cross < 0)


def _on(a: Point, b: Point, c: Point) -> bool:
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def _meet(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    (a, b), (c, d) = one, other
    t1, t2, t3, t4 = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if t1 != t2 and t3 != t4:
        return True
    return any(t == 0 and _on(*line, p) for t, line, p in ((t1, one, c), (t2, one, d), (t3, other, a), (t4, other, b)))


def _folds_back(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Neighbours share a corner; they only collide when one lies back on the other."""
    shared = one[1] if one[1] in other else one[0]
    a = one[0] if shared == one[1] else one[1]
    c = other[1] if shared == other[0] else other[0]
    dot = (a[0] - shared[0]) * (c[0] - shared[0]) + (a[1] - shared[1]) * (c[1] - shared[1])
    return _turn(a, shared, c) == 0 and dot > 0
