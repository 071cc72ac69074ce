"""What is recorded of a crew's day gone by: hours at houses, what was ticked or under way there, dry runs; on its page, what of it was planned."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Crew
from crewjobs.domain.evening import CrewHours
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import counted, day_words, listed
from crewjobs.services.jobs.known_hours import ticked_by, times_words, under_way_on
from crewjobs.services.weeks.visits import Planned
from crewjobs.services.wording import task_words

if TYPE_CHECKING:
    from crewjobs.services.pages.crew_houses import CrewHouse
    from crewjobs.storage.unit_of_work import UnitOfWork

_NAMED: Final = 6


def recorded_words(uow: UnitOfWork, crew: str, day: date, today: date, zone: str) -> tuple[str, ...]:
    """Return what is known of a day gone by of a crew that the plan gives no house on it: first whether a plan of it is kept.

    A tick says when a task was done; by whom only where that crew began it or was at the house that day.
    """
    ends = to_utc(zone, day + timedelta(days=1), 0)
    kept = any(plan.made_at < ends for plan in uow.plans_until(ends, back_to=ends, within=(ends, ends)))
    on = day_words(day, today)
    records = _records(uow, day, zone)
    known = [words for _, record in sorted(records.items()) for words in _at_job(record, crew, day)]
    others = tuple(_by_nobody([record for _, record in sorted(records.items())], day))
    plan = f"By the plan {crew} had no visit on {on}" if kept else f"No plan of {on} is kept"
    return (f"{plan}{':' if known else f', and nothing is recorded of {crew} that day.'}", *known, *others)


def page_words(
    uow: UnitOfWork, found: Planned, houses: Sequence[CrewHouse], crew: Crew, day: date, now: datetime
) -> tuple[str, ...]:
    """Return what a crew's page tells first of what is recorded: of a day gone by whether it is as planned, and how much was ticked.

    Of today only what was recorded at other houses than those of the page (`crew_houses`); of a day to come nothing.
    """
    today = to_wall(found.shop.zone, now).date()
    if day > today:
        return ()
    planned = {
        (one.stretch.record.job.number, piece.task) for one in houses for piece in (*one.stretch.pieces, *one.later)
    }
    if not planned and day < today:
        off = f"{crew.name} was off." if day in found.shop.holidays or not crew.comes(day) else ""
        return tuple(filter(None, (off, *recorded_words(uow, crew.name, day, today, found.shop.zone))))
    of_page = {one.stretch.record.job.number: one.stretch.record for one in houses}
    here = {job: frozenset(task for of, task in planned if of == job) for job in of_page}
    if day == today:
        others = (record for job, record in sorted(found.records.items()) if job not in of_page)
        return tuple(words for record in others for words in _at_job(record, crew.name, day))
    records = _records(uow, day, found.shop.zone) | of_page
    told = [
        words
        for job, record in sorted(records.items())
        for words in _at_job(record, crew.name, day, but=here.get(job, frozenset()), hours=job not in of_page)
    ]
    ticked = sum(task.number in here[job] for job, record in of_page.items() for task in _done(record, day))
    hours = any(_hours(record, crew.name, day) for record in records.values())
    return (
        _as_planned(found, day),
        _ticked_of(ticked, len(planned), crew.name, sorted(here)),
        *told,
        *([] if hours or crew.sub is not None else [f"No hours of {crew.name} are recorded for it."]),
    )


def made_since(found: Planned, day: date) -> bool:
    """Return whether the plan in force was made when a day was over: it has the times of what was done that day no more."""
    return found.plan.made_at >= to_utc(found.shop.zone, day + timedelta(days=1), 0)


def _as_planned(found: Planned, day: date) -> str:
    if not made_since(found, day):
        return "This day has gone by: all but the ticks stands here as it was planned."
    return (
        "This day has gone by, and the plan was made anew since: its work stands here where the day's plan had it. "
        "When the crew was to leave and be back is not told any more."
    )


def _ticked_of(ticked: int, planned: int, crew: str, jobs: Sequence[int]) -> str:
    at = f"{crew} at {'job' if len(jobs) == 1 else 'jobs'} {listed([str(job) for job in jobs], most=_NAMED)}"
    if not ticked:
        only = "The task" if planned == 1 else f"None of the {planned} tasks"
        return f"{only} planned for {at} was {'not ' if planned == 1 else ''}ticked for it."
    return f"Ticked for it: {ticked} of {counted(planned, 'task')} planned for {at}."


def _at_job(record: JobRecord, crew: str, day: date, but: Container[int] = (), *, hours: bool = True) -> Iterator[str]:
    """Yield a crew's `hours` at a job on a day, what was ticked for it there, `but` tasks told elsewhere, what was under way, dry runs."""
    zone = record.job.site.zone
    done = [task for task in ticked_by(record, crew, day) if task.number not in but]
    told = [f"{crew} {times_words(one, zone)}" for one in _hours(record, crew, day)] if hours else []
    told += [f"ticked: {listed([task_words(task) for task in done], most=_NAMED, of='tasks')}"] if done else []
    told += [f"{task_words(one.task)} {one.words}" for one in under_way_on(record, crew, day)]
    runs = [one for one in record.dry_runs if one.crew == crew and _on(record, one.at) == day]
    told += [f"dry run {to_wall(zone, one.at):%H:%M}: {one.because}" for one in runs]
    if told:
        yield f"Job {record.job.number} {record.job.title}: {'; '.join(told)}."


def _hours(record: JobRecord, crew: str, day: date) -> list[CrewHours]:
    return [one for one in record.crew_hours if one.crew == crew and _on(record, one.start) == day]


def _records(uow: UnitOfWork, day: date, zone: str) -> dict[int, JobRecord]:
    """Return by number the jobs of which something can be recorded of a date, those that have ended since among them."""
    known = {record.job.number: record for record in (*uow.live_jobs(), *uow.worked_jobs())}
    # A house may keep another clock than the shop: its date of an hour can be another one.
    since, until = (to_utc(zone, day, 0) + timedelta(days=days) for days in (-1, 2))
    return known | {one: uow.job(one) for one in uow.numbers_on_the_clock(since, until) if one not in known}


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
