"""The stretches of wall that get base or shoe: between openings and corners, with what each end meets."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import hypot

from crewjobs.domain.house import Opening, Room
from crewjobs.domain.layout import Obstacle
from crewjobs.domain.outline import Outline, Point


class End(StrEnum):
    """What a stretch of base ends at."""

    INSIDE = "inside corner"
    OUTSIDE = "outside corner"
    OPENING = "opening"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A straight stretch of wall without an opening: the wall's number (from 1), where it begins and ends along it.

    Lengths in 1/4064 inch, from the wall's first corner; `ends` is what it meets at the near end and at the far one.
    """

    room: str
    wall: int
    start: int
    end: int
    ends: tuple[End, End]

    @property
    def length(self) -> int:
        """Return how long it is."""
        return self.end - self.start


def stretches(
    room: Room, openings: Iterable[Opening], trimmed: Collection[Obstacle] = ()
) -> tuple[tuple[Stretch, ...], tuple[Opening, ...]]:
    """Return the stretches of a room's walls, in their order, and the openings of which it was not said where they are.

    Those are taken out of the longest stretch there is, which keeps what it meets at its ends. At what stands at a wall a stretch ends;
    where that is `trimmed` like the wall both meet in an inside corner.
    """
    own = [(opening, side) for opening in openings for side in (0, 1) if opening.between[side] == room.name]
    placed: dict[int, list[tuple[int, int, End]]] = {}
    for opening, side in own:
        if opening.walls[side]:
            start = opening.offsets[side]
            placed.setdefault(opening.walls[side], []).append((start, start + opening.width, End.OPENING))
    for obstacle in room.obstacles:
        for wall, start, end in _behind(room, obstacle):
            placed.setdefault(wall, []).append((start, end, End.INSIDE if obstacle in trimmed else End.OPENING))
    found = [
        one for wall in range(1, len(room.outline.corners) + 1) for one in _along(room, wall, placed.get(wall, []))
    ]
    unplaced = tuple(opening for opening, side in own if not opening.walls[side])
    for opening in sorted(unplaced, key=lambda one: (-one.width, one.name)):
        found = _shortened(found, opening.width)
    return tuple(found), unplaced


def around(room: Room, obstacle: Obstacle) -> tuple[Stretch, ...]:
    """Return the sides of what stands in a room that are seen: those that do not stand at a wall, wall 0 with its name.

    A side ends in an inside corner where it comes to a wall.
    """
    hidden = {side for side in obstacle.outline.sides if wall_of(room, side) is not None}
    return tuple(
        Stretch(room=f"{room.name} ({obstacle.name})", wall=0, start=0, end=length, ends=_ends_of(room, side))
        for side, length in zip(obstacle.outline.sides, obstacle.outline.walls, strict=True)
        if side not in hidden
    )


def _ends_of(room: Room, side: tuple[Point, Point]) -> tuple[End, End]:
    one, other = (End.OUTSIDE if wall_of(room, (end, end)) is None else End.INSIDE for end in side)
    return one, other


def corner_count(found: Iterable[Stretch], kind: End) -> int:
    """Return how many corners of a kind stretches meet at; two of them meet in each."""
    return -(-sum(end is kind for one in found for end in one.ends) // 2)


def _behind(room: Room, obstacle: Obstacle) -> Iterator[tuple[int, int, int]]:
    """Yield the stretches of wall that something stands at: its wall, from where to where."""
    for side in obstacle.outline.sides:
        wall = wall_of(room, side)
        if wall is not None:
            (x0, y0), _ = room.outline.sides[wall - 1]
            along = sorted(round(hypot(x - x0, y - y0)) for x, y in side)
            yield wall, along[0], along[1]


def wall_of(room: Room, side: tuple[Point, Point]) -> int | None:
    """Return the number of the wall a side lies along, from 1; None where it stands free."""
    for number, ((x0, y0), (x1, y1)) in enumerate(room.outline.sides, 1):
        length = hypot(x1 - x0, y1 - y0)
        if all(
            abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) <= length
            and min(x0, x1) <= x <= max(x0, x1)
            and min(y0, y1) <= y <= max(y0, y1)
            for x, y in side
        ):
            return number
    return None


def corners(outline: Outline) -> tuple[End, ...]:
    """Return for each corner of a room whether it is an inside one (the walls enclose it) or an outside one.

    Corners in a straight wall count as inside: the base is cut there.
    """
    ring = outline.corners
    doubled = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in outline.sides)
    found = []
    for i, (x, y) in enumerate(ring):
        (x0, y0), (x1, y1) = ring[i - 1], ring[(i + 1) % len(ring)]
        turn = (x - x0) * (y1 - y) - (x1 - x) * (y - y0)
        found.append(End.OUTSIDE if turn * doubled < 0 else End.INSIDE)
    return tuple(found)


def _along(room: Room, wall: int, gaps: Iterable[tuple[int, int, End]]) -> Iterator[Stretch]:
    length, kinds = room.outline.walls[wall - 1], corners(room.outline)
    at, near = 0, kinds[wall - 1]
    for start, end, meets in sorted(gaps):
        if start > at:
            yield Stretch(room=room.name, wall=wall, start=at, end=start, ends=(near, meets))
        if end >= at:
            at, near = end, meets
    if at < length:
        yield Stretch(room=room.name, wall=wall, start=at, end=length, ends=(near, kinds[wall % len(kinds)]))


def _shortened(found: list[Stretch], width: int) -> list[Stretch]:
    if not found:
        return found
    longest = max(range(len(found)), key=lambda i: (found[i].length, -i))
    one = found[longest]
    rest = (
        [Stretch(room=one.room, wall=one.wall, start=one.start, end=one.end - width, ends=one.ends)]
        if one.length > width
        else []
    )
    return [*found[:longest], *rest, *found[longest + 1 :]]
