"""Where each crew is when a plan is made in the middle of its day: the way from there counts before it works anywhere else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Final, NamedTuple

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.calendars import Axis, Calendars
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.timeline import Booking, Roads

SHOP: Final = 0
"""Stands for the shop where a job's number names a house."""
LOADING_SLOTS: Final = 4
"""In the first hour of its day a crew loads and drives, wherever it is sent. Common practice, no source."""


class _Last(NamedTuple):
    """Where a crew was last today: since when, at which job's house, up to when; `turned` where that was not ready."""

    at: datetime
    job: int
    turned: bool
    until: datetime


def whereabouts(problem: PlanProblem, axis: Axis, calendars: Calendars, roads: Roads) -> Mapping[str, Booking]:
    """Return where each crew stands in the middle of its day, as a booking up to when it can leave there.

    A crew is at the house it worked at last today, by what is recorded or by the plans before, or that turned it away, or
    at the shop. Where the plan before has it at another house next it is on its way there, and is there by then if the
    way can be done; work under way elsewhere goes first. So is a crew that goes on at a house: to what it left in another it
    has a way. Crews whose day has not begun or is over, and those at work that counts as done by the plan, have none.
    """
    found: dict[str, Booking] = {}
    numbers = {record.job.number for record in problem.jobs}
    for crew in calendars.names:
        if not calendars.into_its_day(crew):
            continue
        # What is done as a crew leaves has the hour at which it leaves: it is on its way then.
        last = max(_today(problem, crew), key=lambda one: (one.at, one.job == SHOP, one), default=None)
        turned, stood = last is not None and last.turned, last.job if last else SHOP
        begun = dict(_begun(problem, crew))
        if not turned and (_goes_on(problem, crew) or (last is None and not all(begun.values()))):
            continue
        free = max(0, axis.up(last.until)) if last else 0
        until = 1 if turned else free
        ahead = None if turned or begun else _next(problem, crew)  # work under way goes on before all else
        if ahead is not None and ahead.key.job in numbers and ahead.key.job != stood:
            drive, start = roads.slots(stood, ahead.key.job), max(0, axis.up(ahead.start))
            in_time = last is None or axis.up(ahead.start) - axis.down(last.until) >= drive
            stood, until = ahead.key.job, min(start, free + drive) if in_time else free + drive
        if last is None and stood == SHOP and calendars.into_its_day(crew) < LOADING_SLOTS:
            continue  # the morning's drive is the calendar's
        found[crew] = Booking(BlockKey(job=stood, task=0), crew, 0, until, 0)
    return found


def _goes_on(problem: PlanProblem, crew: str) -> bool:
    return any(placed.crew == crew and placed.end > problem.now for placed in problem.stands)


def _begun(problem: PlanProblem, crew: str) -> Iterator[tuple[int, bool]]:
    """Yield the jobs where a crew goes on with work under way, with whether another crew had it until now."""
    before = problem.previous.placements if problem.previous else ()
    had = {(one.key.job, number): one.crew for one in before for number in one.tasks}
    own = {one.name for one in problem.shop.crews}
    found: dict[int, bool] = {}
    for record in problem.jobs:
        job = record.job.number
        for task in record.tasks:
            if task.open and task.started_at is not None and task.started_at <= problem.now:
                planned = had.get((job, task.number))
                if crew == (task.crew if task.crew in own else planned):
                    found[job] = found.get(job, True) and planned not in (None, crew)
    yield from found.items()


def _today(problem: PlanProblem, crew: str) -> Iterator[_Last]:
    zone, now = problem.shop.zone, problem.now
    today = to_wall(zone, now).date()

    def is_today(moment: datetime | None) -> bool:
        return moment is not None and moment <= now and to_wall(zone, moment).date() == today

    for record in problem.jobs:
        for run in record.dry_runs:
            if run.crew == crew and is_today(run.at):
                yield _Last(run.at, record.job.number, True, run.at)
        yield from (_Last(at, record.job.number, False, at) for at in _ticks(record, crew) if is_today(at))
    records = {record.job.number: record for record in problem.jobs}
    numbers = records.keys()
    before = problem.previous
    for placed in before.placements if before else ():
        here = placed.crew == crew and placed.key.job in numbers and is_today(placed.start)
        if here and before and not told_left(records[placed.key.job], before, crew, placed.start):
            yield _Last(placed.start, placed.key.job, False, min(placed.end, now))
    for been in problem.been:
        if been.crew == crew and been.job in (SHOP, *numbers) and is_today(been.at):
            yield _Last(been.at, been.job, False, been.until)


def told_left(record: JobRecord, plan: WeekPlan, crew: str, by: datetime) -> bool:
    """Return whether a crew left the house of a job by an instant (UTC) of a day, as it told, and since a plan that has it there was made."""
    zone = record.job.site.zone
    day = to_wall(zone, by).date()
    stops = (one.stop for one in record.crew_hours if one.crew == crew)
    return any(plan.made_at < stop <= by and to_wall(zone, stop).date() == day for stop in stops)


def _ticks(record: JobRecord, crew: str) -> Iterator[datetime]:
    for task in record.tasks:
        if task.crew == crew:
            yield from (moment for moment in (task.started_at, task.done_at) if moment is not None)


def _next(problem: PlanProblem, crew: str) -> Placement | None:
    """Return the place where the plan before has a crew now or next today, with something left to do.

    Not at a house that the crew has left since that plan was made.
    """
    zone, now, before = problem.shop.zone, problem.now, problem.previous
    today = to_wall(zone, now).date()
    records = {record.job.number: record for record in problem.jobs}
    ahead = [
        placed
        for placed in (before.placements if before else ())
        if placed.crew == crew and placed.end > now and to_wall(zone, placed.start).date() == today
        and placed.key.job in records and any(records[placed.key.job].task(n).open for n in placed.tasks)
        and before and not told_left(records[placed.key.job], before, crew, now)
    ]  # fmt: skip
    return min(ahead, key=lambda placed: placed.start, default=None)
