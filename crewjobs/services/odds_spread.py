"""How far what is planned may differ: each block by its crew's learned pace, what others bring or do by how late it may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import DoneTask
from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.engines.estimating.worked import works
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.predicting import parted
from crewjobs.engines.planning.odds_network import BlockPace, Spreads
from crewjobs.engines.planning.paces import paces_in
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from crewjobs.engines.readiness.hold import FactKind

LATENESS: Final[Mapping[FactKind, tuple[float, float]]] = {
    FactKind.DUE: (0.15, 2.0),
    FactKind.PROMISE: (0.25, 2.0),
    FactKind.HOUSE: (0.2, 1.5),
}
"""By kind the chance that it comes late, and by how many days of 24 h then on the average: common practice, no source.

Hours that follow a late delivery are late with the carrying-in they follow; those that run by now are sure.
"""


def lateness(fact: Earliest) -> tuple[float, float] | None:
    """Return the chance that a fact ahead comes late and the mean days then, None where it is sure."""
    return LATENESS.get(fact.kind)


def spreads_of(problem: PlanProblem, plan: WeekPlan, pace: Pace) -> Spreads:
    """Return how far the blocks ahead of a plan may differ; a sub's by their estimates alone, since it has no rates."""
    records = {record.job.number: record for record in problem.jobs}
    subs = {crew.name for crew in problem.shop.crews if crew.sub is not None}
    by_crew: dict[str, list[tuple[Placement, tuple[DoneTask, ...]]]] = {}
    for placement in plan.placements:
        if placement.end <= problem.now or placement.key.job not in records or placement.crew in subs:
            continue
        tasks = works(records[placement.key.job], placement.tasks)
        if tasks:
            by_crew.setdefault(placement.crew, []).append((placement, tasks))
    blocks: dict[BlockKey, BlockPace] = {}
    shared: dict[str, float] = {}
    for crew, mine in sorted(by_crew.items()):
        found = parted(pace, crew, [tasks for _, tasks in mine])
        shared[crew] = found.shared
        for (placement, tasks), median, sigma in zip(mine, found.medians, found.sigmas, strict=True):
            planned = paces_in([placement])
            minutes = sum(task.book_min * planned.of(crew, placement.key.job, task.number) for task in tasks)
            blocks[placement.key] = BlockPace(factor=median / minutes, sigma=sigma)
    return Spreads(blocks=blocks, job_sigma=pace.scales.job, crew_sigma=shared, lateness=lateness)


def without_done(plan: WeekPlan, records: Mapping[int, JobRecord]) -> WeekPlan:
    """Return a plan without the blocks of which everything is ticked by now."""
    return replace(plan, placements=tuple(one for one in plan.placements if _is_open(one, records)))


def _is_open(placement: Placement, records: Mapping[int, JobRecord]) -> bool:
    record = records.get(placement.key.job)
    return record is not None and any(task.open for task in record.tasks if task.number in placement.tasks)
