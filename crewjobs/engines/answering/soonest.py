"""A job of a plan as early as it can be, all other work fixed: with everything it waits for, or without one thing of it.

What is named as a cause must be one: taken away, the job ends sooner.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.answering.planned_job import Binding, Bound, Place, PlannedJob
from crewjobs.engines.planning.calendars import slots_of
from crewjobs.engines.planning.problem import Earliest
from crewjobs.engines.planning.subs import labor_minutes
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.readiness.holds import FactKind

HOUR: Final = 60 // QUARTER
"""What costs a crew fewer slots than this is not worth naming."""
_NOT_BY_PLACE: Final = (Binding.FACT, Binding.PIN, Binding.WISHED)
"""What a start waits for wherever the rest of the plan stands."""

Spared = Callable[[Bound], bool]
"""Whether something a start waits for is taken away; of a wait after the job's own work, only the time."""


def _NOTHING(_: Bound) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that can be taken away: what a start waits for, or with `crew` the days on which people of it are out."""

    bound: Bound | None = None
    crew: str = ""
    elevator: bool = False


def soonest(job: PlannedJob) -> dict[BlockKey, Booking]:
    """Return the job's bookings, each as early as its crew and all it waits for allow, with the people it has.

    One after the other in the order of the plan, so none is later than planned. What other work must start soon after
    is only moved where that still does so, and what must end on the day it begins stands where the plan has it.
    """
    return _soonest(job, job.work, _NOTHING)


class Gain(NamedTuple):
    """How much sooner a job ends: the days, and on the same day the slots of its last crew's work."""

    days: int
    slots: int = 0

    @property
    def counts(self) -> bool:
        """Return whether it is a day, or an hour of work."""
        return self.days > 0 or (self.days == 0 and self.slots >= HOUR)


def gain(job: PlannedJob, cause: Cause) -> Gain:
    """Return how much sooner a job ends without a cause and with all else fixed."""
    now = max(soonest(job).values(), key=lambda booking: (booking.end, booking.key))
    end = max(booking.end for booking in _without(job, cause).values())
    days = (job.date_of(now.end - 1) - job.date_of(end - 1)).days
    calendar = job.places[now.key].calendar
    return Gain(days=days, slots=0 if days or calendar is None else calendar.count(now.end) - calendar.count(end))


def _without(job: PlannedJob, cause: Cause) -> dict[BlockKey, Booking]:
    """Return the job's bookings as early as they can be without a cause."""
    if cause.crew or cause.elevator:
        return _with_all_there(job, cause)
    bound = cause.bound
    assert bound is not None
    if bound.binding is Binding.WAIT:
        return _soonest(job, job.work, lambda other: other.source == bound.source and _same_wait(other, bound))
    if bound.job is None:
        named = _named(bound)
        return _soonest(
            job, job.work, lambda other: other.binding is bound.binding and (not named or other.facts[0] in named)
        )
    gone = [
        (line, booking)
        for line in job.floor.timelines.values()
        for booking in line.bookings
        if booking.key.job in {bound.job, *bound.also}
    ]
    for line, booking in gone:
        line.remove(booking)
    found = _soonest(job, job.work, _NOTHING)
    for line, booking in gone:
        line.add(booking)
    return found


def _same_wait(one: Bound, other: Bound) -> bool:
    return one.link is not None and other.link is not None and one.link.name == other.link.name


def _named(bound: Bound) -> tuple[Earliest, ...]:
    """Return what a fact is told with: hours that run for something, with its delivery."""
    first = bound.facts[:1]
    return (*first, *(fact for fact in bound.facts if first[0].of and fact.kind is FactKind.DUE)) if first else ()


def _with_all_there(job: PlannedJob, cause: Cause) -> dict[BlockKey, Booking]:
    """Return the job's bookings as early as they could be with nobody of a crew out, or an elevator at any time."""
    problem = job.problem
    if cause.elevator:
        jobs = (
            _no_elevator(record) if record.job.number == job.record.job.number else record for record in problem.jobs
        )
        problem = replace(problem, jobs=tuple(jobs))
    away = tuple(one for one in problem.away if one.crew != cause.crew)
    errands = tuple(one for one in problem.errands if one.crew != cause.crew)
    other = PlannedJob(replace(problem, away=away, errands=errands), job.plan, job.record.job.number, job.before)
    work = {key: _work_of_all(other, key, slots) for key, slots in job.work.items()}
    return _soonest(other, work, _NOTHING)


def _no_elevator(record: JobRecord) -> JobRecord:
    return replace(record, job=replace(record.job, site=replace(record.job.site, elevator=None)))


def _work_of_all(job: PlannedJob, key: BlockKey, work: int) -> int:
    """Return the slots of a placement's work with as many people as its crew now has."""
    place, crew = job.places[key], job.floor.crews.get(job.mine[key].crew)
    if crew is None or not 0 < place.placement.people < crew.people or place.block.begun:
        return work
    block = replace(place.block, labor=tuple(labor_minutes(task) for task in place.block.tasks))
    few, all_of_them = (job.floor.slots(block, crew.name, n) for n in (place.placement.people, crew.people))
    return min(work, -(-work * all_of_them // few))


def _soonest(job: PlannedJob, work: dict[BlockKey, int], spared: Spared) -> dict[BlockKey, Booking]:
    found = _one_by_one(job, work, spared, frozenset())
    held = frozenset(key for key, place in job.places.items() if job.soon(place) is not None)
    return found if not held or _soon_enough(job, found) else _one_by_one(job, work, spared, held)


def _soon_enough(job: PlannedJob, found: dict[BlockKey, Booking]) -> bool:
    """Return whether what must start at most so long after other work does so."""
    return all(
        found[job.of[link.after]].start - found[job.of[link.before]].end <= link.most_min // QUARTER
        for link in job.links
        if link.most_min is not None
    )


def _one_by_one(
    job: PlannedJob, work: dict[BlockKey, int], spared: Spared, held: frozenset[BlockKey]
) -> dict[BlockKey, Booking]:
    """Return the job's bookings each as early as it can be after those before it, what is held where it is planned."""
    for booking in job.at.values():
        if booking.crew in job.floor.timelines:
            job.floor.timelines[booking.crew].remove(booking)
    found: dict[BlockKey, Booking] = {}
    for key in sorted(job.at, key=lambda key: (job.as_planned[key].start, job.as_planned[key].end, key)):
        at = job.as_planned[key] if key in held else _soon_as_can(job, job.places[key], work[key], found, spared)
        found[key] = at
        if at.crew in job.floor.timelines:
            job.floor.timelines[at.crew].add(at)
    job.rebook(found, job.at)
    return found


def _soon_as_can(job: PlannedJob, place: Place, work: int, done: dict[BlockKey, Booking], spared: Spared) -> Booking:
    planned, calendar = job.as_planned[place.placement.key], place.calendar
    fixed = place.block.begun is not None or planned.key in job.on_one_day
    if calendar is None or work <= 0 or fixed:
        return planned
    slots = [bound.slot for bound in place.bounds if bound.binding in _NOT_BY_PLACE and not spared(bound)]
    waits = {bound.link for bound in place.bounds if bound.binding is Binding.WAIT and spared(bound)}
    for link in job.links:
        if link.after in place.placement.tasks and link.before not in place.placement.tasks:
            source = job.of[link.before]
            slots.append(
                done.get(source, job.as_planned[source]).end + (0 if link in waits else slots_of(link.wait_min))
            )
    starts = job.floor.tables.of(calendar, work, place.block.pause, place.opening)
    timeline, earliest = job.floor.timelines[planned.crew], max(slots, default=0)
    while earliest < planned.start or (earliest == planned.start and work < job.work[planned.key]):
        found = timeline.first(starts, planned.key.job, earliest, planned.end)
        if found is None or found[1] >= planned.end:
            return planned
        free = job.floor.toolbox.free_from(planned.tools, *found, planned.key.job) if planned.tools else None
        if free is None and job.enough(place, *found):
            return planned._replace(start=found[0], end=found[1])
        earliest = free if free is not None else found[0] + 1
    return planned
