"""How far it is from one place in a house to another, and what carrying a piece there takes.

A carry is labor minutes: everybody who carries sets the piece down and takes it up once more, walks there and back, opens
doors and climbs. The rates are common practice, no source, until the crew's own times replace them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise
from math import inf
from typing import Final

from crewjobs.domain.house import Opening, Room, Stairs
from crewjobs.domain.job import Job
from crewjobs.domain.moves import Spot
from crewjobs.domain.reach import stairs_at, supposed_steps
from crewjobs.domain.units import FOOT, INCH

OUTDOORS: Final[Spot] = ("outside", "")
"""Where crews come from; nothing is kept there."""
FEET_A_MIN: Final = 100.0
"""Walking with something below `HEAVY_LB`; common practice, no source, as all of these."""
HEAVY_FEET_A_MIN: Final = 60.0
HEAVY_LB: Final = 100.0
DOOR_MIN: Final = 0.25
STEP_MIN: Final = 0.06
"""A step up or down empty-handed; twice that with 200 lb."""
GRIP_MIN: Final = 1.0
"""Taking hold and setting down, a person."""
TO_THE_DOOR_FT: Final = 15.0
"""From outside the door to the middle of the first room's near edge, where no walk was given."""
WIDE_IN: Final = 10**6
"""How wide a way is of which nobody said it: everything goes through."""


@dataclass(frozen=True, slots=True)
class Passage:
    """A way between two places: feet walked, doors opened, steps climbed, and how wide it is in inches; `stairs` where it is one."""

    a: Spot
    b: Spot
    feet: float
    doors: int
    steps: int
    width_in: int = WIDE_IN
    stairs: bool = False


def passages(job: Job, taken_as: list[str]) -> tuple[Passage, ...]:
    """Return the ways through a house, section by section; what had to be assumed is added to `taken_as`.

    Stairs with a room below and a room above are one, and so is a doorway said between the same two rooms: their steps are
    its own. They are no place, so no stage works them; their tasks come when nothing more is carried over them.
    """
    rooms = {room.name: room for room in job.rooms}
    found = [way for room in job.rooms for way in _within(room)]
    for opening in job.openings:
        ends = [_end(rooms, opening, side, taken_as) for side in (0, 1)]
        same = stairs_at(job, opening)
        steps = opening.steps or (same.steps if same is not None else 0)
        if not steps and (steps := supposed_steps(job, opening)):
            taken_as.append(f"stairs between {' and '.join(opening.between)}: taken as {steps} steps")
        feet = opening.distance / FOOT if opening.distance is not None else sum(_half(rooms, end) for end in ends)
        found.append(Passage(ends[0], ends[1], feet, int(opening.door), steps, opening.width // INCH))
    led = {frozenset(opening.between) for opening in job.openings}
    found += [
        _over(rooms, stairs, taken_as)
        for stairs in job.stairs
        if stairs.between and frozenset(stairs.between) not in led
    ]
    taken_as += (
        f"{stairs.name}: worked when what is carried over them is over; what goes home over them waits till their glue has set"
        for stairs in job.stairs
        if stairs.between and stairs.floor is not None
    )
    return tuple(found)


def _over(rooms: Mapping[str, Room], stairs: Stairs, taken_as: list[str]) -> Passage:
    foot, head = (_first(rooms, name, stairs.name, taken_as) for name in stairs.between)
    width = WIDE_IN if stairs.width is None else stairs.width // INCH
    return Passage(foot, head, _half(rooms, foot) + _half(rooms, head), 0, stairs.steps, width, stairs=True)


def _within(room: Room) -> Iterator[Passage]:
    for (one, length), (other, further) in pairwise(room.cuts):
        yield Passage((room.name, one), (room.name, other), (length + further) / 2 / FOOT, 0, 0)


def _end(rooms: Mapping[str, Room], opening: Opening, side: int, taken_as: list[str]) -> Spot:
    name, part = opening.between[side], opening.parts[side]
    if name not in rooms:
        return OUTDOORS
    return (name, part) if part else _first(rooms, name, opening.name, taken_as)


def _first(rooms: Mapping[str, Room], name: str, what: str, taken_as: list[str]) -> Spot:
    """Return the first section of a room, taken where it is not said into which a way leads."""
    if not rooms[name].cuts:
        return name, ""
    first = rooms[name].cuts[0][0]
    taken_as.append(f"{what}: taken to lead into {name}, {first}")
    return name, first


def _half(rooms: Mapping[str, Room], spot: Spot) -> float:
    if spot == OUTDOORS:
        return TO_THE_DOOR_FT
    length, width = size_of(rooms[spot[0]], spot[1])
    return (length + width) / 4 / FOOT


def size_of(room: Room, part: str) -> tuple[int, int]:
    """Return the extent of a section along the room's length and across it, in 1/4064 inch."""
    return room.outline_of(part).size


class Walks:
    """Shortest carries between places by weight and people."""

    def __init__(self, spots: Sequence[Spot], ways: Sequence[Passage]) -> None:
        self._spots = spots
        self._next: dict[Spot, list[tuple[Spot, Passage]]] = {}
        for way in ways:
            self._next.setdefault(way.a, []).append((way.b, way))
            self._next.setdefault(way.b, []).append((way.a, way))
        self._known: dict[tuple[float, int, int], list[list[float]]] = {}

    def minutes(self, weight_lb: float, people: int, width_in: int = 0) -> list[list[float]]:
        """Return the labor minutes of walking with a load and back, by place and place; infinite where there is no way.

        Openings narrower than `width_in` are none.
        """
        key = weight_lb, people, width_in
        if key not in self._known:
            self._known[key] = [self._from(spot, weight_lb, people, width_in) for spot in self._spots]
        return self._known[key]

    def from_outside(self, weight_lb: float, people: int, width_in: int = 0) -> list[float]:
        """Return the labor minutes of walking in with a load and out again, by place."""
        return self._from(OUTDOORS, weight_lb, people, width_in)

    def _from(self, start: Spot, weight_lb: float, people: int, width_in: int) -> list[float]:
        speed = FEET_A_MIN if weight_lb < HEAVY_LB else HEAVY_FEET_A_MIN
        best = {start: 0.0}
        heap = [(0.0, start)]
        while heap:
            so_far, at = heappop(heap)
            if so_far > best[at]:
                continue
            for to, way in self._next.get(at, ()):
                if way.width_in < width_in:
                    continue
                walk = 2 * way.feet / speed + DOOR_MIN * way.doors + STEP_MIN * way.steps * (1 + weight_lb / 200)
                total = so_far + people * walk
                if total < best.get(to, inf):
                    best[to] = total
                    heappush(heap, (total, to))
        return [best.get(spot, inf) for spot in self._spots]
