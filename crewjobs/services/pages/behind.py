"""Work that by the plan should be done and is not ticked: the shop is told before a page leaves it on such a plan."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed
from crewjobs.engines.readiness.house import is_looking
from crewjobs.services.weeks.usable import Times
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.weeks.week import unticked_words
from crewjobs.services.wording import task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

_NAMED: Final = 4


def behind_words(uow: UnitOfWork, now: datetime, job: int | None = None) -> str:
    """Return what is to be ticked or planned again at a job, or at all of them; empty where the plan is followed.

    Raises:
        Refused: there is no such job.
    """
    found = planned(uow)
    if job is None:
        return unticked_words(found, now) if found else ""
    record = uow.job(job)
    return job_behind(found.task_minutes(record), record, now) if found else ""


def job_behind(times: Times, record: JobRecord, now: datetime) -> str:
    """Return what of a job is to be ticked or planned again, by when each of its tasks is worked.

    A day's work is ticked in its evening: of today only that is told after which nothing more of the job is planned.
    """
    late = list(_late(times, record, now))
    if record.job.state is not JobState.BOOKED or not late:
        return ""
    zone = record.job.site.zone
    first = to_wall(zone, min(late)).date()
    if first == to_wall(zone, now).date() and begins_later(times, record, now):
        return ""
    return (
        f"work of job {record.job.number} planned to be done by now is not ticked (since {day_words(first)}): "
        "tick what is done, or plan again."
    )


def crew_behind(times: Times, record: JobRecord, now: datetime, day: date) -> str:
    """Return what a job's crew of a day is told of work planned for days before it that nobody ticked; empty where there is none.

    The crew stands in the house and sees what is done; whether its own day can be worked as planned is the office's to say.
    """
    if not job_behind(times, record, now):
        return ""
    zone = record.job.site.zone
    ends = {n: to_wall(zone, times[n][1]).date() for n in gone_by(times, record, now)}
    late = sorted((n for n in ends if ends[n] < day), key=lambda n: (times[n], n))
    if not late:
        return ""
    what = listed([task_words(record.task(n)) for n in late], most=_NAMED, of="tasks")
    return (
        f"not ticked, though planned to be done (since {day_words(min(ends[n] for n in late))}): {what}; "
        "tick what is done, call the office before going on."
    )


def before_its_day(found: Planned, record: JobRecord, now: datetime, day: date) -> str:
    """Return what a crew is told of the days before it at a house, as `crew_behind`; empty of a day gone by."""
    if day < to_wall(found.shop.zone, now).date():
        return ""
    return crew_behind(found.task_minutes(record), record, now, day)


def begins_later(times: Times, record: JobRecord, now: datetime) -> bool:
    """Return whether work of a job that is more than looking is planned to go on or begin after now."""
    return any(
        task.open and task.number in times and times[task.number][1] > now and not is_looking(task)
        for task in record.tasks
    )


def still_ahead(times: Times, record: JobRecord, now: datetime) -> Times:
    """Return the minutes without those of open work whose time is gone by, where a job is behind: they promise nothing any more."""
    late = gone_by(times, record, now) if job_behind(times, record, now) else frozenset()
    return {number: span for number, span in times.items() if number not in late}


def gone_by(times: Times, record: JobRecord, now: datetime) -> frozenset[int]:
    """Return the open tasks whose planned time is over, those of a day that is ticked in its evening too."""
    return frozenset(t.number for t in record.tasks if t.open and t.number in times and times[t.number][1] <= now)


def _late(times: Times, record: JobRecord, now: datetime) -> Iterator[datetime]:
    """Yield when the open tasks that should be done by the plan were to end."""
    for task in record.tasks:
        if task.open and task.number in times and times[task.number][1] <= now:
            yield times[task.number][1]
