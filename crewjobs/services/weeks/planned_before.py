"""What days gone by had planned and nobody ticked, wherever the plan in force has it by now: it may be done all the same."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.services.weeks.visits import Planned

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

DAYS_BACK: Final = 14
"""So many days are looked back at: what is planned anew and left again stands on a later one of them."""


def not_ticked_of(uow: UnitOfWork, found: Planned, crew: str, now: datetime) -> dict[tuple[int, int], date]:
    """Return by job and task what a crew was to have done on a day gone by, and the first such day, which nobody ticked.

    A day is told by the plan that was in force at its end: what was moved while it ran was not left on it. What was begun
    on a later day, or said then how far it is, is that day's; of a job that is not booked nothing is left to tick.
    """
    zone = found.shop.zone
    today = to_wall(zone, now).date()
    left: dict[tuple[int, int], date] = {}
    for day in (today - timedelta(days=back) for back in range(DAYS_BACK, 0, -1)):
        start, end = to_utc(zone, day, 0), to_utc(zone, day + timedelta(days=1), 0)
        for plan in uow.plans_until(end, back_to=end, within=(start, end)):
            placed = tuple(
                one for one in plan.placements if one.crew == crew and _is_known(found, one.key.job, one.tasks)
            )
            then = replace(found, plan=replace(plan, placements=placed))
            for number in dict.fromkeys(one.key.job for one in placed):
                record = found.records[number]
                for task, (_, until) in then.task_minutes(record).items():
                    if to_wall(zone, until).date() == day and _is_left(record, record.task(task), day):
                        left.setdefault((number, task), day)
    return left


def _is_known(found: Planned, job: int, tasks: tuple[int, ...]) -> bool:
    """Return whether a booked job still has all tasks of a block."""
    record = found.records.get(job)
    if record is None or record.job.state is not JobState.BOOKED:
        return False
    return set(tasks) <= {task.number for task in record.tasks}


def _is_left(record: JobRecord, task: Task, day: date) -> bool:
    """Return whether a task is open and nothing was recorded of it on a later day."""
    far = latest(record.how_far, task.number)
    said = [task.started_at, far.at if far is not None else None]
    return task.open and not any(at is not None and to_wall(record.job.site.zone, at).date() > day for at in said)
