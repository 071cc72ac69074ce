"""Rows of the waiting list for what must start before too long: primer that may not stay bare, and what has."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import exact_wait
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.readiness.at_most import MustStart, must_start
from crewjobs.services.materials.ordered import held_words
from crewjobs.services.rows import WaitRow


def at_most_rows(record: JobRecord, now: datetime) -> Iterator[WaitRow]:
    """Yield a row for each open task that must start by some instant, and for each for which it is too late."""
    for task in record.tasks:
        found = must_start(record, task, now)
        if found is not None:
            yield _row(record, task, found, now)


def _row(record: JobRecord, task: Task, found: MustStart, now: datetime) -> WaitRow:
    zone, number = record.job.site.zone, record.job.number
    late, by = found.by < now, to_wall(zone, found.by)
    name, most = f"'{task.title}' ({task.where})", exact_wait(found.link.most_min or 0)
    said = f"{name} must start by {moment_words(by)}, at most {most} after {found.what}"
    call = (
        f"the lead decides, then: `crewjobs tick {number} {task.number} --because …`" if late else "the label decides"
    )
    return WaitRow(
        job=number,
        title=record.job.title,
        what=found.sentence(zone) if late else said,
        state=WaitState.TO_DECIDE if late else WaitState.DUE,
        since=by if late else to_wall(zone, found.since),
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds=held_words([task]),
        call=call,
    )
