"""When cartons can go up: in the elevator's booked hours where there is one, else in the site's hours."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crewjobs.domain.job import Job
from crewjobs.domain.wall import Span, WeekHours, days_from, to_utc, to_wall

LOOK_AHEAD_DAYS = 60
"""A house shut for longer has hours nobody can plan with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A stretch in which cartons can go up, UTC; `elevator` where it is the elevator's."""

    start: datetime
    end: datetime
    elevator: bool


def bounded(job: Job) -> bool:
    """Return whether anything bounds the hours in which cartons can go up."""
    return _hours(job) is not None or bool(job.blocked)


def spans_on(job: Job, day: date) -> tuple[Span, ...]:
    """Return the stretches of a site's day in which cartons can go up; a whole day where nothing bounds it."""
    hours = _hours(job)
    if day in job.blocked:
        return ()
    return (Span(start=0, end=24 * 60),) if hours is None else hours.on(day)


def next_slot(job: Job, instant: datetime) -> Slot | None:
    """Return the stretch that holds an instant or comes first after it; None where nothing opens in two months."""
    zone, elevator = job.site.zone, job.site.elevator is not None
    for day in days_from(to_wall(zone, instant).date(), LOOK_AHEAD_DAYS):
        for span in spans_on(job, day):
            end = to_utc(zone, day, span.end)
            if end > instant:
                return Slot(start=to_utc(zone, day, span.start), end=end, elevator=elevator)
    return None


def earliest_carry(job: Job, instant: datetime) -> datetime:
    """Return the earliest instant from one on at which cartons can be in the rooms; itself where nothing is known."""
    slot = next_slot(job, instant) if bounded(job) else None
    return instant if slot is None else max(slot.start, instant)


def can_go_up(job: Job, instant: datetime) -> bool:
    """Return whether cartons can go up at an instant, its end included: what is up at eleven went up before."""
    slot = next_slot(job, instant - timedelta(seconds=1)) if bounded(job) else None
    return slot is None or slot.start <= instant


def _hours(job: Job) -> WeekHours | None:
    return job.site.elevator or job.site.hours
