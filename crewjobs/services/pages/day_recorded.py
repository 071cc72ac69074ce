"""What is recorded of a crew's day gone by of which the plan has nothing: hours at houses, what was ticked there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import counted, day_words, listed
from crewjobs.services.jobs.known_hours import times_words
from crewjobs.services.wording import task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

_NAMED: Final = 6


def recorded_words(uow: UnitOfWork, crew: str, day: date, today: date, zone: str) -> tuple[str, ...]:
    """Return what is known of a day gone by of a crew that the plan gives no house on it: first whether a plan of it is kept.

    A tick says when a task was done; by whom only where that crew began it or was at the house that day.
    """
    ends = to_utc(zone, day + timedelta(days=1), 0)
    kept = any(plan.made_at < ends for plan in uow.plans_until(ends, back_to=ends, within=(ends, ends)))
    on = day_words(day, today)
    records = {record.job.number: record for record in (*uow.live_jobs(), *uow.worked_jobs())}
    known = [words for _, record in sorted(records.items()) for words in _at_job(record, crew, day)]
    others = tuple(_by_nobody([record for _, record in sorted(records.items())], day))
    plan = f"By the plan {crew} had no visit on {on}" if kept else f"No plan of {on} is kept"
    return (f"{plan}{':' if known else f', and nothing is recorded of {crew} that day.'}", *known, *others)


def _at_job(record: JobRecord, crew: str, day: date) -> Iterator[str]:
    """Yield a crew's hours at a job on a day, and what was ticked for that day there."""
    hours = [one for one in record.crew_hours if one.crew == crew and _on(record, one.start) == day]
    there = {one.crew for one in record.crew_hours if _on(record, one.start) == day}
    done = [
        task for task in _done(record, day) if task.crew == crew or (not task.crew and bool(hours) and len(there) == 1)
    ]
    told = [f"{crew} {times_words(one, record.job.site.zone)}" for one in hours]
    told += [f"ticked: {listed([task_words(task) for task in done], most=_NAMED, of='tasks')}"] if done else []
    if told:
        yield f"Job {record.job.number} {record.job.title}: {'; '.join(told)}."


def _by_nobody(records: Sequence[JobRecord], day: date) -> Iterator[str]:
    """Yield how much was ticked for a day of which nothing says by which crew."""
    counts = []
    for record in records:
        there = {one.crew for one in record.crew_hours if _on(record, one.start) == day}
        count = sum(not task.crew for task in _done(record, day)) if len(there) != 1 else 0
        counts += [f"{counted(count, 'task')} of job {record.job.number}"] if count else []
    if counts:
        yield f"Ticked that day, by which crew is not known: {listed(counts, most=_NAMED, of='jobs')}."


def _done(record: JobRecord, day: date) -> list[Task]:
    return [task for task in record.tasks if task.done_at is not None and _on(record, task.done_at) == day]


def _on(record: JobRecord, instant: datetime) -> date:
    return to_wall(record.job.site.zone, instant).date()
