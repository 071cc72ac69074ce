"""Findings on the waiting list: nobody has taken a way on yet, and what it holds waits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.evening import Finding
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, typed
from crewjobs.engines.readiness.found import repair_agreed, way_taken, work_task
from crewjobs.services.findings.same_house import held_elsewhere
from crewjobs.services.rows import WaitRow
from crewjobs.services.weeks.usable import end_of
from crewjobs.services.weeks.visits import Planned
from crewjobs.services.wording import task_words


def found_rows(
    record: JobRecord,
    now: datetime,
    house: Sequence[JobRecord] = (),
    of: int | None = None,
    found: Planned | None = None,
) -> Iterator[WaitRow]:
    """Yield a row for every finding that holds open work and whose way on is to be decided.

    Of one that the crew is to work on, as the customer agreed, nothing is to be decided: until when is by the plan `found`.
    What holds other booked jobs of the same `house` too is one to decide: it stands with job `of`, or the first of them, and names
    the rest.
    """
    for finding in record.findings:
        held = [task for task in map(record.task, finding.holds) if task.open]
        if not held or finding.at > now or way_taken(record, finding, now) is not None:
            continue
        number, place, kind = record.job.number, typed(finding.place), typed(finding.kind)
        same = held_elsewhere(house, finding, now)
        if number != (of if of in (number, *same) else min((number, *same))):
            continue
        if repair_agreed(record, finding, now) and (work := work_task(record, finding)) is not None and work.open:
            yield _agreed(record, finding, work, held, found)
            continue
        held_words = listed([task_words(task) for task in held], most=3)
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
            holds=listed([held_words, *(f"job {other}" for other in same)], most=6) if same else held_words,
            call=f"`crewjobs found {number} {place} {kind} --way …`",
        )


def _agreed(record: JobRecord, finding: Finding, work: Task, held: Sequence[Task], found: Planned | None) -> WaitRow:
    """Return the row of something found until the crew's own work about it is done, as the customer agreed."""
    number, zone = record.job.number, record.job.site.zone
    end = end_of(found.task_minutes(record), work) if found is not None else None
    way = f"`crewjobs found {number} {typed(finding.place)} {typed(finding.kind)} --way …`"
    return WaitRow(
        job=number,
        title=record.job.title,
        what=f"{finding.kind} in {finding.place}: agreed, {task_words(work)}",
        state=WaitState.DUE,
        since=to_wall(zone, finding.at),
        ready_at=to_wall(zone, end) if end is not None else None,
        minutes_left=None,
        done=None,
        verified=True,
        holds=listed([task_words(task) for task in held if task is not work], most=3),
        call=f"once it is done: `crewjobs tick {number} {work.number}`, then the way on: {way}",
    )
