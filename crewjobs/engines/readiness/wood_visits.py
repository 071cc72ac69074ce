"""Moisture read of boards and subfloors, visit by visit: what is read within a few hours is one visit, and the last one decides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import Reading, ReadingKind

VISIT: Final = timedelta(hours=4)
"""What is read within so many hours is of one visit; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """What was read of boards on one visit, in %, by room; ``""`` where no room was said. `at` is when the last of it was read (UTC)."""

    at: datetime
    by_room: Mapping[str, tuple[float, ...]]
    target: float | None

    @property
    def count(self) -> int:
        """Return how many boards were read."""
        return sum(map(len, self.by_room.values()))

    @property
    def mean(self) -> float:
        """Return the mean of all boards."""
        return mean([value for values in self.by_room.values() for value in values])

    def mean_of(self, room: str) -> float:
        """Return the mean of a room's boards: of its own, else of those of no room, else of all."""
        own = self.by_room.get(room) or self.by_room.get("")
        return mean(own) if own else self.mean


def board_visits(record: JobRecord, material: Material, at: datetime) -> tuple[Visit, ...]:
    """Return the visits on which boards of a material were read until an instant, in the order of time."""
    read = [one for one in record.readings if one.kind is ReadingKind.BOARDS and one.material == material.name]
    return tuple(
        Visit(at=readings[-1].at, by_room=_by_room(readings), target=readings[-1].target)
        for readings in _visits(read, at)
    )


def places_read(record: JobRecord, room: str, at: datetime) -> tuple[float, ...]:
    """Return what was read of a room's wood subfloor on the last visit until an instant, in %; empty where it never was."""
    read = [one for one in record.readings if one.kind is ReadingKind.SUBFLOOR and one.room == room]
    visits = [*_visits(read, at)]
    return _by_room(visits[-1])[room] if visits else ()


def mean(values: Sequence[float]) -> float:
    """Return the mean of one value or more."""
    return sum(values) / len(values)


def _visits(readings: Iterable[Reading], at: datetime) -> Iterator[list[Reading]]:
    """Yield the readings until an instant by visit: each within `VISIT` of the first of it."""
    visit: list[Reading] = []
    for one in sorted((one for one in readings if one.at <= at), key=lambda one: one.at):
        if visit and one.at - visit[0].at > VISIT:
            yield visit
            visit = []
        visit.append(one)
    if visit:
        yield visit


def _by_room(readings: Sequence[Reading]) -> dict[str, tuple[float, ...]]:
    """Return the values by room; of one room and minute the last recorded counts, it corrects the others."""
    found: dict[str, tuple[float, ...]] = {}
    for one in {(one.room, one.at): one for one in readings}.values():
        found[one.room] = (*found.get(one.room, ()), *one.values)
    return found
