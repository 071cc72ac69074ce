"""Finding a job's furniture stages and taking them as its order of work."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import ENDED, Job, JobRecord, JobState
from crewjobs.domain.moves import MovesPlan, StageKind, in_force
from crewjobs.domain.wording import counted, upper
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.moving.model import Status
from crewjobs.engines.moving.search import Search
from crewjobs.engines.readiness.others import by_the_laboratory
from crewjobs.engines.stages.basis import basis_of
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.house import PACKED_FULL, Here, House, Unfit, house_of
from crewjobs.engines.stages.progress import (
    hanging,
    here_of,
    joined,
    laid,
    nights,
    reached_stage,
    same_letters,
    with_laid,
)
from crewjobs.engines.stages.things import things_of
from crewjobs.engines.stages.told import moves_plan
from crewjobs.engines.stages.unfit import spot_words
from crewjobs.files.usual_furniture import usual_furniture
from crewjobs.services.findings.found_holds import held_anew
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.moving.no_way import no_way_words
from crewjobs.services.moving.rooms_rows import sure_words
from crewjobs.services.rows import Done
from crewjobs.services.wording import hours_words

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork

UNKNOWN_PLACES: Final = "work has begun, and where things were carried was not recorded: taken as standing at home"


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundMoves:
    """Stages found for a job as it was at `version`."""

    record: JobRecord
    plan: MovesPlan
    begun: bool = False
    """Whether something was worked or carried before them."""


def find(
    record: JobRecord,
    catalogue: Catalogue,
    now: datetime,
    *,
    any_order: bool = False,
    stop: Callable[[], bool] = lambda: False,
    stop_reasons: Callable[[], bool] = lambda: False,
) -> FoundMoves:
    """Return the best furniture stages of a job found until it is proved or `stop` says so.

    It begins with what is laid and where things stand by now. The order of work is the job's own where it gives
    one that was not found so, unless `any_order`.

    Why there is no way is looked for until `stop_reasons` says so.

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
    over = laid(record, waits)
    things = things_of(job, usual, sorted(set(waits) - over), [], laid=sorted(over), hanging=hanging(record))
    here = here_of(record, things, waits, now)
    house = house_of(job, usual, cures=cures, here=here, any_order=free)
    if isinstance(house, Unfit):
        raise Refused([f"job {job.number}: {sentence}" for sentence in house.sentences])
    best, closest = Search(house.problem).run(stop=stop), None
    if best.status is Status.NO_WAY:
        tight = house_of(job, usual, cures=cures, here=here, any_order=free, packed=PACKED_FULL)
        if isinstance(tight, House):
            closest = Search(tight.problem).run(stop=stop)
            house, best = (tight, closest) if closest.stages else (house, best)
    if not best.stages:
        ever = closest is not None and closest.status is Status.NO_WAY
        sentences = no_way_words(house, best.status, stop_reasons, however_close=ever)
        raise Refused([f"job {job.number}: {sentence}" for sentence in sentences])
    told = replace(moves_plan(house, best, at=now, basis=basis_of(job)), given=not free and bool(job.stages))
    if (here.done or here.begun) and not here.at:
        told = replace(told, taken_as=(*told.taken_as, UNKNOWN_PLACES))
    if plan is not None and here.begins:
        told = _from_here(record, plan, here, told)
    return FoundMoves(record=record, plan=with_laid(told, here.done), begun=here.begins)


def _from_here(record: JobRecord, plan: MovesPlan, here: Here, told: MovesPlan) -> MovesPlan:
    """Return stages found from here with those of the plan in force that are over, and the one being worked, before them."""
    told, reached = same_letters(plan, told), reached_stage(record, plan)
    if reached < 0:
        return told
    over = all(spot in here.done for spot in plan.stages[reached].worked)
    return joined(plan, reached + over, told, begun=not over)


def take(
    database: Database,
    who: str,
    now: datetime,
    number: int,
    *,
    any_order: bool = False,
    stop: Callable[[], bool] = lambda: False,
    stop_reasons: Callable[[], bool] = lambda: False,
) -> Done:
    """Find a job's furniture stages and make them its order of work.

    Raises:
        Refused: as `find`; or the job was changed while they were looked for.
    """
    with database.reading() as uow:
        record, catalogue = uow.job(number), catalogue_of(uow)
    found = find(record, catalogue, now, any_order=any_order, stop=stop, stop_reasons=stop_reasons)
    known = record.moves_in_force
    same = known is not None and known.basis == found.plan.basis and len(known.stages) and not found.begun
    if known is not None and same and known.cost <= found.plan.cost:
        better = "there is nothing better" if found.plan.proved else "nothing better was found in this time"
        raise Refused(f"job {number}: {better}: the stages in force stay.")
    with database.unit_of_work(who=who) as uow:
        if uow.job(number).version != record.version:
            raise Refused(f"job {number} was changed meanwhile: look at it again, then find its stages anew.")
        return _taken(uow, catalogue, found, now)


def _taken(uow: UnitOfWork, catalogue: Catalogue, found: FoundMoves, now: datetime) -> Done:
    record, plan = found.record, found.plan
    job = replace(record.job, stages=plan.order)
    after = replace(record, job=job, moves=(plan,))
    brought = held_anew(reconcile(after, expand(job, catalogue, plan)), catalogue)
    uow.save_job(record, by_the_laboratory(brought))
    what = f"furniture stages of job {job.number}"
    change = uow.commit(what, at=now, job=job.number)
    return Done(
        sentence=f"Job {job.number}: {stages_words(plan)}",
        change=change,
        then=(*_then(job, plan), *_short_of_hands(uow.shop(), plan)),
    )


def _then(job: Job, plan: MovesPlan) -> Iterator[str]:
    yield from (upper(sentence) + "." for sentence in plan.taken_as)
    yield f"`crewjobs moves {job.number}` shows what is carried where; `crewjobs undo` takes it back."


def _short_of_hands(shop: Shop, plan: MovesPlan) -> Iterator[str]:
    """Name the pieces that take more people than any crew of the shop has."""
    largest = max((len(crew.workers) for crew in shop.crews), default=0)
    heavy = {plan.pieces[c.piece].name: plan.pieces[c.piece].people for stage in plan.stages for c in stage.carried}
    for name, people in heavy.items():
        if people > largest:
            yield (
                f"{upper(name)} takes {people} people, and the largest crew has {largest}: until somebody is lent to it that "
                "day (`crewjobs away`), or it stays where it is, no crew can carry it and the job is not planned."
            )


def stages_words(plan: MovesPlan) -> str:
    """Return the stages in one sentence: their order, what is carried, and how sure it is that nothing is better."""
    order = "; then ".join(" + ".join(spot_words(spot) for spot in stage) for stage in plan.order)
    carried = sum(len(stage.carried) for stage in plan.stages if stage.kind is not StageKind.CARRY_IN)
    minutes = sum(stage.minutes for stage in plan.stages if stage.kind is not StageKind.CARRY_IN)
    return (
        f"{counted(len(plan.order), 'stage')}: {order}. {counted(carried, 'carry', 'carries')}, "
        f"{hours_words(timedelta(minutes=round(minutes)))} of labor. {sure_words(plan)}"
    )
