"""Which tasks of a job a finding holds: what its kind names, in its place."""

from __future__ import annotations

from dataclasses import replace

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import FoundKind
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, ScopeKind, Task
from crewjobs.services.found_kinds import HOUSE


def held_there(record: JobRecord, kind: FoundKind, where: str) -> tuple[int, ...]:
    """Return the open tasks of a place that a kind of finding holds."""
    return tuple(task.number for task in record.tasks if task.open and _held(kind, task, where))


def held_anew(record: JobRecord, catalogue: Catalogue) -> JobRecord:
    """Return a job that was defined anew with what its findings hold: also tasks that have come up in their places since.

    One of which a way on was taken holds what that keeps.
    """
    kinds = {kind.key: kind for kind in catalogue.findings}
    decided = {(way.found_at, way.place, way.kind) for way in record.ways_taken}

    def anew(finding: Finding) -> Finding:
        kind = kinds.get(finding.kind)
        if kind is None or (finding.at, finding.place, finding.kind) in decided:
            return finding
        there = held_there(record, kind, finding.place)
        return replace(finding, holds=(*finding.holds, *(n for n in there if n not in finding.holds)))

    found = tuple(anew(finding) for finding in record.findings)
    return record if found == record.findings else _with_their_waits(record, found)


def _with_their_waits(record: JobRecord, found: tuple[Finding, ...]) -> JobRecord:
    """Return a job with its findings; what was asked because of one holds the same tasks as it does."""
    more = {old.holds: new.holds for old, new in zip(record.findings, found, strict=True) if old.holds}
    asked = tuple(
        replace(waits, holds=more[waits.holds]) if waits.came_at is None and waits.holds in more else waits
        for waits in record.waiting_on
    )
    return replace(record, findings=found, waiting_on=asked)


def _held(kind: FoundKind, task: Task, where: str) -> bool:
    if task.key.template not in kind.holds:
        return False
    scope = task.key.scope
    places = scope.name.split(" / ") if scope.kind is ScopeKind.OPENING else [scope.name]
    return where == HOUSE or where in places
