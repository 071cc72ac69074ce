"""Outlines: area, walls and crossings, judged by independent methods.

Areas are checked by counting lattice points (Pick's theorem, G. Pick, Geometrisches zur Zahlenlehre, 1899:
doubled area = 2 × inner + boundary − 2); crossings by solving each pair of sides in exact fractions.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import gcd, isqrt

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Room
from crewjobs.domain.outline import Outline, Point
from crewjobs.domain.units import FOOT, INCH

Side = tuple[Point, Point]
points = st.tuples(st.integers(0, 6), st.integers(0, 6))
rings = st.lists(points, min_size=3, max_size=8)


def sides_of(ring: list[Point]) -> list[Side]:
    """The sides of a ring, the last back to the first."""
    return list(pairwise([*ring, ring[0]]))


def common_points(one: Side, other: Side) -> int:
    """How many points two sides share: 0, 1, or 2 for endlessly many. Solved in fractions, by Cramer's rule."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    rx, ry, sx, sy = bx - ax, by - ay, dx - cx, dy - cy
    determinant = rx * sy - ry * sx
    if determinant:
        t = Fraction((cx - ax) * sy - (cy - ay) * sx, determinant)
        u = Fraction((cx - ax) * ry - (cy - ay) * rx, determinant)
        return int(0 <= t <= 1 and 0 <= u <= 1)
    if (cx - ax) * ry != (cy - ay) * rx:
        return 0
    length = rx * rx + ry * ry
    ends = sorted(Fraction((x - ax) * rx + (y - ay) * ry, length) for x, y in other)
    low, high = max(ends[0], Fraction(0)), min(ends[1], Fraction(1))
    return 0 if low > high else 1 if low == high else 2


def is_simple(ring: list[Point]) -> bool:
    """Whether a ring has no empty side and no two sides with more in common than a corner of neighbours."""
    sides = sides_of(ring)
    if any(a == b for a, b in sides):
        return False
    count = len(sides)
    return all(
        common_points(sides[i], sides[j]) == (1 if j - i in (1, count - 1) else 0)
        for i in range(count)
        for j in range(i + 1, count)
    )


def inner_points(ring: list[Point]) -> int:
    """Count lattice points strictly inside, by casting a ray and leaving out those on a side."""
    count = 0
    for x in range(7):
        for y in range(7):
            if any(_is_on((x, y), side) for side in sides_of(ring)):
                continue
            crossed = 0
            for (ax, ay), (bx, by) in sides_of(ring):
                if (ay > y) != (by > y):
                    crossed += Fraction(ax) + Fraction((y - ay) * (bx - ax), by - ay) > x
            count += crossed % 2
    return count


def _is_on(point: Point, side: Side) -> bool:
    (x, y), ((ax, ay), (bx, by)) = point, side
    on_line = (bx - ax) * (y - ay) == (by - ay) * (x - ax)
    return on_line and min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by)


@given(rings)
def test_a_ring_is_refused_exactly_when_it_crosses_itself(ring: list[Point]) -> None:
    """Of small rings, those with crossing, touching or empty sides are refused, and no others."""
    if is_simple(ring):
        assert Outline(corners=tuple(ring)).corners == tuple(ring)
    else:
        with pytest.raises(Refused):
            Outline(corners=tuple(ring))


@settings(suppress_health_check=[HealthCheck.filter_too_much])  # most small rings cross themselves
@given(rings)
def test_area_by_counting_points(ring: list[Point]) -> None:
    """The area of any outline is that of Pick's theorem."""
    assume(is_simple(ring))
    boundary = sum(gcd(bx - ax, by - ay) for (ax, ay), (bx, by) in sides_of(ring))
    assert Outline(corners=tuple(ring)).doubled_area == 2 * inner_points(ring) + boundary - 2


@settings(suppress_health_check=[HealthCheck.filter_too_much])  # most small rings cross themselves
@given(rings, st.integers(0, 7))
def test_where_the_list_starts_does_not_matter(ring: list[Point], turn: int) -> None:
    """Starting at another corner, or going round the other way, changes neither area nor perimeter."""
    assume(is_simple(ring))
    turned = ring[turn % len(ring) :] + ring[: turn % len(ring)]
    one, other = Outline(corners=tuple(ring)), Outline(corners=tuple(reversed(turned)))
    assert (one.doubled_area, one.perimeter) == (other.doubled_area, other.perimeter)


@given(st.integers(1, 10**7), st.integers(1, 10**7))
def test_rectangle(length: int, width: int) -> None:
    """A plain room has length times width, four walls, and is known as a rectangle."""
    room = Outline.rectangle(length, width)
    assert room.doubled_area == 2 * length * width
    assert room.walls == (length, width, length, width)
    assert room.perimeter == 2 * (length + width)
    assert room.is_rectangle
    assert room.size == (length, width)


@given(st.integers(1, 10**6), st.integers(1, 10**6))
def test_slanted_wall(across: int, along: int) -> None:
    """A slanted wall has the length of Pythagoras, to the nearest unit."""
    walls = Outline(corners=((0, 0), (across, 0), (0, along))).walls
    assert abs(walls[1] - isqrt(across * across + along * along)) <= 1


def test_an_l_shaped_room() -> None:
    """12 ft × 9 ft less a corner of 8 ft × 5 ft are 68 ft², with 42 ft of walls."""
    corners = [(0, 0), (12, 0), (12, 4), (4, 4), (4, 9), (0, 9)]
    room = Outline(corners=tuple((x * FOOT, y * FOOT) for x, y in corners))
    assert room.area_ft2 == 68
    assert room.perimeter == 42 * FOOT
    assert not room.is_rectangle


@pytest.mark.parametrize(
    ("corners", "word"),
    [
        (((0, 0), (5, 5)), "three corners"),
        (((0, 0), (5, 0), (5, 5), (-1, 5)), "negative"),
        (((0, 0), (5, 0), (5, 0), (5, 5)), "same point"),
        (((0, 0), (5, 5), (5, 0), (0, 5)), "cross"),
        (((0, 0), (5, 0), (2, 0), (2, 5)), "cross"),
    ],
)
def test_what_no_outline_is(corners: tuple[Point, ...], word: str) -> None:
    """Too few corners, a negative one, one twice, a crossing, a wall folded back: each its own sentence."""
    with pytest.raises(Refused, match=word):
        Outline(corners=corners)


@pytest.mark.parametrize(("length", "width"), [(0, 5), (5, 0), (-5, 5)])
def test_a_room_has_length_and_width(length: int, width: int) -> None:
    """A plain room is more than zero both ways."""
    with pytest.raises(Refused):
        Outline.rectangle(length, width)


@st.composite
def skylines(draw: st.DrawFn) -> tuple[Outline, list[int]]:
    """Draw a room as columns side by side, with its far end slanted or not, and lengths of sections that add up to it."""
    columns = draw(st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9)), min_size=1, max_size=6))
    slant = draw(st.integers(0, 5))
    x, ring = 0, [(0, 0)]
    for width, depth in columns:
        ring += [(x * FOOT, depth * FOOT), ((x + width) * FOOT, depth * FOOT)]
        x += width
    ring.append(((x + slant) * FOOT, 0))
    corners = tuple(corner for corner, then in zip(ring, (*ring[1:], ring[0]), strict=True) if corner != then)
    cuts = sorted(draw(st.sets(st.integers(1, 12 * (x + slant) - 1), max_size=3)))
    edges = [0, *(cut * INCH for cut in cuts), (x + slant) * FOOT]
    return Outline(corners=corners), [then - one for one, then in pairwise(edges)]


@given(skylines())
def test_sections_add_up_to_their_room(drawn: tuple[Outline, list[int]]) -> None:
    """Areas of the sections add up to the room's; so do their walls, once the lines between them are taken off both sides.

    Exact where walls are square; a slanted wall's end is rounded to the grid.
    """
    outline, lengths = drawn
    cuts = tuple((f"part {i}", length) for i, length in enumerate(lengths))
    room = Room(name="den", outline=outline, cuts=cuts)
    parts = [room.outline_of(name) for name, _ in cuts]
    assert sum(part.doubled_area for part in parts) == pytest.approx(outline.doubled_area, abs=40 * FOOT)
    assert sum(section.area_ft2 for section in room.sections) == pytest.approx(outline.area_ft2, abs=0.01)
    seams = [outline.across(room.stretch(name)[0]) for name, _ in cuts]
    assert seams[0] == 0
    assert sum(part.perimeter for part in parts) - 2 * sum(seams) == pytest.approx(outline.perimeter, abs=20)


def test_a_section_in_two_pieces_is_refused() -> None:
    """The arms of a U do not hang together: a line that cuts only them off is drawn elsewhere."""
    u = [(0, 0), (12, 0), (12, 3), (4, 3), (4, 6), (12, 6), (12, 9), (0, 9)]
    outline = Outline(corners=tuple((x * FOOT, y * FOOT) for x, y in u))
    with pytest.raises(Refused, match="section 'arms' would be in two pieces"):
        Room(name="den", outline=outline, cuts=(("back", 4 * FOOT), ("arms", 8 * FOOT)))
