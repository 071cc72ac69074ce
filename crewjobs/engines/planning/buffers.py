"""The time kept before a promise, because tasks take longer or shorter than they are planned.

A plan that ends just in time on paper is a bad promise: where one task of a day runs over, the whole chain behind it
does. A job's spread is how much longer its crew would work if every open task took its high time (`common practice,
no source`); a share of it, which the shop sets, is to lie between the planned end and the end of the promised day, in
hours its crew works there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.job import Job
from crewjobs.domain.plan import BlockKey
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import DAY, QUARTER, to_utc
from crewjobs.engines.planning.calendars import worked_minutes
from crewjobs.engines.planning.jobwork import Floor, JobWork, promise_instant
from crewjobs.engines.planning.timeline import Booking


def spread_min(tasks: Iterable[tuple[Task, float]], people: int) -> float:
    """Return the minutes longer work takes so many people if every task takes its high time.

    `tasks` come with the labor minutes left of each: a task half done has half its spread left.
    """
    more = 0.0
    for task, labor in tasks:
        expected = max(1.0, task.estimate.expected)
        more += (task.estimate.high - expected) * labor / expected / min(people, max(1, task.people))
    return more


def kept_min(tasks: Iterable[tuple[Task, float]], people: int, percent: int) -> float:
    """Return the minutes of a crew of so many people that are to lie between the planned end and the promise."""
    return spread_min(tasks, people) * percent / 100


def slack_min(shop: Shop, crew: Crew, job: Job, end: datetime) -> int | None:
    """Return the minutes a crew could still work at a job between its planned end and its promise.

    None without a promise, or where the promised day is over by then.
    """
    if job.promised is None:
        return None
    promise = to_utc(job.site.zone, job.promised, DAY)
    return worked_minutes(shop, crew, job, end, promise) if end <= promise else None


def kept_slots(work: JobWork, floor: Floor, crew: str) -> int:
    """Return the slots of a crew's work that are kept between a job's planned end and its promise."""
    tasks = [pair for block in work.blocks.values() for pair in zip(block.tasks, block.labor, strict=True)]
    return round(kept_min(tasks, floor.crews[crew].people, floor.problem.shop.kept_percent) / QUARTER)


def slack_slots(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int | None:
    """Return the slots the crew of a job's last block could still work there before its promise ends.

    Negative where the job ends after it; None without a promise or without bookings.
    """
    promise = promise_instant(work.record)
    last = max(bookings.values(), key=lambda booking: (booking.end, booking.key), default=None)
    if promise is None or last is None:
        return None
    calendar = floor.calendar(work.record, last.crew)
    return calendar.count(floor.axis.down(promise)) - calendar.count(last.end)


def short_slots(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return by how many slots the time kept before a job's promise is short; nothing where there is no promise."""
    slack = slack_slots(work, floor, bookings)
    if slack is None:
        return 0
    last = max(bookings.values(), key=lambda booking: (booking.end, booking.key))
    kept = kept_slots(work, floor, last.crew)
    return min(kept, max(0, kept - slack))
