"""What findings hold: the tasks they held when they were recorded, until a way on is taken, and of those what the way keeps."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import WayTaken
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.readiness.hold import Hold, HoldKind
from crewjobs.engines.readiness.others import still_out


def way_taken(record: JobRecord, finding: Finding, at: datetime) -> WayTaken | None:
    """Return the last way on from a finding that was taken by an instant."""
    ways = [
        way
        for way in record.ways_taken
        if (way.found_at, way.place, way.kind) == (finding.at, finding.place, finding.kind) and way.at <= at
    ]
    return max(ways, key=lambda way: way.at, default=None)


def held_by(record: JobRecord, finding: Finding, at: datetime) -> tuple[int, ...]:
    """Return the tasks a finding holds at an instant."""
    if finding.at > at:
        return ()
    way = way_taken(record, finding, at)
    return finding.holds if way is None else way.keeps


def free_spans(record: JobRecord, task: int, since: datetime, until: datetime) -> tuple[tuple[datetime, datetime], ...]:
    """Return when between two instants no finding held a task: only then can somebody have worked on it."""
    edges = {since, until}
    edges |= {finding.at for finding in record.findings}
    edges |= {way.at for way in record.ways_taken}
    inside = sorted(edge for edge in edges if since <= edge <= until)
    return tuple(
        (start, end)
        for start, end in pairwise(inside)
        if not any(task in held_by(record, finding, start) for finding in record.findings)
    )


def found_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield a hold for every finding that keeps a task; it has no end by itself: a way on must be taken."""
    for finding in record.findings:
        if task.number in held_by(record, finding, at):
            yield Hold(kind=HoldKind.FOUND, what=found_words(record, finding, at))


def found_words(record: JobRecord, finding: Finding, at: datetime) -> str:
    """Return why a finding holds, with the command that takes a way on."""
    when = moment_words(to_wall(record.job.site.zone, finding.at))
    way = way_taken(record, finding, at)
    if way is not None:
        return f"{finding.kind} in {finding.place}: {way.way} was taken, and that is not done into it"
    return (
        f"{finding.kind} found in {finding.place} {when}: no way on is taken "
        f'(`crewjobs found {record.job.number} "{finding.place}" "{finding.kind}" --way …`)'
    )


def found_no_date(record: JobRecord, task: Task, now: datetime) -> str:
    """Return what was found that keeps a task and of which nobody knows a day; empty where an answer is expected for one."""
    for finding in record.findings:
        if task.number not in held_by(record, finding, now):
            continue
        asked = [waits for waits in still_out(record, now) if task.number in waits.holds and waits.promised is not None]
        if not asked:
            return f"{finding.kind} found in {finding.place}: no way on is taken"
    return ""
