"""Work that by the plan should be done and is not ticked: the shop is told before a page leaves it on such a plan."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, listed
from crewjobs.services.rows import SiteUnticked
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
    late = _late_before(times, record, now, day)
    if not late:
        return ""
    what = listed([task_words(record.task(n)) for n in late], most=_NAMED, of="tasks")
    return (
        f"not ticked, though planned to be done (since {day_words(min(late.values()))}): {what}; "
        "tick what is done, call the office before going on."
    )


def _late_before(times: Times, record: JobRecord, now: datetime, day: date) -> dict[int, date]:
    """Return the tasks planned for days before one that nobody ticked, each with its day, in the order they were planned."""
    if not job_behind(times, record, now):
        return {}
    zone = record.job.site.zone
    ends = {n: to_wall(zone, times[n][1]).date() for n in gone_by(times, record, now)}
    return {n: ends[n] for n in sorted(ends, key=lambda n: (times[n], n)) if ends[n] < day}


def before_its_day(found: Planned, record: JobRecord, now: datetime, day: date) -> str:
    """Return what a crew is told of the days before it at a house, as `crew_behind`; empty of a day gone by."""
    if day < to_wall(found.shop.zone, now).date():
        return ""
    return crew_behind(found.task_minutes(record), record, now, day)


def elsewhere_before(found: Planned, crew: str, but: Collection[int], now: datetime, day: date) -> Iterator[str]:
    """Yield of each job, `but` some, what of a crew's own work before a day is not ticked; nothing of a day gone by."""
    for record, late in _own_late(found, crew, now, day):
        if record.job.number not in but:
            yield (
                f"Job {record.job.number}, {record.job.title}: {counted(len(late), 'task')} planned since "
                f"{day_words(min(late.values()))} {'is' if len(late) == 1 else 'are'} not ticked: "
                "tick what is done on the page of its day, tell the office the rest."
            )


def unticked_before(
    found: Planned,
    crew: str,
    here: Collection[int],
    now: datetime,
    day: date,
    planned_then: Mapping[tuple[int, int], date],
) -> SiteUnticked | None:
    """Return in short what `before_its_day` says of the houses `here`, and `elsewhere_before` of others; None where nothing is.

    `planned_then` is what of the crew's own is left of days gone by, planned elsewhere by now or not: a plan that follows
    one record must not make forget what else of its day nobody ticked.
    """
    if day < to_wall(found.shop.zone, now).date():
        return None
    own = dict(planned_then)
    for record, late in _own_late(found, crew, now, day):
        for task, since in late.items():
            own[record.job.number, task] = min(since, own.get((record.job.number, task), since))
    days = dict(own)
    for record in (found.records[number] for number in here if number in found.records):
        for task, since in _late_before(found.task_minutes(record), record, now, day).items():
            days.setdefault((record.job.number, task), since)
    if not days:
        return None
    return SiteUnticked(tasks=len(days), since=min(days.values()), own=min(own.values(), default=None))


def _own_late(found: Planned, crew: str, now: datetime, day: date) -> Iterator[tuple[JobRecord, dict[int, date]]]:
    """Yield of each job what of a crew's own work before a day is not ticked, with its day; nothing of a day gone by."""
    if day < to_wall(found.shop.zone, now).date():
        return
    for number in sorted({one.key.job for one in found.plan.placements if one.crew == crew}):
        record = found.records.get(number)
        if record is None:
            continue
        times = found.task_minutes(record)
        places = {task: found.placement(number, task) for task in times}
        own = {task: times[task] for task, placed in places.items() if placed is not None and placed.crew == crew}
        late = _late_before(own, record, now, day)
        if late:
            yield record, late
