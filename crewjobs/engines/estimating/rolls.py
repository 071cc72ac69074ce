"""Take-off of sheet goods by roll width: how many running feet off the roll a room takes, and how long its seams are.

By roll width, whole room length; seams by layout later. A drop runs the whole length (or the whole width) of what is
floored in one go, an L counted as the rectangle around it. Which way the drops run is chosen by the fewest of them,
then by the least feet. What a real layout could save by filling in with pieces, and what a pattern repeat or a
continuous doorway adds, is not in it. Sheet goods are taken off by roll width and seams, not by area: common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil
from typing import Final

from crewjobs.domain.house import Room
from crewjobs.domain.units import FOOT, INCH

TRIM_ALLOWANCE: Final = 3 * INCH
"""What a sheet is cut longer and wider at each wall, to be trimmed in place: common practice, no source."""
HOW_TAKEN_OFF: Final = "by roll width, whole room length; seams by layout later"
"""What the take-off is, said wherever its figure is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drops:
    """Lengths off the roll side by side: `count` of them, each cut `cut` long and `seam` long without its allowance."""

    count: int
    cut: int
    seam: int

    @property
    def length(self) -> int:
        """Return what all of them take off the roll, in 1/4064 inch."""
        return self.count * self.cut

    @property
    def seams(self) -> int:
        """Return the length of the seams between them, in 1/4064 inch."""
        return (self.count - 1) * self.seam


def drops(size: tuple[int, int], roll_width: int) -> Drops:
    """Return the drops for a rectangle of two lengths (1/4064 inch), off a roll of a width above zero."""
    ways = [_along(size[0], size[1], roll_width), _along(size[1], size[0], roll_width)]
    return min(ways, key=lambda way: (way.count, way.length))


def room_drops(room: Room, roll_width: int) -> tuple[Drops, ...]:
    """Return the drops of each section of a room, in the lead's order; an outline with corners as the rectangle around it."""
    return tuple(drops(room.outline_of(section.name).size, roll_width) for section in room.sections)


def seam_feet(room: Room, part: int, roll_width: int) -> float:
    """Return the feet of seam in a section of a room: between its drops, and to the section before it."""
    to_the_one_before = room.outline.across(room.stretch(room.cuts[part][0])[0]) if part > 0 else 0
    return (room_drops(room, roll_width)[part].seams + to_the_one_before) / FOOT


def running_feet(rooms: Iterable[Room], roll_width: int) -> int:
    """Return the running feet to buy for rooms, rounded up once at the end to whole feet."""
    return ceil(sum(part.length for room in rooms for part in room_drops(room, roll_width)) / FOOT)


def _along(run: int, across: int, roll_width: int) -> Drops:
    """Return the drops that run one way: side by side they cover the other, with an allowance at both walls."""
    return Drops(count=-(-(across + 2 * TRIM_ALLOWANCE) // roll_width), cut=run + 2 * TRIM_ALLOWANCE, seam=run)
