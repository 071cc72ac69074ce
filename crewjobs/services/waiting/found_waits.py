"""Findings on the waiting list: nobody has taken a way on yet, and what it holds waits."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, typed
from crewjobs.engines.readiness.found import way_taken
from crewjobs.services.rows import WaitRow
from crewjobs.services.wording import task_words


def found_rows(record: JobRecord, now: datetime) -> Iterator[WaitRow]:
    """Yield a row for every finding that holds open work and whose way on is to be decided."""
    for finding in record.findings:
        held = [task for task in map(record.task, finding.holds) if task.open]
        if not held or finding.at > now or way_taken(record, finding, now) is not None:
            continue
        number, place, kind = record.job.number, typed(finding.place), typed(finding.kind)
        yield WaitRow(
            job=number,
            title=record.job.title,
            what=f"{finding.kind} in {finding.place}: the way on",
            state=WaitState.TO_DECIDE,
            since=to_wall(record.job.site.zone, finding.at),
            ready_at=None,
            minutes_left=None,
            done=None,
            verified=True,
            holds=listed([task_words(task) for task in held], most=3),
            call=f"`crewjobs found {number} {place} {kind} --way …`",
        )
