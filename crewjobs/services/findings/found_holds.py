"""Which tasks of a job a finding holds: what its kind names, in its place."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import FoundKind
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, ScopeKind, Task
from crewjobs.services.findings.found_asked import templates_held
from crewjobs.services.findings.found_kinds import HOUSE


def held_there(record: JobRecord, kind: FoundKind, finding: Finding) -> tuple[int, ...]:
    """Return the open tasks of a finding's place that it holds by its kind."""
    held = templates_held(kind, finding)
    return tuple(task.number for task in record.tasks if task.open and _held(held, task, finding.place))


def held_anew(record: JobRecord, catalogue: Catalogue) -> JobRecord:
    """Return a job that was defined anew with what its findings hold: also tasks that have come up in their places since.

    Where a way on was taken, it keeps and takes off the job what has come up as well.
    """
    kinds = {kind.key: kind for kind in catalogue.findings}
    found, ways = list(record.findings), list(record.ways_taken)
    for index, finding in enumerate(found):
        kind = kinds.get(finding.kind)
        more = _more(record, kind, finding) if kind is not None else ()
        if kind is None or not more:
            continue
        found[index] = replace(finding, holds=(*finding.holds, *more))
        for place, taken in enumerate(ways):
            way = kind.way(taken.way)
            if way is not None and (taken.found_at, taken.place, taken.kind) == (
                finding.at,
                finding.place,
                finding.kind,
            ):
                ways[place] = replace(
                    taken,
                    keeps=(*taken.keeps, *_of(record, more, way.keeps)),
                    drops=(*taken.drops, *_of(record, more, way.drops)),
                )
    if tuple(found) == record.findings:
        return record
    gone = {number for way in ways for number in way.drops}
    tasks = tuple(replace(task, not_needed=True) if task.number in gone else task for task in record.tasks)
    return _with_their_waits(replace(record, ways_taken=tuple(ways), tasks=tasks), tuple(found))


def _more(record: JobRecord, kind: FoundKind, finding: Finding) -> tuple[int, ...]:
    """Return the tasks a finding's kind holds in its place that were not there when it was recorded."""
    return tuple(number for number in held_there(record, kind, finding) if number not in finding.holds)


def _of(record: JobRecord, numbers: Iterable[int], templates: Collection[str]) -> tuple[int, ...]:
    return tuple(number for number in numbers if record.task(number).key.template in templates)


def _with_their_waits(record: JobRecord, found: tuple[Finding, ...]) -> JobRecord:
    """Return a job with its findings; what was asked because of one holds the same tasks as it does."""
    more = {old.holds: new.holds for old, new in zip(record.findings, found, strict=True) if old.holds}
    asked = tuple(
        replace(waits, holds=more[waits.holds]) if waits.came_at is None and waits.holds in more else waits
        for waits in record.waiting_on
    )
    return replace(record, findings=found, waiting_on=asked)


def _held(held: Collection[str], task: Task, where: str) -> bool:
    if task.key.template not in held:
        return False
    scope = task.key.scope
    places = scope.name.split(" / ") if scope.kind is ScopeKind.OPENING else [scope.name]
    return where == HOUSE or where in places
