"""How soon a job could end at all: a forward pass over its work, every crew free."""

from __future__ import annotations

from datetime import datetime

from crewjobs.domain.errors import Refused
from crewjobs.domain.plan import BlockKey
from crewjobs.engines.planning.calendars import slots_of
from crewjobs.engines.planning.jobwork import Floor, JobWork, job_work
from crewjobs.engines.planning.problem import Block, PlanProblem
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.planning.whys import pin_fault


def soonest(problem: PlanProblem, job: int) -> datetime | None:
    """Return the instant before which no plan can end a job, None where some of it has no place at all.

    A forward pass over the blocks: each as early as its links, waits, facts, pins and hours allow with whichever able
    crew ends it first, as if every crew stood ready and could be at two places of the house at once. A pin that cannot
    be kept even so is passed over: its work is planned without it.
    """
    floor = Floor(problem)
    record = next(one for one in problem.jobs if one.job.number == job)
    try:
        work = job_work(record, floor)
    except Refused:
        return None
    return soonest_on(floor, work)


def soonest_on(floor: Floor, work: JobWork) -> datetime | None:
    """Return the instant before which no plan can end a job, on a floor where nothing is booked."""
    floor, ends = floor.anywhere(), dict[BlockKey, int]()
    for key in work.order:
        earliest = max((ends[link.before] + slots_of(link.wait_min) for link in work.into[key]), default=0)
        booking = _first(floor, work, key, earliest)
        if booking is None:
            return None
        ends[key] = booking.end
    return floor.axis.at(max(ends.values())) if ends else None


def _first(floor: Floor, work: JobWork, key: BlockKey, earliest: int) -> Booking | None:
    block, fact = work.blocks[key], work.ready.get(key)
    if key in work.barred:
        return None
    if fact is not None:
        earliest = max(earliest, floor.axis.up(fact.at))
    crews = [block.crew] if block.crew else [crew for crew in floor.crews if floor.able(block, crew)]
    if key in work.pins and not pin_fault(work, key, floor):
        pin = work.pins[key][0]
        day, next_day = floor.day(work.record, pin.day)
        pinned = _soonest_with(floor, work, block, pin.crew, max(0, earliest, day))
        if pinned is not None and pinned.start < next_day:
            return pinned
    found = [booking for crew in crews if (booking := _soonest_with(floor, work, block, crew, max(0, earliest)))]
    return min(found, key=lambda booking: booking.end, default=None)


def _soonest_with(floor: Floor, work: JobWork, block: Block, crew: str, earliest: int) -> Booking | None:
    """Return the place of a block that a crew ends first; with people out a later start may end sooner."""
    best = floor.first(work.record, block, crew, earliest)
    if best is None or not floor.roster.days(crew):
        return best
    after: Booking | None = best
    while after is not None and after.start < best.end:
        after = floor.first(work.record, block, crew, after.start + 1)
        if after is not None and after.end < best.end:
            best = after
    return best
