"""What a lead says of how a floor is to be laid in a room: joists, rows, windows, what stands in it, what comes through it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.outline import Outline, Point
from crewjobs.domain.units import FOOT, exact_length, quoted

LARGEST_CUT_OUT: Final = 4 * FOOT


class Direction(StrEnum):
    """How something runs in a room: along its length (its first wall), or across."""

    UNSAID = ""
    ALONG = "along"
    ACROSS = "across"


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """What stands in a room and is laid around: an island, a hearth, a column; corners as the room's own."""

    name: str
    outline: Outline


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut:
    """What comes through the floor and is cut out of a plank: a flange, a vent, a pipe, a cable.

    `at` is its middle in the room's own corner points, `size` along and across the room, in 1/4064 inch.
    """

    what: str
    at: Point
    size: tuple[int, int]

    def __post_init__(self) -> None:
        if not self.what.strip():
            raise Refused("say what is cut out, such as what = 'flange'.")
        if not 0 < min(self.size) <= max(self.size) <= LARGEST_CUT_OUT:
            raise Refused(
                f"{quoted(self.what)} is cut out {exact_length(self.size[0])} by {exact_length(self.size[1])}: "
                f"each is more than zero, {exact_length(LARGEST_CUT_OUT)} at most."
            )
