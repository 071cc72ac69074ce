"""A job's crew hours as what paces are learned from: each crew's days at the house, and what was done on them by the book."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from math import log
from typing import Final

from crewjobs.domain.evening import share_left
from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import DoneTask, HoursKind, WorkedDay
from crewjobs.domain.tasks import Scope, Task
from crewjobs.domain.wall import to_wall
from crewjobs.engines.estimating.places import facts_of
from crewjobs.engines.estimating.spread import day_of, done_on, part_of

RUNS_OVER: Final = 0.5
"""So far apart, in the log of hours over the book's, two days must be for a task to have run over the night between them."""


def worked_days(record: JobRecord, book: Mapping[int, float] | None = None) -> tuple[WorkedDay, ...]:
    """Return a job's hours by day and crew, with what was done of each task that day in the book's labor minutes.

    `book` gives the labor minutes of whole tasks by number where they are not the estimate the task was made with: once
    estimates are learned ones, the book's must be given here, or a pace would be learned of itself. Shares of a day are those of
    `spread.done_on`. All hours of a callback are the callback's. What a crew waited is a day of its own kind, and so are the
    hours of a day on which it was sent to a house that was not ready and nothing got done. Days whose work cannot be told apart
    come together (`run_together`).
    """
    zone = record.job.site.zone
    days: dict[date, dict[str, int]] = {}
    waited: dict[tuple[date, str], int] = {}
    for hours in record.crew_hours:
        day = day_of(hours, zone)
        crews = days.setdefault(day, {})
        crews[hours.crew] = crews.get(hours.crew, 0) + hours.labor
        waited[day, hours.crew] = waited.get((day, hours.crew), 0) + hours.waited
    holding = _Holding(record)
    return run_together(
        one
        for day, crews in sorted(days.items())
        for crew, labor in sorted(crews.items())
        for one in _of_day(
            record, day, crew, labor, waited[day, crew], tuple(_done(holding, day, crew, crews, book or {}))
        )
    )


def run_together(days: Iterable[WorkedDay]) -> tuple[WorkedDay, ...]:
    """Return a job's days with those of a crew put together whose work cannot be told apart, in the order of the last of them.

    A task that is begun on one day and ticked on the next without a word of how far it was counts for the next alone: the first
    day looks slow, the next quick. Where one takes longer than the book and the next less, far apart, and both together are
    nearer to it than either, they are one sum. Hours of a day on which nothing was ticked go to what is ticked next; as long as
    nothing is, they stand alone. Common practice, no source.
    """
    found: list[WorkedDay] = []
    for one in days:
        found.append(one)
        while (at := _runs_into(found)) is not None:
            found.append(_together(found.pop(at), found.pop()))
    return tuple(found)


def _runs_into(days: Sequence[WorkedDay]) -> int | None:
    """Return which day's work cannot be told from the last one's: the one before it of the same crew, None where it can."""
    last = days[-1]
    if not last.tells_pace:
        return None
    places = range(len(days) - 2, -1, -1)
    mine = (at for at in places if days[at].crew == last.crew and days[at].kind is HoursKind.WORK)
    before = next(mine, None)
    if before is None:
        return None
    first = days[before]
    if not first.done:
        return before
    longer, less = log(first.labor_min / first.book_min), log(last.labor_min / last.book_min)
    both = abs(log((first.labor_min + last.labor_min) / (first.book_min + last.book_min)))
    apart = longer > 0 > less and longer - less > RUNS_OVER
    return before if apart and both < min(longer, -less) else None


def _together(first: WorkedDay, last: WorkedDay) -> WorkedDay:
    book: dict[int, DoneTask] = {task.number: task for task in first.done}
    for task in last.done:
        known = book.get(task.number)
        book[task.number] = task if known is None else replace(task, book_min=task.book_min + known.book_min)
    return replace(
        last, labor_min=first.labor_min + last.labor_min, done=tuple(book.values()), days=first.days + last.days
    )


def _of_day(
    record: JobRecord, day: date, crew: str, labor: int, waited: int, done: tuple[DoneTask, ...]
) -> Iterator[WorkedDay]:
    """Yield a crew's day at a house, each kind of hours by itself."""

    def of(kind: HoursKind, minutes: int, done: tuple[DoneTask, ...] = ()) -> Iterator[WorkedDay]:
        if minutes > 0:
            yield WorkedDay(job=record.job.number, crew=crew, day=day, labor_min=minutes, done=done, kind=kind)

    if record.job.is_callback:
        yield from of(HoursKind.CALLBACK, labor + waited, done)
    elif not done and _turned_away(record, day, crew):
        yield from of(HoursKind.DRY_RUN, labor + waited)
    else:
        yield from of(HoursKind.WORK, labor, done)
        yield from of(HoursKind.WAITING, waited)


def _turned_away(record: JobRecord, day: date, crew: str) -> bool:
    zone = record.job.site.zone
    return any(run.crew == crew and to_wall(zone, run.at).date() == day for run in record.dry_runs)


class _Holding:
    """A job's record, and the conditions of its places: looked up once, however many days and tasks there are."""

    def __init__(self, record: JobRecord) -> None:
        self.record = record
        self._known: dict[Scope, frozenset[str]] = {}

    def conditions(self, task: Task) -> frozenset[str]:
        scope = task.key.scope
        if scope not in self._known:
            self._known[scope] = conditions(self.record, task)
        return self._known[scope]


def _done(
    holding: _Holding, day: date, crew: str, crews: Mapping[str, int], book: Mapping[int, float]
) -> Iterator[DoneTask]:
    record = holding.record
    for task in record.tasks:
        minutes = done_on(record, task, day) * part_of(task.crew, crew, crews) * _by_book(task, book)
        if minutes > 0:
            yield DoneTask(
                number=task.number, template=task.key.template, book_min=minutes, conditions=holding.conditions(task)
            )


def _by_book(task: Task, book: Mapping[int, float]) -> float:
    """Return what one minute of a task's estimate is by the book."""
    return book.get(task.number, task.estimate.expected) / task.estimate.expected if task.estimate.expected > 0 else 1.0


def works(record: JobRecord, numbers: Iterable[int]) -> tuple[DoneTask, ...]:
    """Return whole tasks of a job as work of the book's minutes, those left away that take no time."""
    tasks, holding = [record.task(number) for number in numbers], _Holding(record)
    return tuple(
        DoneTask(
            number=task.number,
            template=task.key.template,
            book_min=task.estimate.expected,
            conditions=holding.conditions(task),
        )
        for task in tasks
        if task.estimate.expected > 0
    )


def works_left(record: JobRecord) -> tuple[DoneTask, ...]:
    """Return a job's open tasks as work of the book's minutes that are left by how far each was said to be."""
    shares = {task.number: share_left(record.how_far, task.number) for task in record.tasks if task.open}
    every = works(record, [number for number, share in shares.items() if share > 0])
    return tuple(replace(one, book_min=one.book_min * shares[one.number]) for one in every)


def conditions(record: JobRecord, task: Task) -> frozenset[str]:
    """Return the conditions that hold where a task is (furnished, upstairs, cut-up …): those of any of its places."""
    return frozenset(name for facts in facts_of(record.job, task.key.scope) for name in facts.conditions)
