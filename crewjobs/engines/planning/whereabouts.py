"""Where each crew is when a plan is made in the middle of its day: the way from there counts before it works anywhere else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Final, NamedTuple

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Placement
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.calendars import Axis, Calendars
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.timeline import Booking, Roads

SHOP: Final = 0
"""Stands for the shop where a job's number names a house."""


class _Last(NamedTuple):
    """What a crew did last today: when, and at which job's house; `turned` where the house was not ready."""

    at: datetime
    job: int
    turned: bool


def whereabouts(problem: PlanProblem, axis: Axis, calendars: Calendars, roads: Roads) -> Mapping[str, Booking]:
    """Return where each crew stands that is neither at work nor at home, as a booking up to when it can leave there.

    A crew is at the house it worked at last today or that turned it away, or at the shop. Where the plan before has it at
    another house next it is on its way there, and is there by then if the way can be done. Crews whose day has not
    begun or is over, and crews with work under way, have none.
    """
    found: dict[str, Booking] = {}
    numbers = {record.job.number for record in problem.jobs}
    at_work = _at_work(problem)
    for crew in calendars.names:
        if not calendars.in_its_day(crew):
            continue
        last = max(_today(problem, crew), default=None)
        turned = last is not None and last.turned
        if crew in at_work and not turned:
            continue
        stood, until = last.job if last else SHOP, 1 if turned else 0
        ahead = None if turned else _next(problem, crew)
        if ahead is not None and ahead.key.job in numbers and ahead.key.job != stood:
            drive, start = roads.slots(stood, ahead.key.job), axis.up(ahead.start)
            in_time = last is None or axis.up(ahead.start) - axis.down(last.at) >= drive
            stood, until = ahead.key.job, min(start, drive) if in_time else drive
        found[crew] = Booking(BlockKey(job=stood, task=0), crew, 0, until, 0)
    return found


def _at_work(problem: PlanProblem) -> set[str]:
    """Return the crews with work under way, or at work that goes on as planned."""
    before = problem.previous.placements if problem.previous else ()
    planned = {(one.key.job, number): one.crew for one in before for number in one.tasks}
    begun = {
        task.crew or planned.get((record.job.number, task.number), "")
        for record in problem.jobs
        for task in record.tasks
        if task.open and task.started_at is not None and task.started_at <= problem.now
    }
    return begun | {placed.crew for placed in problem.stands if placed.end > problem.now}


def _today(problem: PlanProblem, crew: str) -> Iterator[_Last]:
    zone, now = problem.shop.zone, problem.now
    today = to_wall(zone, now).date()

    def is_today(moment: datetime | None) -> bool:
        return moment is not None and moment <= now and to_wall(zone, moment).date() == today

    for record in problem.jobs:
        for run in record.dry_runs:
            if run.crew == crew and is_today(run.at):
                yield _Last(run.at, record.job.number, True)
        yield from (_Last(at, record.job.number, False) for at in _ticks(record, crew) if is_today(at))


def _ticks(record: JobRecord, crew: str) -> Iterator[datetime]:
    for task in record.tasks:
        if task.crew == crew:
            yield from (moment for moment in (task.started_at, task.done_at) if moment is not None)


def _next(problem: PlanProblem, crew: str) -> Placement | None:
    """Return the place where the plan before has a crew next today, with something left to do."""
    zone, now = problem.shop.zone, problem.now
    today = to_wall(zone, now).date()
    records = {record.job.number: record for record in problem.jobs}
    ahead = [
        placed
        for placed in (problem.previous.placements if problem.previous else ())
        if placed.crew == crew and placed.start > now and to_wall(zone, placed.start).date() == today
        and placed.key.job in records and any(records[placed.key.job].task(n).open for n in placed.tasks)
    ]  # fmt: skip
    return min(ahead, key=lambda placed: placed.start, default=None)
