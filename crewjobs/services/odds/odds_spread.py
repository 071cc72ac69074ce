"""How far what is planned may differ: each block by its crew's learned pace, what others bring or do by how late it may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import DoneTask
from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.engines.estimating.worked import works
from crewjobs.engines.learning.lateness import Lateness
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.predicting import parted
from crewjobs.engines.planning.odds_network import BlockPace, Spreads
from crewjobs.engines.planning.paces import paces_in
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.services.odds.lateness import late_by


def spreads_of(problem: PlanProblem, plan: WeekPlan, pace: Pace, known: Lateness | None = None) -> Spreads:
    """Return how far the blocks ahead of a plan may differ; a sub's by their estimates alone, since it has no rates.

    What others bring and promise is as late as `known`, before any records where nothing is said.
    """
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
        for (placement, tasks), median, sigma, lean in zip(mine, found.medians, found.sigmas, found.leans, strict=True):
            planned = paces_in([placement])
            minutes = sum(task.book_min * planned.of(crew, placement.key.job, task.number) for task in tasks)
            blocks[placement.key] = BlockPace(factor=median / minutes, sigma=sigma, lean=lean)
    return Spreads(blocks=blocks, job_sigma=pace.scales.job, crew_sigma=shared, lateness=late_by(known or Lateness()))


def without_done(plan: WeekPlan, records: Mapping[int, JobRecord]) -> WeekPlan:
    """Return a plan without the blocks of which everything is ticked by now."""
    return replace(plan, placements=tuple(one for one in plan.placements if _is_open(one, records)))


def _is_open(placement: Placement, records: Mapping[int, JobRecord]) -> bool:
    record = records.get(placement.key.job)
    return record is not None and any(task.open for task in record.tasks if task.number in placement.tasks)
