"""Walls as seen on coming in: held to a person who walks in and turns, and to rooms turned and measured the other way round."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, degrees

import pytest

from crewjobs.domain.house import Opening, Room
from crewjobs.domain.job import Job
from crewjobs.domain.units import FOOT
from crewjobs.engines.take_off.entering import Seen, seen
from tests.engines.take_off.test_fields import _job, _room

BOX = ((0, 0), (16, 0), (16, 11), (0, 11))
ELL = ((0, 0), (16, 0), (16, 6), (9, 6), (9, 11), (0, 11))


def _house(room: Room, *doors: tuple[str, int, int]) -> Job:
    """A room with doors: where each leads, in which wall, how many feet wide."""
    openings = [
        Opening(between=(room.name, to), width=feet * FOOT, walls=(wall, 0), offsets=(FOOT, 0))
        for to, wall, feet in doors
    ]
    return _job([room, _room("hall", *BOX), _room("porch", *BOX)], openings)


def _by_turning(room: Room, through: int, wall: int) -> Seen:
    """Where a person sees the middle of a wall who stands where they came in: by the angle they turn, y down on the plan."""
    (ax, ay), (bx, by) = room.outline.sides[through - 1]
    (cx, cy), (dx, dy) = room.outline.sides[wall - 1]
    along = (cx - dx, cy - dy)
    inward = next(
        one
        for one in ((-(by - ay), bx - ax), (by - ay, -(bx - ax)))
        if room.outline.holds((round((ax + bx) / 2 + one[0] * 1e-3), round((ay + by) / 2 + one[1] * 1e-3)))
    )
    out = next(
        one
        for one in ((-along[1], along[0]), (along[1], -along[0]))
        if not room.outline.holds((round((cx + dx) / 2 + one[0] * 1e-3), round((cy + dy) / 2 + one[1] * 1e-3)))
    )
    turn = degrees(atan2(out[1], out[0]) - atan2(inward[1], inward[0])) % 360  # clockwise, since y grows downwards
    return {0: Seen.AHEAD, 90: Seen.RIGHT, 180: Seen.BEHIND, 270: Seen.LEFT}[round(turn)]


@pytest.mark.parametrize("corners", [BOX, ELL, BOX[::-1], ELL[::-1], (*ELL[2:], *ELL[:2])])
def test_walls_are_seen_where_one_turns_to_them(corners: tuple[tuple[int, int], ...]) -> None:
    """From a door in any wall, whichever way the corners were listed."""
    room = _room("den", *corners)
    for through in range(1, len(corners) + 1):
        for wall in range(1, len(corners) + 1):
            found = seen(_house(room, ("hall", through, 3)), room, wall)
            assert found.side is _by_turning(room, through, wall)
            assert found.coming_from == "hall"
            sides = [_by_turning(room, through, one) for one in range(1, len(corners) + 1)]
            assert found.alone == (sides.count(found.side) == 1)


def test_one_comes_in_from_outside_else_through_the_widest_opening() -> None:
    """The front door counts before a wider opening to the hall; without one, the wider of two."""
    room = _room("den", *BOX)
    assert seen(_house(room, ("hall", 1, 5), ("outside", 3, 3)), room, 1).side is Seen.AHEAD
    assert seen(_house(room, ("hall", 1, 5), ("porch", 2, 3)), room, 1).side is Seen.BEHIND


def test_windows_and_openings_nobody_placed() -> None:
    """The window wall is known as such, the one across from it too; where no opening has a wall, no side is made up."""
    room = replace(_room("den", *BOX), window_wall=2)
    found = [seen(_house(room, ("hall", 0, 3)), room, wall) for wall in (1, 2, 3, 4)]
    assert [one.side for one in found] == [None] * 4
    assert [one.window for one in found] == [False, True, False, False]
    assert [one.opposite_window for one in found] == [False, False, False, True]
