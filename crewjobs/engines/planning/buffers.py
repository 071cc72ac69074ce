"""The time kept before a promise, because tasks take longer or shorter than they are planned.

A plan that ends just in time on paper is a bad promise: where one task of a day runs over, the whole chain behind it
does. A job's spread is how much longer its crew works one time in twenty, as its hours so far tell (`Paces.spreads`); as long
as no hours are known, how much longer it would work if every open task took its high time (`common practice, no source`).
A share of it, which the shop sets, is to lie between the planned end and the end of the promised day, in hours its crew works
there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Away, Crew, Shop
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.plan import BlockKey, WeekPlan
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import DAY, QUARTER, to_utc
from crewjobs.engines.planning.blocks import begun_tasks
from crewjobs.engines.planning.calendars import worked_windows
from crewjobs.engines.planning.paces import paces_in
from crewjobs.engines.planning.roster import Roster
from crewjobs.engines.planning.spare import Spare
from crewjobs.engines.planning.subs import labor_with

if TYPE_CHECKING:
    from crewjobs.engines.planning.jobwork import Floor, JobWork
    from crewjobs.engines.planning.problem import Errand
    from crewjobs.engines.planning.timeline import Booking

MINUTE: Final = timedelta(minutes=1)
ROUND: Final = 1e-6
"""Thirds of minutes add up to whole ones."""


def promise_instant(record: JobRecord) -> datetime | None:
    """Return the end of the promised day at the site."""
    promised = record.job.promised
    return None if promised is None else to_utc(record.job.site.zone, promised, DAY)


def spread_min(tasks: Iterable[tuple[Task, float]], people: int, more: float | None = None) -> float:
    """Return the minutes longer work takes so many people by the spread of its job.

    `tasks` come with the labor minutes left of each: a task half done has half its spread left. `more` is the share by which
    the job takes longer (`Paces.more`); with None every task takes its high time.
    """
    longer = 0.0
    for task, labor in tasks:
        expected = max(1.0, task.estimate.expected)
        share = (task.estimate.high - expected) / expected if more is None else more
        longer += share * labor / min(people, max(1, task.people))
    return longer


def kept_min(tasks: Iterable[tuple[Task, float]], people: int, percent: int, more: float | None = None) -> float:
    """Return the minutes of a crew of so many people that are to lie between the planned end and the promise."""
    return spread_min(tasks, people, more) * percent / 100


def spare(
    shop: Shop,
    away: Sequence[Away],
    errands: Sequence[Errand],
    record: JobRecord,
    plan: WeekPlan,
    end: datetime,
    at: datetime,
) -> Spare | None:
    """Return what a job that ends at `end` has to spare at an instant; None without a promise that holds and a known crew.

    Both are UTC. `shop` has a crew more for every part that works by itself (`roster.with_parts`). Of what is under way
    only what is left by then counts, as it does where the plan is made.
    """
    mine = [placed for placed in plan.placements if placed.key.job == record.job.number]
    last = max(mine, key=lambda placed: (placed.end, placed.key), default=None)
    crew = next((crew for crew in shop.crews if last is not None and crew.name == last.crew), None)
    if crew is None:
        return None
    slack = slack_min(shop, crew, record.job, end, away, errands)
    if slack is None:
        return None
    promise = promise_instant(record)
    assert promise is not None
    others = [one for one in plan.placements if one.crew == crew.name and one.key.job != record.job.number]
    booked = sum(
        slack_between(shop, crew, record.job, max(end, one.start), min(promise, one.end), away, errands)
        for one in others
    )
    paces, crews = paces_in(mine), {one.name: one for one in shop.crews}
    left = {number: one.labor for number, one in begun_tasks(record, shop, at, plan, paces).items()}
    doers = {number: crews.get(placed.crew, crew) for placed in mine for number in placed.tasks}
    tasks = [
        (task, left.get(task.number, labor_with(doers.get(task.number, crew), record.job, task, paces)))
        for task in record.tasks
        if task.open
    ]
    kept = round(kept_min(tasks, crew.people, shop.kept_percent, paces.more(crew.name, record.job.number)))
    return Spare(crew=crew.name, slack_min=slack, booked_min=min(booked, slack), kept_min=kept)


def slack_min(
    shop: Shop, crew: Crew, job: Job, end: datetime, away: Sequence[Away] = (), errands: Sequence[Errand] = ()
) -> int | None:
    """Return the minutes a crew could still work at a job between its planned end and its promise.

    Minutes of the whole crew: while some of it are out, lent to others or at a small visit, only their share of the
    time counts. None without a promise, or where the promised day is over by then.
    """
    if job.promised is None:
        return None
    promise = to_utc(job.site.zone, job.promised, DAY)
    return slack_between(shop, crew, job, end, promise, away, errands) if end <= promise else None


def slack_between(
    shop: Shop,
    crew: Crew,
    job: Job,
    since: datetime,
    until: datetime,
    away: Sequence[Away],
    errands: Sequence[Errand],
) -> int:
    """Return the minutes of a whole crew at a job between two instants."""
    roster = Roster(shop, away, errands)
    minutes = 0.0
    for day, start, end in worked_windows(shop, crew, job, since, until):
        minutes += (end - start) / MINUTE - missing_min(roster, crew, day, start, end)
    return int(minutes + ROUND)


def missing_min(roster: Roster, crew: Crew, day: date, start: datetime, end: datetime) -> float:
    """Return the minutes of a whole crew that its people who are not there take of a stretch of a day."""
    if day not in roster.days(crew.name):
        return 0.0
    there = sorted(roster.on(crew.name, day), key=lambda worker: worker.name)
    gone = sum(roster.gone_min(worker.name, start, end) for worker in there)
    have = len(there) * ((end - start) / MINUTE) - gone
    return max(0.0, (end - start) / MINUTE - have / max(1, crew.people))


def kept_slots(work: JobWork, floor: Floor, crew: str) -> int:
    """Return the slots of a crew's work that are kept between a job's planned end and its promise."""
    blocks = work.blocks.values()
    tasks = [pair for block in blocks for pair in zip(block.tasks, floor.labor(block, crew), strict=True)]
    more = floor.problem.paces.more(crew, work.number)
    return round(kept_min(tasks, floor.crews[crew].people, floor.problem.shop.kept_percent, more) / QUARTER)


def slack_slots(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int | None:
    """Return the slots the whole crew of a job's last block could still work there before its promise ends.

    As `slack_min`, by the quarter hour. Negative where the job ends after it; None without a promise or without bookings.
    """
    promise = promise_instant(work.record)
    last = max(bookings.values(), key=lambda booking: (booking.end, booking.key), default=None)
    if promise is None or last is None:
        return None
    calendar, crew = floor.calendar(work.record, last.crew), floor.crews[last.crew]
    since, until = last.end, floor.axis.down(promise)
    slack = calendar.count(until) - calendar.count(since)
    if slack <= 0 or not floor.roster.days(crew.name):
        return slack
    missing = sum(
        missing_min(floor.roster, crew, day, floor.axis.at(max(since, start)), floor.axis.at(min(until, end)))
        for day, start, end in zip(calendar.days, calendar.starts, calendar.ends, strict=True)
        if start < until and since < end
    )
    return slack - math.ceil(missing / QUARTER - ROUND)


def short_slots(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return by how many slots the time kept before a job's promise is short; nothing where there is no promise."""
    slack = slack_slots(work, floor, bookings)
    if slack is None:
        return 0
    last = max(bookings.values(), key=lambda booking: (booking.end, booking.key))
    kept = kept_slots(work, floor, last.crew)
    return min(kept, max(0, kept - slack))
