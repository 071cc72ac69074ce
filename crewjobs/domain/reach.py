"""Which rooms one comes to from outside, through doorways and over stairs, and which only over one stair.

Sections of a room lie beside each other, so rooms are enough here.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Final

from crewjobs.domain.house import Opening, Stairs
from crewjobs.domain.job import Job
from crewjobs.domain.wording import listed

OUTSIDE: Final = "outside"
STEPS_A_STOREY: Final = 13
"""Steps taken from storey to storey where nobody said how many: common practice, no source."""


def unreached(job: Job) -> tuple[str, ...]:
    """Return the rooms of a job to which neither doorways nor stairs lead from outside."""
    reached = _reached(OUTSIDE, [*_ways(job)])
    return tuple(room.name for room in job.rooms if room.name not in reached)


def no_way_words(job: Job) -> str:
    """Return what is missing for every room to be reached from outside, and what would be right; empty where nothing is."""
    if not any(OUTSIDE in opening.between for opening in job.openings):
        return "no doorway leads outside: add one from a room to outside"
    rooms = unreached(job)
    if not rooms:
        return ""
    return (
        f"no doorway and no stairs lead to {listed(rooms, most=6)}: add a doorway, or stairs with the room below and the "
        "room above"
    )


def beyond(job: Job, stairs: Stairs) -> frozenset[str]:
    """Return the rooms at the head of stairs, and further on, to which nothing else leads from their foot; empty where another way does."""
    if not stairs.between:
        return frozenset()
    foot, head = stairs.between
    others = [way for way in _ways(job, without=(stairs.name,)) if OUTSIDE not in way]
    found = _reached(head, others)
    return frozenset() if foot in found else frozenset(found)


def cut_off(job: Job, shut: Collection[str]) -> frozenset[str]:
    """Return the rooms and stairs to which nothing leads from outside once nobody goes through the places that are shut.

    Only where something led to them before: a house of which no way in is known is no ground to say so. In a callback it is:
    what is known to lead there are the shut places alone, and the rest of the house is not worked in.
    """
    before = _places_reached(job, ())
    behind = before - _places_reached(job, shut)
    if job.is_callback:
        behind |= _places_reached(job, (), start=frozenset(shut) - before) - before
    return behind - frozenset(shut)


def _places_reached(job: Job, shut: Collection[str], start: Collection[str] = (OUTSIDE,)) -> frozenset[str]:
    """Return the rooms and stairs one comes to from outside, or from other places, without going through what is shut."""
    closed = [flight.name for flight in job.stairs if flight.name in shut]
    ways = [way for way in _ways(job, without=closed) if not any(name in shut for name in way)]
    rooms = set[str]().union(*(_reached(place, ways) for place in start))
    stairs = (one.name for one in job.stairs if one.name not in shut and rooms & set(one.between or ()))
    return frozenset([*rooms - {OUTSIDE}, *stairs])


def stairs_at(job: Job, opening: Opening) -> Stairs | None:
    """Return the stairs of a job that lead from one room of an opening to the other: then both are one way."""
    return next((one for one in job.stairs if one.between and set(one.between) == set(opening.between)), None)


def supposed_steps(job: Job, opening: Opening) -> int:
    """Return the steps taken for an opening between rooms of two storeys of which nobody said the steps; 0 where there are none."""
    storeys = [room.storey for room in job.rooms if room.name in opening.between]
    if opening.steps or len(storeys) < 2 or stairs_at(job, opening) is not None:
        return 0
    return STEPS_A_STOREY * abs(storeys[0] - storeys[1])


def _ways(job: Job, without: Collection[str] = ()) -> Iterator[tuple[str, str]]:
    """Yield the pairs of rooms with a way between them; without those stairs, and without a doorway that is the same way."""
    for opening in job.openings:
        same = stairs_at(job, opening)
        if same is None or same.name not in without:
            yield opening.between
    for stairs in job.stairs:
        if stairs.between and stairs.name not in without:
            yield stairs.between[0], stairs.between[1]


def _reached(start: str, ways: list[tuple[str, str]]) -> set[str]:
    seen, todo = {start}, [start]
    while todo:
        at = todo.pop()
        for one, other in (*ways, *((b, a) for a, b in ways)):
            if one == at and other not in seen:
                seen.add(other)
                todo.append(other)
    return seen
