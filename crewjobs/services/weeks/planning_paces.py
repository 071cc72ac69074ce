"""The paces the planner plans by: for every crew of the shop, what its hours so far make of the work of every job."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.engines.estimating.worked import works
from crewjobs.engines.planning.paces import BOOK, Paces

if TYPE_CHECKING:
    from crewjobs.domain.crew import Away, Shop
    from crewjobs.domain.job import JobRecord
    from crewjobs.storage.unit_of_work import UnitOfWork

STEP: Final = 0.05
"""Paces are planned in such steps of the book's minutes: finer than anybody knows them, and a plan that holds is not
made anew because a rate moved by a hundredth."""
SPREAD_STEP: Final = 0.05


def planning_paces(
    uow: UnitOfWork, shop: Shop, away: Sequence[Away], records: Iterable[JobRecord], now: datetime
) -> Paces:
    """Return how fast each crew is planned at the open work of jobs, and how far its work there may be off.

    A sub has a capacity, not rates; a part that works by itself has the pace of the crew it came from. As long as no hours
    are known and no rate is set by hand, everything is planned by the book.
    """
    if not (uow.hours_known() or uow.rate_pins()):
        return BOOK
    from crewjobs.engines.learning.predicting import job_pace
    from crewjobs.services.rates.learned import pace_to_plan

    pace = pace_to_plan(uow, now)
    own = {crew.name: crew.name for crew in shop.crews if crew.sub is None}
    parts = {one.to: own[one.crew] for one in reversed(away) if one.to and one.crew in own}
    names = {**{part: origin for part, origin in parts.items() if part not in own}, **own}
    open_work = {
        record.job.number: works(record, [task.number for task in record.tasks if task.open]) for record in records
    }
    times: dict[tuple[str, int, int], float] = {}
    spreads: dict[tuple[str, int], float] = {}
    for origin in dict.fromkeys(names.values()):
        crews = [name for name, of in names.items() if of == origin]
        for job, tasks in open_work.items():
            if not tasks:
                continue
            factors, spread = job_pace(pace, origin, tasks)
            for name in crews:
                spreads[name, job] = _stepped(spread, SPREAD_STEP)
                for task, factor in zip(tasks, factors, strict=True):
                    times[name, job, task.number] = _stepped(factor, STEP)
    return Paces(times=times, spreads=spreads)


def _stepped(value: float, step: float) -> float:
    """Return a value in whole steps, one at least."""
    return round(max(1, round(value / step)) * step, 2)
