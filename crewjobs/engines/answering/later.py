"""Why the plan has work later than anything it waits for says."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from enum import StrEnum
from typing import Final

from crewjobs.domain.plan import BlockKey
from crewjobs.domain.tasks import Pause
from crewjobs.domain.wording import day_words, listed
from crewjobs.engines.answering.planned_job import Bound, Place, PlannedJob
from crewjobs.engines.planning.buffers import spare
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS
from crewjobs.engines.planning.missing import last_missing
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.planning.timeline import Booking


class Later(StrEnum):
    """Why a start is later than all it waits for."""

    PEOPLE = "people or cards missing"
    ELEVATOR = "elevator"
    STRETCH = "no stretch long enough"
    AT_MOST = "longest wait"
    KEPT = "kept from the plan before"
    TOGETHER = "days kept together"
    ONE_DAY = "begun and ended on one day"
    CHOSEN = "left there by the plan"


NO_CAUSE: Final = frozenset({Later.KEPT, Later.TOGETHER, Later.ONE_DAY, Later.CHOSEN})
"""Where the plan put work though nothing it waits for says so: a chain begins there."""


def held_up(job: PlannedJob, place: Place, bound: Bound) -> tuple[Later | None, str]:
    """Return what beside nights and days off lies between what binds a start and the start itself."""
    calendar = job.floor.calendar(job.record, place.placement.crew)
    if place.block.elevator and place.calendar is not None:
        starts = job.floor.tables.of(calendar, place.work, place.block.pause, 1)
        opens = starts.first(max(0, bound.slot), job.floor.axis.slots)
        if opens is not None and opens[0] < place.start:
            return Later.ELEVATOR, ""
    first = calendar.count(max(0, bound.slot))
    if place.block.pause is not Pause.NIGHT and first < calendar.total:
        day = job.floor.date_of(job.record, calendar.slot(first))
        if day < job.floor.date_of(job.record, place.start):
            return Later.STRETCH, ""
    return None, ""


def why_later(job: PlannedJob, place: Place, bound: Bound, soonest: Mapping[BlockKey, Booking]) -> tuple[Later, str]:
    """Return why work begins later than anything it waits for and its hours say."""
    lacks = _who_is_missing(job, place, bound)
    if lacks:
        return Later.PEOPLE, lacks
    whole = min(place.work, HALF_DAY_SLOTS)
    if place.fit(bound.slot, job.floor.axis.slots, whole) == place.start:
        return Later.STRETCH, ""
    if job.soon(place) is not None:
        return Later.AT_MOST, ""
    if place.placement.key in job.on_one_day:
        return Later.ONE_DAY, ""
    return why_left(job, place, soonest), ""


def why_left(job: PlannedJob, place: Place, soonest: Mapping[BlockKey, Booking]) -> Later:
    """Return why the plan has work later than it could be, though nothing it waits for says so."""
    if job.open_days(job.as_planned) < job.open_days(soonest) and not pressed(job):
        return Later.TOGETHER
    was = [p for p in job.before.placements if p.key.job == job.record.job.number] if job.before else []
    if any(p.start == place.placement.start and set(p.tasks) & set(place.placement.tasks) for p in was):
        return Later.KEPT
    return Later.CHOSEN


def pressed(job: PlannedJob) -> bool:
    """Return whether the promise is broken, or holds with less time to spare than is to be kept."""
    if job.record.job.promised is None:
        return False
    shop = with_parts(job.problem.shop, job.problem.away)
    found = spare(shop, job.problem.away, job.problem.errands, job.record, job.plan, job.finish(), job.plan.made_at)
    return found is None or found.tight


def _who_is_missing(job: PlannedJob, place: Place, bound: Bound) -> str:
    """Return who is missing on the last day on which the work could have begun but for that; empty if none."""
    if place.calendar is None or place.work <= 0:
        return ""
    starts = job.floor.tables.of(place.calendar, place.work, place.block.pause, place.opening)
    mine = job.at[place.placement.key]
    missing = last_missing(job.floor, job.record, place.block, mine, starts, max(0, bound.slot))
    return _missing_words(job, mine.crew, *missing) if missing else ""


def _missing_words(job: PlannedJob, crew: str, day: date, lacks: str) -> str:
    away = [one for one in job.problem.away if one.crew == crew and one.day == day]
    out = [one.worker for one in away if one.worker not in lacks and not one.to]
    lent = [f"{one.worker} is with {one.to}" for one in away if one.worker not in lacks and one.to]
    named = [*([f"{listed(out)} {'is' if len(out) == 1 else 'are'} out"] if out else []), *lent]
    return f"{lacks} on {day_words(day, job.problem.today)}" + (f" ({', '.join(named)})" if named else "")
