"""Base and shoe by the stick: held to every way of packing for small rooms, each stick sawn as it is told."""

from __future__ import annotations

from functools import cache
from itertools import groupby

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.house import Opening, Room
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.quantities import base_length
from crewjobs.engines.take_off import sticks
from crewjobs.engines.take_off.sticks import KERF, MITRE, SHORTEST_SPLICE, fewest_sticks, least_bins, pieces_of
from crewjobs.engines.take_off.walls import End, Stretch, corners, stretches
from tests import strategies as ours
from tests import thorough


def _wall(length: int, *ends: End) -> Stretch:
    near, far = ends or (End.INSIDE, End.INSIDE)
    return Stretch(room="den", wall=1, start=0, end=length, ends=(near, far))


def _fewest(sizes: tuple[int, ...], room: int) -> int:
    """Return the fewest bins by trying every set of what is left that fits with the first of it."""

    @cache
    def least(left: tuple[int, ...]) -> int:
        if not left:
            return 0
        first, rest = left[0], left[1:]
        best = len(left)
        for chosen in range(1 << len(rest)):
            some = [size for i, size in enumerate(rest) if chosen >> i & 1]
            if first + sum(some) <= room:
                best = min(best, 1 + least(tuple(size for i, size in enumerate(rest) if not chosen >> i & 1)))
        return best

    return least(sizes)


lengths = st.integers(6, 120).map(lambda quarter: quarter * FOOT // 4)
walls = st.lists(st.builds(_wall, lengths), min_size=1, max_size=7)


@settings(max_examples=thorough.examples(25, 8), deadline=None)
@given(walls, st.sampled_from((8, 12, 16)))
def test_no_packing_takes_fewer_sticks(some: list[Stretch], feet: int) -> None:
    """For up to seven walls: as few sticks as trying every packing finds, and said to be proved; where a wall is spliced only if all
    lengths together need as many."""
    found = fewest_sticks(some, feet * FOOT)
    sizes = tuple(sorted((piece.length + KERF for piece in pieces_of(some, feet * FOOT)), reverse=True))
    if len(sizes) <= 10:
        spliced = any(piece.of > 1 for pieces in found.cut for piece in pieces)
        full = sum(sizes) > (len(found.cut) - 1) * (feet * FOOT + KERF)
        assert (len(found.cut), found.proved) == (_fewest(sizes, feet * FOOT + KERF), full or not spliced)
    assert least_bins(sizes, feet * FOOT + KERF) <= len(found.cut)


@settings(max_examples=thorough.examples(25, 8), deadline=None)
@given(walls, st.sampled_from((8, 12, 16)))
def test_every_stick_can_be_sawn_and_every_wall_is_covered(some: list[Stretch], feet: int) -> None:
    """Pieces and the cuts between them are no longer than the stick; a wall's pieces add up to it, a scarf at every splice."""
    stick = feet * FOOT
    found = fewest_sticks(some, stick)
    for pieces, left in zip(found.cut, found.left, strict=True):
        sawn = sum(piece.length for piece in pieces) + KERF * (len(pieces) - 1)
        assert sawn + left == stick
        assert left >= 0
    sawn_pieces = sorted(
        (piece for pieces in found.cut for piece in pieces), key=lambda one: (id(one.stretch), one.part)
    )
    for _, group in groupby(sawn_pieces, key=lambda one: id(one.stretch)):
        parts = [*group]
        stretch = parts[0].stretch
        assert sum(part.length for part in parts) == stretch.length + MITRE * (len(parts) - 1)
        assert [part.part for part in parts] == [*range(1, parts[0].of + 1)]
        assert len(parts) == 1 or min(part.length for part in parts) >= SHORTEST_SPLICE
    assert {id(piece.stretch) for piece in sawn_pieces} == {id(one) for one in some}


def test_other_splices_may_take_fewer_sticks() -> None:
    """Sticks of 16 ft. Walls of 20, 11 and 11 ft less an inch are 42 ft: three sticks are needed however they are spliced. Walls of 18, 9,
    9 and 9 ft are 45 ft: four as they are cut, and three are not ruled out by length."""
    inch = FOOT // 12
    found = fewest_sticks([_wall(20 * FOOT), _wall(11 * FOOT - inch), _wall(11 * FOOT - inch)], 16 * FOOT)
    assert (len(found.cut), found.proved) == (3, True)
    found = fewest_sticks([_wall(18 * FOOT), _wall(9 * FOOT), _wall(9 * FOOT), _wall(9 * FOOT)], 16 * FOOT)
    assert (len(found.cut), found.proved) == (4, False)


def test_strips_are_butted() -> None:
    """A doorway wider than a stick takes a whole one and the rest, with nothing for a scarf."""
    found = fewest_sticks([_wall(8 * FOOT, End.OPENING, End.OPENING)], 6 * FOOT, scarf=0)
    assert sorted(piece.length for pieces in found.cut for piece in pieces) == [2 * FOOT, 6 * FOOT]


def test_without_the_solver_a_packing_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver is not installed the first packing is told, proved only where the bound says so."""
    monkeypatch.setattr(sticks, "available", lambda: False)
    found = fewest_sticks([_wall(feet * FOOT) for feet in (7, 6, 5, 4, 4, 3, 3)], 8 * FOOT)
    assert len(found.cut) >= 4
    assert found.proved == (
        len(found.cut) == least_bins([p.length + KERF for one in found.cut for p in one], 8 * FOOT + KERF)
    )


@given(ours.rectangles(), st.integers(24, 36), st.integers(0, 20))
def test_the_walls_less_the_doors_are_the_base(outline: Outline, width: int, offset: int) -> None:
    """Stretches add up to the walls less the openings, whether it is said where they are or not.

    Source: a college text on estimating, p. 169 (trade-facts 5.2): base is the sum of walls less door openings.
    """
    room = Room(name="den", outline=outline)
    said = Opening(between=("den", "hall"), width=width * INCH, walls=(2, 0), offsets=(offset * INCH, 0))
    unsaid = Opening(between=("bath", "den"), width=30 * INCH)
    if outline.walls[1] < said.width + said.offsets[0] or max(outline.walls) < 70 * INCH:
        return
    found, unplaced = stretches(room, [said, unsaid])
    assert sum(one.length for one in found) == base_length(outline.walls, [said.width, unsaid.width])
    assert unplaced == (unsaid,)
    for one in found:
        assert one.length > 0
        assert one.wall != 2 or one.end <= said.offsets[0] or one.start >= said.offsets[0] + said.width


def test_an_l_has_one_outside_corner() -> None:
    """Of the six corners of an L one juts into the room, whichever way round it was measured; its walls are mitred there."""
    ring = ((0, 0), (20, 0), (20, 10), (12, 10), (12, 18), (0, 18))
    for points in (ring, ring[::-1]):
        outline = Outline(corners=tuple((x * FOOT, y * FOOT) for x, y in points))
        kinds = corners(outline)
        assert kinds.count(End.OUTSIDE) == 1
        assert outline.corners[kinds.index(End.OUTSIDE)] == (12 * FOOT, 10 * FOOT)
        found, _ = stretches(Room(name="den", outline=outline), [])
        longer = [piece.length - piece.stretch.length for piece in pieces_of(found, 30 * FOOT)]
        assert sorted(longer) == [0, 0, 0, 0, MITRE, MITRE]
