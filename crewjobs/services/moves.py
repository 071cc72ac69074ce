"""Finding a job's furniture stages and taking them as its order of work."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import ENDED, Job, JobRecord, JobState
from crewjobs.domain.moves import MovesPlan, StageKind, in_force
from crewjobs.domain.units import format_hours
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.moving.model import MovingPlan, Status
from crewjobs.engines.moving.search import Search
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.house import House, Unfit, house_of
from crewjobs.engines.stages.progress import here_of, joined, nights, reached_stage
from crewjobs.engines.stages.told import Stood, moves_plan
from crewjobs.engines.stages.unfit import spot_words
from crewjobs.files.catalogue import read_catalogue
from crewjobs.files.usual_furniture import usual_furniture
from crewjobs.services.lots import by_the_laboratory
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.storage.database import Database

SECONDS: Final = 10.0
"""How long the best stages are looked for, where it is not proved before that there are none better."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundMoves:
    """Stages found for a job as it was at `version`."""

    record: JobRecord
    plan: MovesPlan


def find(
    record: JobRecord,
    catalogue: Catalogue,
    now: datetime,
    *,
    from_here: bool = False,
    any_order: bool = False,
    stop: Callable[[], bool] = lambda: False,
) -> FoundMoves:
    """Return the best furniture stages of a job found until it is proved or `stop` says so.

    `from_here` begins with what is laid and where things stand by now. The order of work is the job's own where it gives
    one that was not found so, unless `any_order`.

    Raises:
        Refused: the house cannot be told from what is given, or there is no way through, and why.
    """
    job = record.job
    if job.state is JobState.CALLED_OFF or job.state in ENDED:
        raise Refused(f"job {job.number} is {job.state}: nothing is moved there any more.")
    plan = in_force(record.moves, job.stages)
    waits = furniture_waits(job, catalogue)
    cures = {spot: nights(minutes) for spot, minutes in waits.items()}
    free = any_order or plan is not None
    usual = usual_furniture()
    found = house_of(job, usual, cures=cures, any_order=free)
    made = 0
    if from_here and plan is not None:
        begun = _things_begun(record, found, cures, waits, now, free)
        if begun is not None:
            found, made = begun
    if isinstance(found, Unfit):
        raise Refused([f"job {job.number}: {sentence}" for sentence in found.sentences])
    best = Search(found.problem).run(stop=stop)
    if not best.stages:
        raise Refused(_no_way(job, found, best))
    told = moves_plan(found, best, _stood(found, best), at=now, basis=basis_of(job))
    if from_here and plan is not None and made:
        told = joined(plan, made, told)
    return FoundMoves(record=record, plan=told)
