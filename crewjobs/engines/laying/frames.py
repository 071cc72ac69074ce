"""Turning a room so that rows run along +x from its starting wall: only turned, never mirrored.

In the house y grows downwards on the drawing. In the frame a person stands in the room and faces the starting wall: x grows
to their right, y from the wall towards them. Rows are laid from their left to their right.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from crewjobs.engines.laying.model import Point


class Wall(StrEnum):
    """The side of the field at which laying begins, as it lies on the drawing."""

    TOP = "top"
    RIGHT = "right"
    BOTTOM = "bottom"
    LEFT = "left"

    @property
    def along_x(self) -> bool:
        """Return whether rows that begin at this wall run along the drawing's x."""
        return self in (Wall.TOP, Wall.BOTTOM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A quarter turn by the starting wall; `to` and `back` undo each other."""

    wall: Wall = Wall.TOP

    def to(self, point: Point) -> Point:
        """Return a point of the drawing in the frame."""
        x, y = point
        match self.wall:
            case Wall.TOP:
                return x, y
            case Wall.BOTTOM:
                return -x, -y
            case Wall.LEFT:
                return -y, x
            case Wall.RIGHT:
                return y, -x

    def back(self, point: Point) -> Point:
        """Return a point of the frame on the drawing."""
        x, y = point
        match self.wall:
            case Wall.TOP:
                return x, y
            case Wall.BOTTOM:
                return -x, -y
            case Wall.LEFT:
                return y, -x
            case Wall.RIGHT:
                return -y, x
