"""Which jobs compete with one for its crews before its promise: those whose work has to move to keep it."""

from __future__ import annotations

from datetime import timedelta

from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_utc
from crewjobs.engines.answering.ground import Ground

MOST = 10
"""So many jobs are tried together at most."""


def rivals(ground: Ground, plan: WeekPlan, number: int, most: int = MOST) -> frozenset[int]:
    """Return a job with those that have most of the work of its crews from now to the end of its promised day.

    Of equal ones the lower number comes first. Work that its crews do for others after that day is in nobody's way.
    """
    record, work, now = ground.records[number], ground.work(number), ground.problem.now
    promised, zone = record.job.promised, record.job.site.zone
    if work is None or promised is None:
        return frozenset({number})
    floor = ground.bare
    crews = {crew for block in work.blocks.values() for crew in floor.crews if floor.able(block, crew)}
    until = to_utc(zone, promised + timedelta(days=1), 0)
    taken: dict[int, timedelta] = {}
    for placed in plan.placements:
        job = placed.key.job
        start, end = max(placed.start, now), min(placed.end, until)
        if job != number and job in ground.records and placed.crew in crews and end > start:
            taken[job] = taken.get(job, timedelta()) + (end - start)
    first = sorted(taken, key=lambda job: (-taken[job], job))[: most - 1]
    return frozenset({number, *first})
