"""What came to the house: lots, and the clock each starts when it is moved into the conditioned rooms; goods."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from string import ascii_uppercase
from typing import TYPE_CHECKING

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.goods import GoodsCome, GoodsLine
from crewjobs.domain.job import HoldPassed, JobRecord, JobState
from crewjobs.domain.material import Lot, Material
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wording import listed, typed, upper
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import House, HouseState, house, house_hold_words, work_begun
from crewjobs.services.asked.house_ready import state_words
from crewjobs.services.clock import read_moment
from crewjobs.services.materials.lots import lots_asked
from crewjobs.services.materials.material_calls import carry_sentences, covers_alone
from crewjobs.services.materials.ordered import Ordered, check_delivery, find_ordered, missing_sentences, with_new_date
from crewjobs.services.rows import Done
from crewjobs.services.ticking import lot_words, with_task
from crewjobs.services.wording import at_site, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def arrived(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    material: str,
    cartons: float,
    *,
    lot: str = "",
    at: str = "",
    in_rooms: bool = False,
    back_ordered: str = "",
    because: str = "",
) -> Done:
    """Record cartons (or goods of an order line) that came.

    `cartons` are in the unit the shop counts it in: cartons, pieces, and feet or metres off a roll. With `in_rooms` cartons went into the conditioned rooms at once and acclimate from then. An empty `material`
    means the job's only one. When the last carton ordered is in the rooms, the carry-in task is ticked with it.
    `back_ordered` is the day promised for what is still missing, or ``none`` where nobody can say. `because` is why, and
    why cartons went into a house that was answered not ready: that is kept with what was seen.

    Raises:
        OnHold: they went into a house answered not ready, and no reason is given.
        Refused: unknown job, material or goods, no such count, more than ordered, before the order, a moment to
            come, a promise gone by or for nothing missing.
    """
    before = uow.job(job)
    moment, reason = read_moment(at, before.job.site.zone, now), read_line(because, "the reason")
    ordered = find_ordered(before, material, now)
    count = ordered.of.kept(cartons)
    check_delivery(before, ordered, count, moment, now)
    if isinstance(ordered.of, GoodsLine) and (lot.strip() or in_rooms):
        raise Refused(f"{ordered.name} comes without lots, and no clock runs on it: leave --lot and --in-rooms out.")
    after, what = _come(before, ordered, count, lot, moment, in_rooms)
    after, passed = _into_house(before, after, [ordered] if in_rooms else [], moment, reason)
    if back_ordered.strip():
        after = with_new_date(after, ordered.name, back_ordered, reason, now)
    elif reason and not passed:
        raise Refused(
            "a reason goes with --back-ordered, or with --in-rooms of a house that is not ready: it is neither here."
        )
    uow.save_job(before, after)
    what = f"job {job}: {what} {at_site(before.job.site.zone, moment)}" + (", into the rooms" if in_rooms else "")
    what += f", although on hold, because {reason}" if passed else ""
    change = uow.commit(what, at=now, job=job)
    then = tuple(_follows(before, after, ordered, moment, now, uow.shop().units, in_rooms=in_rooms))
    return Done(sentence=upper(what) + ".", change=change, then=then)


def arrived_together(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    came: Sequence[tuple[str, float]],
    *,
    at: str = "",
    in_rooms: bool = False,
    because: str = "",
) -> Done:
    """Record several things one truck brought, each by its name and count, as one change; `in_rooms` is for cartons.

    Raises:
        Refused: as `arrived`, for whichever of them cannot be; nothing is recorded then.
        OnHold: as `arrived`.
    """
    before = after = uow.job(job)
    moment, reason = read_moment(at, before.job.site.zone, now), read_line(because, "the reason")
    said, found = [], []
    for name, number in came:
        ordered = find_ordered(after, name, now)
        count = ordered.of.kept(number)
        check_delivery(after, ordered, count, moment, now)
        after, what = _come(after, ordered, count, "", moment, in_rooms)
        found.append(ordered)
        said.append(what + (", into the rooms" if in_rooms and isinstance(ordered.of, Material) else ""))
    after, passed = _into_house(before, after, found if in_rooms else [], moment, reason)
    if reason and not passed:
        raise Refused("a reason goes with --in-rooms of a house that is not ready: it is not so here.")
    uow.save_job(before, after)
    what = f"job {job}: {listed(said, most=12)} {at_site(before.job.site.zone, moment)}"
    what += f", although on hold, because {reason}" if passed else ""
    change = uow.commit(what, at=now, job=job)
    units = uow.shop().units
    then = [line for one in found for line in _follows(before, after, one, moment, now, units, in_rooms=in_rooms)]
    return Done(sentence=upper(what) + ".", change=change, then=tuple(dict.fromkeys(then)))


def _house_of(record: JobRecord, moment: datetime) -> House | None:
    """Return the house where cartons may not simply go in: not ready, or not answered before any work was begun."""
    found = house(record, moment)
    if found.state is HouseState.READY or (found.state is not HouseState.NOT_READY and work_begun(record, moment)):
        return None
    return found


def _into_house(
    before: JobRecord, after: JobRecord, went_in: Sequence[Ordered], moment: datetime, reason: str
) -> tuple[JobRecord, bool]:
    """Return the record with the reason kept for which cartons went into a house answered not ready, and whether they did.

    The reason is kept once a carry-in and instant: further lots off the same truck stand under the first.

    Raises:
        OnHold: it was answered not ready, and no reason is given.
    """
    found = house(before, moment)
    products = [ordered.of for ordered in went_in if isinstance(ordered.of, Material)]
    if not products or found.state is not HouseState.NOT_READY:
        return after, False
    stopped = house_hold_words(found, before.job.number)
    for product in products:
        task = next((t for t in before.tasks if is_carry_in(t) and t.key.scope.name == product.name), None)
        if not reason:
            what = upper(task_words(task)) if task else f"Carrying in {product.name}"
            raise OnHold(f"{what} is on hold: {stopped}. If it was done all the same, give the reason.")
        if task is not None and (task.number, moment) not in {(passed.task, passed.at) for passed in after.passed}:
            kept = HoldPassed(task=task.number, at=moment, because=reason, seen=(stopped,))
            after = replace(after, passed=(*after.passed, kept))
    return after, True


def _follows(
    before: JobRecord,
    after: JobRecord,
    ordered: Ordered,
    moment: datetime,
    now: datetime,
    units: UnitSystem,
    *,
    in_rooms: bool,
) -> Iterator[str]:
    """Say what is still missing and what starts or waits with what came."""
    yield from missing_sentences(after, find_ordered(after, ordered.name, now), now)
    if not isinstance(ordered.of, Material):
        return
    if after.job.state is JobState.CALLED_OFF:
        yield f"The job is called off: send them back, `crewjobs returned {after.job.number} {typed(ordered.name)} N` records it."
        return
    yield (
        lot_words(after, ordered.name, now) if in_rooms else "The clock starts when they are carried into the rooms."
    )
    yield from carry_sentences(after, moment, in_rooms=in_rooms)
    found = _house_of(before, moment) if in_rooms else None
    if found is not None and found.state is not HouseState.NOT_READY:
        yield f"{upper(state_words(found, before.job.site.zone, by=moment if moment < now else None))}: cartons went into a house nobody answered for."
    alone = covers_alone(after, material_clock(after, ordered.of, now), now, units)
    yield from [f"{upper(alone)}."] if alone else []
    yield from lots_asked(after, ordered.of, now)


def _come(
    record: JobRecord, ordered: Ordered, count: int, lot: str, moment: datetime, in_rooms: bool
) -> tuple[JobRecord, str]:
    """Return the record with a delivery in it, and the delivery in words."""
    if isinstance(ordered.of, GoodsLine):
        return _goods_come(record, ordered.of, count, moment), f"{ordered.counted(count)} came"
    return _lot_come(record, ordered.of, count, lot, moment, in_rooms)


def _goods_come(record: JobRecord, line: GoodsLine, count: int, moment: datetime) -> JobRecord:
    same = [came for came in record.goods_come if came.line == line.name and came.at == moment]
    came = GoodsCome(line=line.name, count=count + sum(other.count for other in same), at=moment)
    return replace(record, goods_come=(*(other for other in record.goods_come if other not in same), came))


def _lot_come(
    before: JobRecord, product: Material, cartons: int, lot: str, moment: datetime, in_rooms: bool
) -> tuple[JobRecord, str]:
    job = before.job.number
    if not in_rooms and any(is_carry_in(t) and t.key.scope.name == product.name and not t.open for t in before.tasks):
        raise Refused(
            f"job {job}: {product.name} is carried in already; say --in-rooms when this lot is in the rooms too."
        )
    name = read_line(lot, "the lot's name") or _next_name(before, product.name)
    if any(known.name == name and known.material == product.name for known in before.lots):
        raise Refused(f"job {job} has a lot {name} of {product.name} already: give this one its own name with --lot.")
    came = Lot(
        material=product.name,
        name=name,
        cartons=cartons,
        arrived_at=moment,
        moved_in_at=moment if in_rooms else None,
    )
    after = replace(before, lots=(*before.lots, came))
    if in_rooms:
        after = _carried_in(after, product, moment)
    return after, f"{product.counted(cartons)} of {product.name}, lot {name}, came"


def _next_name(record: JobRecord, material: str) -> str:
    taken = {lot.name for lot in record.lots if lot.material == material}
    letters: list[str] = [letter for letter in ascii_uppercase if letter not in taken]
    return letters[0] if letters else f"lot {len(taken) + 1}"


def _carried_in(record: JobRecord, product: Material, moment: datetime) -> JobRecord:
    """Tick the carry-in where all that was ordered is in the rooms, with its last lot: that need not be recorded last."""
    moment = max(
        (lot.moved_in_at for lot in record.lots if lot.material == product.name and lot.moved_in_at), default=moment
    )
    clock = material_clock(record, product, moment)
    if clock.state not in (WaitState.ACCLIMATING, WaitState.READY):
        return record
    for task in record.tasks:
        if is_carry_in(task) and task.key.scope.name == product.name and task.open:
            record = with_task(record, replace(task, started_at=task.started_at or moment, done_at=moment))
    return record
