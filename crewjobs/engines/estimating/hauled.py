"""What is hauled out of a house where a way on from a finding took the taking out of a layer off the job: that stays there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Driver, Task, TaskKey
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.wanted import WantedTask


def hauled_anew(record: JobRecord, catalogue: Catalogue) -> JobRecord:
    """Return a job with its hauling by what is still taken out; with nothing left of it, it is not needed any more.

    Hauling that was begun or done keeps its weight, as all work does.
    """
    dropped = {number for way in record.ways_taken for number in way.drops}
    if not dropped:
        return record
    wanted = _wanted(record, catalogue, dropped)
    tasks = tuple(
        _hauled(task, wanted.get(task.key)) if _to_haul(task) and task.number not in dropped else task
        for task in record.tasks
    )
    return record if tasks == record.tasks else replace(record, tasks=tasks)


def nothing_to_haul(record: JobRecord, catalogue: Catalogue, dropped: Collection[int]) -> frozenset[int]:
    """Return the hauling that has nothing left to it where tasks are dropped besides those a way on took off the job before."""
    before = {number for way in record.ways_taken for number in way.drops}
    wanted = _wanted(record, catalogue, before.union(dropped))
    return frozenset(task.number for task in record.tasks if _to_haul(task) and task.key not in wanted)


def _wanted(record: JobRecord, catalogue: Catalogue, dropped: Collection[int]) -> dict[TaskKey, WantedTask]:
    off = {task.key for task in record.tasks if task.number in dropped}
    return {one.key: one for one in expand(record.job, catalogue, record.moves_in_force, off).tasks}


def _to_haul(task: Task) -> bool:
    return task.unit is Driver.POUNDS and task.open and task.started_at is None


def _hauled(task: Task, want: WantedTask | None) -> Task:
    if want is None:
        return replace(task, not_needed=True)
    return replace(task, quantity=want.quantity, estimate=want.estimate)
