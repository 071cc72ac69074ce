"""Work that by the plan should be done and is not ticked: the shop is told before a page leaves it on such a plan."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed
from crewjobs.services.weeks.gone_by import gone_by, job_behind
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
