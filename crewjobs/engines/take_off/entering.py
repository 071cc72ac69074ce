"""A room's walls as somebody sees them who comes in: ahead, to the left, to the right, or the one they came through."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.house import Opening, Room
from crewjobs.domain.job import Job
from crewjobs.engines.estimating.places import OUTSIDE
from crewjobs.engines.take_off.fields import outward


class Seen(StrEnum):
    """On which side a wall is seen on coming in."""

    AHEAD = "ahead"
    LEFT = "left"
    RIGHT = "right"
    BEHIND = "behind"


SQUARE: Final = 0.05
"""Sine of the angle (3 degrees) up to which a wall counts as square to another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenWall:
    """A wall of a room (counted from 1) with its length in 1/4064 inch, and how it is recognized.

    `side` is where it is seen by who comes in from `coming_from` (a room, or outside), None where it is not said in which wall
    any opening is; `alone`: no other wall is seen on that side. `window`: most light comes through it; `opposite_window`: through
    the wall facing it. `entered`: one comes in through it. `slanted`: it is seen on that side too, as it runs at a slant.
    """

    room: str
    wall: int
    length: int
    side: Seen | None
    coming_from: str
    alone: bool
    window: bool
    opposite_window: bool
    entered: bool = True
    slanted: Seen | None = None


def seen(job: Job, room: Room, wall: int) -> SeenWall:
    """Return how a wall of a room is recognized on coming in through its main opening.

    That is the one to outside, else the widest.
    """
    entrance = _entrance(job, room)
    side, alone, origin, through, slanted = None, True, "", wall, None
    if entrance is not None:
        opening, inside = entrance
        origin = opening.between[1 - inside]
        through = opening.walls[inside]
        sides = {one: _side(room, through, one) for one in range(1, len(room.outline.corners) + 1)}
        side = sides[wall]
        alone = sum(other is side for other in sides.values()) == 1
        slanted = _slanted(room, through, wall)
    light = room.window_wall
    return SeenWall(
        room=room.name,
        wall=wall,
        length=room.outline.walls[wall - 1],
        side=side,
        coming_from=origin,
        alone=alone,
        window=light == wall,
        opposite_window=light not in (0, wall) and _side(room, light, wall) is Seen.AHEAD,
        entered=through == wall,
        slanted=slanted,
    )


def _entrance(job: Job, room: Room) -> tuple[Opening, int] | None:
    there = [
        (opening, side)
        for opening in job.openings
        for side in (0, 1)
        if opening.between[side] == room.name and opening.walls[side]
    ]
    if not there:
        return None
    return min(there, key=lambda one: (one[0].between[1 - one[1]] != OUTSIDE, -one[0].width, one[0].name))


def _slanted(room: Room, through: int, wall: int) -> Seen | None:
    """Return on which side besides `_side` a wall is seen that stands square to none; None of one that does."""
    ahead, right = _turned(room, through, wall)
    if min(abs(ahead), abs(right)) < SQUARE:
        return None
    if abs(ahead) >= abs(right):
        return Seen.RIGHT if right > 0 else Seen.LEFT
    return Seen.AHEAD if ahead > 0 else Seen.BEHIND


def _side(room: Room, through: int, wall: int) -> Seen:
    """Return where a wall is seen by somebody who comes in through another (or the same)."""
    ahead, right = _turned(room, through, wall)
    if abs(ahead) >= abs(right):
        return Seen.AHEAD if ahead > 0 else Seen.BEHIND
    return Seen.RIGHT if right > 0 else Seen.LEFT


def _turned(room: Room, through: int, wall: int) -> tuple[float, float]:
    """Return the way out through a wall as somebody sees it who comes in through another: how far ahead, how far to the right."""
    (ox, oy), (wx, wy) = outward(room.outline, through), outward(room.outline, wall)
    dx, dy = -ox, -oy  # the way they look; y grows downwards on the drawing, so that right of it is (-dy, dx)
    return wx * dx + wy * dy, wx * -dy + wy * dx
