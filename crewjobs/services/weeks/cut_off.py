"""Rooms of a house to which one comes only through places nobody walks in over a night.

Those are closed off for lead paint, or their floor sets over night, or lies half laid. Where a place is out only while the crew
works in it by day, people are let through: nothing is cut off. Ways that nobody listed are not known of. Where sections of a
room are laid one after the other, one goes through it over the other section.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum

from crewjobs.domain.job import JobRecord
from crewjobs.domain.reach import cut_off
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed
from crewjobs.services.weeks.lead_closed import closed_from, closings
from crewjobs.services.weeks.usable import (
    FURNITURE,
    Times,
    end_of,
    floored_stairs,
    places,
    start_of,
    usable_from,
    working,
)
from crewjobs.services.weeks.visits import Planned, quarter_before


class Why(Enum):
    """Why nobody walks in a place over a night, in the words behind its name."""

    LEAD = " closed off for lead paint"
    SETS = ", where the floor sets over night"
    HALF_LAID = ", half laid over night"
    STAIRS = ", out of use over night"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shut:
    """A room or stairs nobody walks in, from when until when (UTC); `end` is None where nobody knows it."""

    place: str
    start: datetime
    end: datetime | None
    why: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """From when until when (UTC) nobody comes to a room, by the places on the only way to it; `end` is None where nobody knows it."""

    start: datetime
    end: datetime | None
    through: tuple[Shut, ...]

    @property
    def words(self) -> str:
        """Return the places one would come through, each with why nobody does."""
        named = ((why, list(dict.fromkeys(one.place for one in self.through if one.why is why))) for why in Why)
        return "; ".join(f"{listed(names)}{why.value}" for why, names in named if names)

    @property
    def for_lead(self) -> bool:
        """Return whether one of the places is closed off for lead paint."""
        return any(one.why is Why.LEAD for one in self.through)

    @property
    def maybe(self) -> bool:
        """Return whether people might still be let through: boards lie half laid, and nothing sets."""
        return all(one.why is Why.HALF_LAID for one in self.through)


def cuts(
    found: Planned | None, record: JobRecord, plan: Times, ahead: Times, now: datetime
) -> Mapping[str, tuple[Cut, ...]]:
    """Return by room, in the order of time, from when until when nobody comes to it over a night; what is over by now is left out.

    `plan` are the minutes of the plan as it was made, `ahead` those of it that still hold: only by these anything ends.
    """
    shut = list(_shut(found, record, plan, ahead))
    edges = sorted({one.start for one in shut} | {one.end for one in shut if one.end is not None})
    cut: dict[str, list[Cut]] = {}
    for at, until in zip(edges, (*edges[1:], None), strict=False):
        here = [one for one in shut if one.start <= at and (one.end is None or at < one.end)]
        for room in cut_off(record.job, {one.place for one in here}):
            alone = tuple(one for one in here if room in cut_off(record.job, {one.place})) or tuple(here)
            mine = cut.setdefault(room, [])
            if mine and mine[-1].end == at:
                before = mine.pop()
                mine.append(Cut(start=before.start, end=until, through=tuple(dict.fromkeys((*before.through, *alone)))))
            else:
                mine.append(Cut(start=at, end=until, through=alone))
    left = {
        room: tuple(
            one for one in mine if (one.end is None or one.end > now) and _another_day(record, one.start, one.end)
        )
        for room, mine in cut.items()
    }
    return {room: mine for room, mine in left.items() if mine}


def setting_on_the_way(record: JobRecord, room: str, now: datetime) -> list[str]:
    """Return the rooms whose floor is still to set, and through which alone one comes to a room; none where another way is left."""
    setting = [name for name, tasks in _rooms(record) if all(_sets(record, laying, now) for laying in tasks)]
    alone = [name for name in setting if room in cut_off(record.job, {name})]
    return alone or (setting if room in cut_off(record.job, setting) else [])


def _sets(record: JobRecord, laying: Sequence[Task], now: datetime) -> bool:
    return any(
        task.open or task.done_at is None or task.done_at + timedelta(minutes=minutes) > now
        for task, minutes in _waits(record, laying)
    )


def _rooms(record: JobRecord) -> Iterator[tuple[str, list[list[Task]]]]:
    """Yield the rooms that get a floor, each with the laying of all its sections."""
    by_place = {name: tasks for name, tasks, _ in places(record)}
    for room in record.job.rooms:
        names = [", ".join(filter(None, (room.name, section.name))) for section in room.sections]
        laying = [laying_of(by_place[name]) for name in names if name in by_place]
        if laying:
            yield room.name, laying


def laying_of(tasks: Sequence[Task]) -> list[Task]:
    """Return those of a place's tasks that lay its floor, or tidy up behind that."""
    return [task for task in working(tasks) if task.phase is Phase.INSTALL]


def _waits(record: JobRecord, laying: Sequence[Task]) -> Iterator[tuple[Task, int]]:
    """Yield what is laid with the minutes that pass before anybody walks on it."""
    by_number = {task.number: task for task in laying}
    for link in record.links:
        if link.before in by_number and link.wait_min and FURNITURE not in link.name:
            yield by_number[link.before], link.wait_min


def _shut(found: Planned | None, record: JobRecord, plan: Times, ahead: Times) -> Iterator[Shut]:
    """Yield the places nobody walks in over a night."""
    closed, checks = closed_from(record, plan), closings(record)
    for name, (start, _) in closed.items():
        check = checks[name][1]
        yield Shut(place=name, start=quarter_before(start), end=end_of(ahead, check), why=Why.LEAD)
    for name, sections in _rooms(record):
        spans = [_over_night(found, record, laying, plan, ahead) for laying in sections]
        known = [one for one in spans if one is not None]
        if name in closed or len(known) < len(spans):
            continue
        start, ends = max(one[0] for one in known), [one[1] for one in known if one[1] is not None]
        why = Why.SETS if all(one[2] is Why.SETS for one in known) else Why.HALF_LAID
        if not ends or start < min(ends):
            yield Shut(place=name, start=start, end=min(ends, default=None), why=why)
    for flight, works in floored_stairs(record):
        first = _first(works, plan)
        last = usable_from(found, ahead, record, laying_of(works))[False]
        if flight.name not in closed and first is not None and _another_day(record, first, last):
            yield Shut(place=flight.name, start=first, end=last, why=Why.STAIRS)


def _over_night(
    found: Planned | None, record: JobRecord, laying: Sequence[Task], plan: Times, ahead: Times
) -> tuple[datetime, datetime | None, Why] | None:
    """Return from when until when nobody walks on what is laid, and why; None where it is walked on in its evening, or has no day."""
    boards = [task for task in laying if task.needs_material is not None] or list(laying)
    start = _first(boards, plan)
    if start is None:
        return None
    until = usable_from(found, ahead, record, laying)[False]
    waits = [(found.waits_from(record, t) if found else t.done_at, minutes) for t, minutes in _waits(record, laying)]
    if any(_another_day(record, start, at + timedelta(minutes=minutes) if at else None) for at, minutes in waits):
        return start, until, Why.SETS
    ends = [end_of(plan, task) for task in boards]
    laid = None if any(end is None for end in ends) else max(end for end in ends if end is not None)
    return (start, until, Why.HALF_LAID) if _another_day(record, start, laid) else None


def _first(tasks: Iterable[Task], plan: Times) -> datetime | None:
    works = list(tasks)
    begun = [at for task in works if (at := task.started_at or task.done_at) is not None]
    return min(begun, default=start_of(plan, works))


def _another_day(record: JobRecord, start: datetime, end: datetime | None) -> bool:
    zone = record.job.site.zone
    return end is None or to_wall(zone, start).date() != to_wall(zone, end).date()
