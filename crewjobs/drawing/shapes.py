"""A house drawn as one list of shapes, in inches, for whoever paints it: screen, paper, text.

Black and white: what a place is, is told by its fill, never by a color. Shapes come in the order of painting; each belongs to
a tile, which is one room drawn by itself. Words stand in a box that is kept for them and are cut where they do not fit it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum


class Fill(StrEnum):
    """What a part of the drawing is, in the words of its key."""

    WORKED = "worked now"
    CURES = "cures: keep off"
    LAID = "floor laid"
    LATER = "worked later"
    KEPT = "things kept here"
    PASSED = "walked through"
    UNUSED = "not used"
    WAY = "way kept free"
    PIECE = "a piece, by its letter"
    WHOLE = "whole"
    CUT = "cut, with its plank's number"
    CUT_ALONE = "cut"
    CUT_ONWARD = "cut, with the row its rest goes to"


class Says(StrEnum):
    """What words in the drawing are."""

    ROOM = "room"
    SECTION = "section"
    OPENING = "opening"
    LETTER = "letter"  # in a piece
    LETTERS = "letters"  # of pieces whose place within the section was not looked at
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Polygon:
    """A closed ring of corners in inches, without an edge."""

    tile: int
    corners: tuple[tuple[int, int], ...]
    fill: Fill


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle in inches from its upper left corner: a piece, or the way that stays free."""

    tile: int
    x: int
    y: int
    width: int
    depth: int
    fill: Fill

    @property
    def corners(self) -> tuple[tuple[int, int], ...]:
        """Return its corners in order."""
        right, bottom = self.x + self.width, self.y + self.depth
        return (self.x, self.y), (right, self.y), (right, bottom), (self.x, bottom)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A wall, a joint between two pieces of floor, else the lead's line between two sections; its ends in inches."""

    tile: int
    start: tuple[int, int]
    end: tuple[int, int]
    wall: bool = False
    joint: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A text within the box kept for it, in inches; `middle` of the box, else at its left."""

    tile: int
    text: str
    says: Says
    x: int
    y: int
    width: int
    depth: int
    middle: bool = False


Shape = Polygon | Box | Line | Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One room by itself: the box of its shapes, words included, and within it that of its outline, in inches."""

    name: str
    x: int
    y: int
    width: int
    depth: int
    inner: tuple[int, int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegendRow:
    """What a letter in the drawing is and where it stands; `came` is where it stood before, empty where it was not carried."""

    letter: str
    name: str
    count: int
    where: str
    came: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A house as shapes within `width` by `depth` inches; `line` is the height of a line of words.

    Where whole inches are too coarse all of these are parts of an inch, `per_inch` to one. Rooms are tiles of one scale: how they lie to each other is not known, so no more is drawn than that.
    """

    width: int
    depth: int
    line: int
    shapes: tuple[Shape, ...]
    tiles: tuple[Tile, ...]
    legend: tuple[LegendRow, ...] = ()
    per_inch: int = 1

    @property
    def fills(self) -> tuple[Fill, ...]:
        """Return the fills that occur, in the order of the key."""
        there = {shape.fill for shape in self.shapes if isinstance(shape, Box | Polygon)}
        return tuple(fill for fill in Fill if fill in there)


def moved(shape: Shape, right: int, down: int) -> Shape:
    """Return a shape so many inches further right and down."""
    if isinstance(shape, Polygon):
        return replace(shape, corners=tuple((x + right, y + down) for x, y in shape.corners))
    if isinstance(shape, Line):
        (x, y), (to_x, to_y) = shape.start, shape.end
        return replace(shape, start=(x + right, y + down), end=(to_x + right, to_y + down))
    return replace(shape, x=shape.x + right, y=shape.y + down)


def inside(ring: Sequence[tuple[int, int]], x: float, y: float) -> bool:
    """Return whether a point lies within a ring of corners (by the crossings of a ray to the right)."""
    found = False
    for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            found = not found
    return found


def holds(ring: Sequence[tuple[int, int]], rectangle: tuple[int, int, int, int]) -> bool:
    """Return whether a rectangle (x, y, width, depth) lies within a ring: its middle does, and no wall runs through it."""
    x, y, width, depth = rectangle
    sides = zip(ring, (*ring[1:], ring[0]), strict=True)
    return inside(ring, x + width / 2, y + depth / 2) and not any(_runs_through(*side, rectangle) for side in sides)


def _runs_through(start: tuple[int, int], end: tuple[int, int], rectangle: tuple[int, int, int, int]) -> bool:
    """Return whether some of a line lies within a rectangle, its edge not counted (Liang and Barsky 1984, MEMORY)."""
    first, last = 0.0, 1.0
    for at, to, low, size in (
        (start[0], end[0], rectangle[0], rectangle[2]),
        (start[1], end[1], rectangle[1], rectangle[3]),
    ):
        way = to - at
        if way == 0:
            if not low < at < low + size:
                return False
            continue
        enters, leaves = sorted(((low - at) / way, (low + size - at) / way))
        first, last = max(first, enters), min(last, leaves)
    return first < last
