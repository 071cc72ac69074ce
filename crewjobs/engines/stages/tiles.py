"""One room as a tile of shapes: its head, its sections, what stands in them, its doors; and tiles on shelves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from crewjobs.domain.furniture import Keeps
from crewjobs.domain.house import Room
from crewjobs.domain.job import Job
from crewjobs.domain.moves import Spot
from crewjobs.domain.outline import Outline
from crewjobs.domain.wording import counted
from crewjobs.drawing.columns import display_width
from crewjobs.drawing.shapes import Box, Fill, Line, Polygon, Says, Shape, Tile, Words, holds, moved

INCH: Final = 4064
"""Units of length in an inch."""
UNKNOWN: Final = 8 * 12
"""Inches along a side of a place that is no room of the job, such as a container: it is only named."""
_NARROW: Final = 0.62
"""A character's width as a share of its height; the types here are narrower, so words fit."""
_INSET: Final = 2
Rectangle = tuple[int, int, int, int]
"""A rectangle in inches: x, y, width, depth."""
Made = tuple[Tile, tuple[Shape, ...]]
"""A tile with its shapes."""


@dataclass(frozen=True, slots=True)
class Stands:
    """A piece by its letter and the rectangles it takes in its section; none where only the area was looked at."""

    letter: str
    at: tuple[Rectangle, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """What a room's tile is drawn from: `line` is the height of words in inches, the rest is by section."""

    job: Job
    fills: Mapping[Spot, Fill]
    standing: Mapping[Spot, Sequence[Stands]]
    ways: Mapping[Spot, Sequence[Rectangle]]
    line: int


def spots(room: Room) -> tuple[Spot, ...]:
    """Return the sections of a room by its name and theirs."""
    return tuple((room.name, section.name) for section in room.sections)


def room_tile(number: int, room: Room, house: House) -> Made:
    """Return a room with its head above and its doors below, from the tile's own upper left corner."""
    return _RoomTile(number, room, house).made()


def place_tile(number: int, name: str, stands: Sequence[Stands], line: int) -> Made:
    """Return a place that is no room of the job: its name, and what stands there."""
    ring = ((0, line), (UNKNOWN, line), (UNKNOWN, line + UNKNOWN), (0, line + UNKNOWN))
    width = max(UNKNOWN, min(_need(name, line), 12 * line))
    text = " ".join(one.letter for one in stands)
    shapes: tuple[Shape, ...] = (
        Words(tile=number, text=name, says=Says.ROOM, x=0, y=0, width=width, depth=line),
        Polygon(tile=number, corners=ring, fill=Fill.KEPT),
        _letters(number, text, (0, line, UNKNOWN, UNKNOWN)),
        *_walls(number, ring),
    )
    inner = (0, line, UNKNOWN, UNKNOWN)
    return Tile(name=name, x=0, y=0, width=width, depth=line + UNKNOWN, inner=inner), shapes


class _RoomTile:
    """Builds one tile from the head down."""

    def __init__(self, number: int, room: Room, house: House) -> None:
        self.number, self.room, self.house, self.line = number, room, house, house.line
        ring = _ring(room.outline, room.outline)
        self.wide, self.deep = max(x for x, _ in ring), max(y for _, y in ring)
        self.top = self.line * (2 if room.cuts else 1)
        self.ring = tuple((x, y + self.top) for x, y in ring)
        self.stretches = _stretches(room, self.wide)
        self.doors = list(_doors(house.job, room, self.stretches, self.line))
        needs = [min(need, 14 * self.line) for _, _, need in self.doors]
        self.width = max(self.wide, min(_need(room.name, self.line), 12 * self.line), *needs, 1)
        self.shapes: list[Shape] = []
        self.elsewhere: list[str] = []
        self.taken: list[Rectangle] = []

    def made(self) -> Made:
        self._words(self.room.name, Says.ROOM, (0, 0, self.width, self.line))
        for stretch in self.stretches:
            self._floor(*stretch)
        for spot, start, end in self.stretches:
            self._ways(spot, self._place(spot, start, end))
        for spot, start, end in self.stretches:
            self._pieces(self.house.standing.get(spot, ()), self._place(spot, start, end))
        own = {spot for spot, _, _ in self.stretches}
        for spot, standing in self.house.standing.items():
            if spot[0] == self.room.name and spot not in own:  # nobody said in which section, or that is no more
                self._pieces(standing, (0, self.top, self.wide, self.deep), whole=True)
        self.shapes += _walls(self.number, self.ring)
        bottom = self._below(self.top + self.deep)
        inner = (0, self.top, self.wide, self.deep)
        return Tile(name=self.room.name, x=0, y=0, width=self.width, depth=bottom, inner=inner), tuple(self.shapes)

    def _place(self, spot: Spot, start: int, end: int) -> Rectangle:
        """Return the rectangle around a section in the tile."""
        depths = [y for _, y in self._section_ring(spot)]
        return start, min(depths), end - start, max(depths) - min(depths)

    def _section_ring(self, spot: Spot) -> tuple[tuple[int, int], ...]:
        return tuple((x, y + self.top) for x, y in _ring(self.room.outline_of(spot[1]), self.room.outline))

    def _words(self, text: str, says: Says, at: Rectangle, *, middle: bool = False) -> None:
        x, y, width, depth = at
        self.shapes.append(
            Words(tile=self.number, text=text, says=says, x=x, y=y, width=width, depth=depth, middle=middle)
        )

    def _floor(self, spot: Spot, start: int, end: int) -> None:
        if self.room.cuts:
            self._words(spot[1], Says.SECTION, (start, self.line, end - start, self.line), middle=True)
        fill = self.house.fills.get(spot, Fill.UNUSED)
        self.shapes.append(Polygon(tile=self.number, corners=self._section_ring(spot), fill=fill))

    def _ways(self, spot: Spot, place: Rectangle) -> None:
        ways = [held for way in self.house.ways.get(spot, ()) if (held := _within(way, place))]
        self.shapes += [_box(self.number, way, Fill.WAY) for way in ways]
        if place[0]:
            edge = [y for x, y in self._section_ring(spot) if x == place[0]]
            start, end = (place[0], min(edge)), (place[0], max(edge))
            self.shapes.append(Line(tile=self.number, start=start, end=end))

    def _pieces(self, standing: Sequence[Stands], place: Rectangle, *, whole: bool = False) -> None:
        """Draw pieces as rectangles; list those whose place is not known, in the section or, where others stand, below.

        `whole`: it is not known in which section of the room they stand.

        A place that the room as it is now has no room for (it was measured anew since) is not drawn either.
        """
        unplaced, drawn = [], False
        for one in standing:
            within = [found for at in one.at if (found := _within(at, place)) is not None]
            held = [at for at in within if holds(self.ring, at)]
            others = [*self.taken, *held]
            free = all(at is other or not _overlap(at, other) for at in held for other in others)
            if not one.at or len(held) < len(one.at) or not free:
                unplaced.append(one.letter)
                continue
            drawn = True
            self.taken += held
            for at in held:
                self.shapes.append(_box(self.number, at, Fill.PIECE))
                self._words(one.letter, Says.LETTER, at, middle=True)
        alone = not self.taken and not any(isinstance(s, Words) and s.says is Says.LETTERS for s in self.shapes)
        if drawn or (whole and not alone):
            self.elsewhere += unplaced
        elif unplaced:
            self.shapes.append(_letters(self.number, " ".join(unplaced), place))

    def _below(self, bottom: int) -> int:
        """Write doors and notes below the room; return where the tile ends."""
        rows = list(_rows(self.doors, self.width, self.line))
        for text, row, x, need, below in rows:
            at = (x, bottom + row * self.line, min(need, self.width - x), self.line)
            self._words(text, Says.OPENING, at, middle=below)
        bottom += self.line * (max((row for _, row, *_ in rows), default=-1) + 1)
        for note in self._notes():
            lines = -(-_need(note, self.line) // self.width)
            self._words(note, Says.NOTE, (0, bottom, self.width, lines * self.line))
            bottom += lines * self.line
        return bottom

    def _notes(self) -> Iterator[str]:
        if self.elsewhere:
            yield f"also here: {' '.join(self.elsewhere)}"
        stays = [piece.name for piece in self.room.furniture if piece.stays]
        if stays:
            yield f"stays: {', '.join(stays)}"
        if self.room.keeps is Keeps.NOTHING and self.room.floor is None:
            yield "keep nothing here"


def _need(text: str, line: int) -> int:
    return round(display_width(text) * line * _NARROW) + 2


def _letters(number: int, text: str, place: Rectangle) -> Words:
    x, y, width, depth = place
    across, down = (min(_INSET, size // 2) for size in (width, depth))  # a strip of an inch has no room for a margin
    return Words(
        tile=number,
        text=text,
        says=Says.LETTERS,
        x=x + across,
        y=y + down,
        width=width - 2 * across,
        depth=depth - 2 * down,
        middle=True,
    )


def _box(number: int, at: Rectangle, fill: Fill) -> Box:
    x, y, width, depth = at
    return Box(tile=number, x=x, y=y, width=width, depth=depth, fill=fill)


def _walls(number: int, ring: Sequence[tuple[int, int]]) -> list[Shape]:
    ends = (*ring[1:], ring[0])
    return [Line(tile=number, start=one, end=other, wall=True) for one, other in zip(ring, ends, strict=True)]


def _ring(outline: Outline, whole: Outline) -> tuple[tuple[int, int], ...]:
    """Return an outline in inches from the corner of the whole it is part of."""
    left, top = min(x for x, _ in whole.corners), min(y for _, y in whole.corners)
    return tuple(((x - left) // INCH, (y - top) // INCH) for x, y in outline.corners)


def _stretches(room: Room, wide: int) -> list[tuple[Spot, int, int]]:
    """Return each section with where it begins and ends along the room's length, in inches."""
    if not room.cuts:
        return [((room.name, ""), 0, wide)]
    found, start = [], 0
    for name, length in room.cuts:
        found.append(((room.name, name), start // INCH, (start + length) // INCH))
        start += length
    return found


def _within(rectangle: Rectangle, place: Rectangle) -> Rectangle | None:
    """Return a rectangle given from a section's corner as one of the tile; None where it is not inside the section."""
    (x, y, width, depth), (left, top, wide, deep) = rectangle, place
    inside = x >= 0 and y >= 0 and width > 0 and depth > 0 and x + width <= wide and y + depth <= deep
    return (x + left, y + top, width, depth) if inside else None


def _overlap(one: Rectangle, other: Rectangle) -> bool:
    across = one[0] < other[0] + other[2] and other[0] < one[0] + one[2]
    return across and one[1] < other[1] + other[3] and other[1] < one[1] + one[3]


def _doors(
    job: Job, room: Room, stretches: Sequence[tuple[Spot, int, int]], line: int
) -> Iterator[tuple[str, int | None, int]]:
    """Yield what each opening of a room, and stairs, lead to, the middle of its section (None: not known which), the words' width."""
    middles = {part: (start + end) // 2 for (_, part), start, end in stretches if part}
    for opening in job.openings:
        if room.name not in opening.between:
            continue
        own = opening.between.index(room.name)
        steps = f", {opening.steps} step{'s' if opening.steps > 1 else ''}" if opening.steps else ""
        part = opening.parts[1 - own]
        text = f"to {opening.between[1 - own]}{f' ({part})' if part else ''}{steps}"
        yield text, middles.get(opening.parts[own]), _need(text, line)
    for stairs in job.stairs:
        if room.name in stairs.between and not any(set(one.between) == set(stairs.between) for one in job.openings):
            text = f"to {stairs.between[1 - stairs.between.index(room.name)]}, {counted(stairs.steps, 'step')}"
            yield text, None, _need(text, line)


def _rows(
    doors: Sequence[tuple[str, int | None, int]], width: int, line: int
) -> Iterator[tuple[str, int, int, int, bool]]:
    """Yield words with their row, where they begin, their width, and whether they stand below their section.

    Those of which no section is known stand one after the other as there is room.
    """
    ends: list[int] = []
    known = sorted((middle, text, need) for text, middle, need in doors if middle is not None)
    flowing = [(None, text, need) for text, middle, need in doors if middle is None]
    for middle, text, need in (*known, *flowing):
        x = 0 if middle is None else max(0, min(middle - need // 2, width - need))
        row = len(ends)
        for number, end in enumerate(ends):
            at = x if middle is not None else end + line // 2
            if end + line // 2 <= at and at + need <= width:
                row, x = number, at
                break
        if row == len(ends):
            ends.append(0)
        ends[row] = x + need
        yield text, row, x, need, middle is not None


def shelved(made: Sequence[Made], gap: int, ratio: float) -> tuple[int, int, tuple[Tile, ...], tuple[Shape, ...]]:
    """Return width, depth, tiles and shapes with all tiles on shelves, as large as a page of that ratio lets them be."""
    widest = max(tile.width for tile, _ in made)
    runs = {
        sum(tile.width + gap for tile, _ in made[start:end]) - gap
        for start in range(len(made))
        for end in range(start + 1, len(made) + 1)
    }
    tries = [_on_shelves(made, gap, limit) for limit in sorted(runs) if limit >= widest]
    return min(tries, key=lambda one: max(one[0], one[1] * ratio))


def _on_shelves(made: Sequence[Made], gap: int, limit: int) -> tuple[int, int, tuple[Tile, ...], tuple[Shape, ...]]:
    tiles: list[Tile] = []
    shapes: list[Shape] = []
    x = y = high = width = 0
    for tile, own in made:
        if x and x + tile.width > limit:
            x, y, high = 0, y + high + gap, 0
        inner = (tile.inner[0] + x, tile.inner[1] + y, tile.inner[2], tile.inner[3])
        tiles.append(replace(tile, x=x, y=y, inner=inner))
        shapes += [moved(shape, x, y) for shape in own]
        width, high = max(width, x + tile.width), max(high, tile.depth)
        x += tile.width + gap
    return width, y + high, tuple(tiles), tuple(shapes)
