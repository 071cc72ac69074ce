"""Work whose planned time is gone by and that nobody ticked: what of a plan it leaves to count on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.readiness.house import is_looking
from crewjobs.services.weeks.usable import Times


def job_behind(times: Times, record: JobRecord, now: datetime) -> str:
    """Return what of a job is to be ticked or planned again, by when each of its tasks is worked."""
    first = behind_since(times, record, now)
    if first is None:
        return ""
    return (
        f"work of job {record.job.number} planned to be done by now is not ticked (since {day_words(first)}): "
        "tick what is done, or plan again."
    )


def behind_since(times: Times, record: JobRecord, now: datetime) -> date | None:
    """Return the first day on which work of a booked job was to be done by now that is not ticked; None where all is.

    A day's work is ticked in its evening: today counts only where nothing more of the job is planned after now.
    What a plan says of the rest of the job, its finish too, is not to be counted on then: nobody knows how far it is.
    """
    late = list(_late(times, record, now))
    if record.job.state is not JobState.BOOKED or not late:
        return None
    zone = record.job.site.zone
    first = to_wall(zone, min(late)).date()
    return None if first == to_wall(zone, now).date() and begins_later(times, record, now) else first


def not_ticked_words(times: Times, record: JobRecord, now: datetime) -> str:
    """Return what is said behind the times of a plan of whose work not all was ticked by now; empty where it was."""
    return ", as it was planned: work planned to be done by now is not ticked" if job_behind(times, record, now) else ""


def begins_later(times: Times, record: JobRecord, now: datetime) -> bool:
    """Return whether work of a job that is more than looking is planned to go on or begin after now."""
    return any(
        task.open and task.number in times and times[task.number][1] > now and not is_looking(task)
        for task in record.tasks
    )


def unsure(times: Times, record: JobRecord, now: datetime) -> frozenset[int]:
    """Return the open tasks whose time is gone by, where a job is behind, and all that comes after them: no wait is counted from these.

    Work that has begun is a fact, whatever before it was never ticked: what comes after it is reckoned from there.
    """
    late = gone_by(times, record, now) if job_behind(times, record, now) else frozenset[int]()
    to_begin = {task.number for task in record.tasks if task.open and task.started_at is None} if late else set[int]()
    found, more = set(late), set(late)
    while more:
        more = {link.after for link in record.links if link.before in more} & to_begin - found
        found |= more
    return frozenset(found)


def still_ahead(times: Times, record: JobRecord, now: datetime) -> Times:
    """Return the minutes of a plan that still hold: where a job is behind, none of open work whose time is gone by or comes after such."""
    late = unsure(times, record, now)
    return {number: span for number, span in times.items() if number not in late}


def gone_by(times: Times, record: JobRecord, now: datetime) -> frozenset[int]:
    """Return the open tasks whose planned time is over, those of a day that is ticked in its evening too."""
    return frozenset(t.number for t in record.tasks if t.open and t.number in times and times[t.number][1] <= now)


def _late(times: Times, record: JobRecord, now: datetime) -> Iterator[datetime]:
    """Yield when the open tasks that should be done by the plan were to end."""
    for task in record.tasks:
        if task.open and task.number in times and times[task.number][1] <= now:
            yield times[task.number][1]
