"""A job's crew hours as what paces are learned from: each crew's days at the house, and what was done on them by the book."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import DoneTask, HoursKind, WorkedDay
from crewjobs.domain.tasks import Task
from crewjobs.engines.estimating.places import facts_of
from crewjobs.engines.estimating.spread import day_of, done_on, part_of


def worked_days(record: JobRecord, book: Mapping[int, float] | None = None) -> tuple[WorkedDay, ...]:
    """Return a job's hours by day and crew, with what was done of each task that day in the book's labor minutes.

    `book` gives the labor minutes of whole tasks by number where they are not the estimate the task was made with: once
    estimates are learned ones, the book's must be given here, or a pace would be learned of itself. Shares of a day are those of
    `spread.done_on`. All hours of a callback are the callback's.
    """
    zone = record.job.site.zone
    days: dict[date, dict[str, int]] = {}
    for hours in record.crew_hours:
        crews = days.setdefault(day_of(hours, zone), {})
        crews[hours.crew] = crews.get(hours.crew, 0) + hours.labor
    kind = HoursKind.CALLBACK if record.job.is_callback else HoursKind.WORK
    return tuple(
        WorkedDay(
            job=record.job.number,
            crew=crew,
            day=day,
            labor_min=labor,
            done=tuple(_done(record, day, crew, crews, book or {})),
            kind=kind,
        )
        for day, crews in sorted(days.items())
        for crew, labor in sorted(crews.items())
    )


def _done(
    record: JobRecord, day: date, crew: str, crews: Mapping[str, int], book: Mapping[int, float]
) -> Iterator[DoneTask]:
    for task in record.tasks:
        minutes = done_on(record, task, day) * part_of(task.crew, crew, crews) * _by_book(task, book)
        if minutes > 0:
            yield DoneTask(
                number=task.number, template=task.key.template, book_min=minutes, conditions=conditions(record, task)
            )


def _by_book(task: Task, book: Mapping[int, float]) -> float:
    """Return what one minute of a task's estimate is by the book."""
    return book.get(task.number, task.estimate.expected) / task.estimate.expected if task.estimate.expected > 0 else 1.0


def works(record: JobRecord, numbers: Iterable[int]) -> tuple[DoneTask, ...]:
    """Return whole tasks of a job as work of the book's minutes, those left away that take no time."""
    tasks = [record.task(number) for number in numbers]
    return tuple(
        DoneTask(
            number=task.number,
            template=task.key.template,
            book_min=task.estimate.expected,
            conditions=conditions(record, task),
        )
        for task in tasks
        if task.estimate.expected > 0
    )


def conditions(record: JobRecord, task: Task) -> frozenset[str]:
    """Return the conditions that hold where a task is (furnished, upstairs, cut-up …): those of any of its places."""
    return frozenset(name for facts in facts_of(record.job, task.key.scope) for name in facts.conditions)
