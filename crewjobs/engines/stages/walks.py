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

from crewjobs.domain.house import Opening, Room
from crewjobs.domain.job import Job
from crewjobs.domain.moves import Spot
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
STEPS_A_STOREY: Final = 13
TO_THE_DOOR_FT: Final = 15.0
"""From outside the door to the middle of the first room's near edge, where no walk was given."""


@dataclass(frozen=True, slots=True)
class Passage:
    """A way between two places: feet walked, doors opened, steps climbed, and how wide it is in inches."""

    a: Spot
    b: Spot
    feet: float
    doors: int
    steps: int
    width_in: int = 10**6


def passages(job: Job, taken_as: list[str]) -> tuple[Passage, ...]:
    """Return the ways through a house, section by section; what had to be assumed is added to `taken_as`."""
    rooms = {room.name: room for room in job.rooms}
    found = [way for room in job.rooms for way in _within(room)]
    for opening in job.openings:
        ends = [_end(rooms, opening, side, taken_as) for side in (0, 1)]
        steps = opening.steps
        both = [rooms[name] for name in opening.between if name in rooms]
        if not steps and len(both) == 2 and both[0].storey != both[1].storey:
            steps = STEPS_A_STOREY * abs(both[0].storey - both[1].storey)
            taken_as.append(f"stairs between {both[0].name} and {both[1].name}: taken as {steps} steps")
        feet = opening.distance / FOOT if opening.distance is not None else sum(_half(rooms, end) for end in ends)
        found.append(Passage(ends[0], ends[1], feet, int(opening.door), steps, opening.width // INCH))
    return tuple(found)


def _within(room: Room) -> Iterator[Passage]:
    for (one, length), (other, further) in pairwise(room.cuts):
        yield Passage((room.name, one), (room.name, other), (length + further) / 2 / FOOT, 0, 0)


def _end(rooms: Mapping[str, Room], opening: Opening, side: int, taken_as: list[str]) -> Spot:
    name, part = opening.between[side], opening.parts[side]
    room = rooms.get(name)
    if room is None:
        return OUTDOORS
    if part or not room.cuts:
        return name, part
    first = room.cuts[0][0]
    taken_as.append(f"{opening.name}: taken to lead into {name}, {first}")
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

    def reachable(self) -> set[Spot]:
        """Return the places one comes to from outside, furniture left aside."""
        seen, todo = {OUTDOORS}, [OUTDOORS]
        while todo:
            for to, _ in self._next.get(todo.pop(), ()):
                if to not in seen:
                    seen.add(to)
                    todo.append(to)
        return seen
