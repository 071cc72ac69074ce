"""What came to the house: lots, and the clock each starts when it is moved into the conditioned rooms; goods."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from string import ascii_uppercase
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import GoodsCome, GoodsLine
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Lot, Material
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.services.clock import read_moment
from crewjobs.services.lots import lots_asked
from crewjobs.services.ordered import Ordered, check_delivery, find_ordered, missing_sentences, with_new_date
from crewjobs.services.rows import Done
from crewjobs.services.ticking import lot_words, with_task
from crewjobs.services.wording import at_site, read_line

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def arrived(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    material: str,
    cartons: int,
    *,
    lot: str = "",
    at: str = "",
    in_rooms: bool = False,
    back_ordered: str = "",
    because: str = "",
) -> Done:
    """Record cartons (or goods of an order line) that came.

    With `in_rooms` cartons went into the conditioned rooms at once and acclimate from then. An empty `material`
    means the job's only one. When the last carton ordered is in the rooms, the carry-in task is ticked with it.
    `back_ordered` is the day promised for what is still missing, or ``none`` where nobody can say, and `because` why.

    Raises:
        Refused: unknown job, material or goods, no such count, more than ordered, before the order, a moment to
            come, a promise gone by or for nothing missing.
    """
    before = uow.job(job)
    moment = read_moment(at, before.job.site.zone, now)
    ordered = find_ordered(before, material, now)
    check_delivery(before, ordered, cartons, moment, now)
    if isinstance(ordered.of, GoodsLine):
        if lot.strip() or in_rooms:
            raise Refused(
                f"{ordered.name} comes without lots, and no clock runs on it: leave --lot and --in-rooms out."
            )
        after, what = _goods_come(before, ordered.of, cartons, moment), f"{ordered.counted(cartons)} came"
    else:
        after, what = _lot_come(before, ordered.of, cartons, lot, moment, in_rooms)
    if back_ordered.strip():
        after = with_new_date(after, ordered.name, back_ordered, because, now)
    elif because.strip():
        raise Refused("a reason goes with --back-ordered: give the day promised, or 'none' where nobody can say.")
    uow.save_job(before, after)
    what = f"job {job}: {what} {at_site(before.job.site.zone, moment)}" + (", into the rooms" if in_rooms else "")
    change = uow.commit(what, at=now, job=job)
    return Done(sentence=upper(what) + ".", change=change, then=tuple(_follows(after, ordered, in_rooms, now)))


def _follows(after: JobRecord, ordered: Ordered, in_rooms: bool, now: datetime) -> Iterator[str]:
    """Say what is still missing and what starts or waits with what came."""
    yield from missing_sentences(after, find_ordered(after, ordered.name, now), now)
    if isinstance(ordered.of, Material):
        yield (
            lot_words(after, ordered.name, now)
            if in_rooms
            else "The clock starts when they are carried into the rooms."
        )
        yield from lots_asked(after, ordered.of, now)


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
    clock = material_clock(record, product, moment)
    if clock.state not in (WaitState.ACCLIMATING, WaitState.READY):
        return record
    for task in record.tasks:
        if is_carry_in(task) and task.key.scope.name == product.name and task.open:
            record = with_task(record, replace(task, started_at=task.started_at or moment, done_at=moment))
    return record
