"""What came to the house: lots, and the clock each starts when it is moved into the conditioned rooms."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from string import ascii_uppercase
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Lot, Material
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.services.clock import read_moment
from crewjobs.services.rows import Done
from crewjobs.services.ticking import lot_words, with_task
from crewjobs.services.wording import at_site, dated, read_line

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
) -> Done:
    """Record cartons that came; with `in_rooms` they went into the conditioned rooms at once and acclimate from then.

    An empty `material` means the job's only one. When the last carton ordered is in the rooms, the
    carry-in task is ticked with it.

    Raises:
        Refused: unknown job or material, no such count, more than ordered, before the order, or a moment to come.
    """
    before = uow.job(job)
    product = _material(before, material)
    zone = before.job.site.zone
    moment = read_moment(at, zone, now)
    _check(before, product, cartons, moment, now)
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
    uow.save_job(before, after)
    inside = ", into the rooms" if in_rooms else ""
    count = f"{cartons} carton{'' if cartons == 1 else 's'}"
    what = f"job {job}: {count} of {product.name}, lot {name}, came {at_site(zone, moment)}{inside}"
    change = uow.commit(what, at=now, job=job)
    follow = (
        lot_words(after, product.name, now) if in_rooms else "The clock starts when they are carried into the rooms."
    )
    return Done(sentence=upper(what) + ".", change=change, then=(follow,))


def _material(record: JobRecord, name: str) -> Material:
    materials = {material.name: material for material in record.job.materials}
    known = listed([f"'{known}'" for known in materials]) or "none"
    if not name and len(materials) == 1:
        return next(iter(materials.values()))
    close = [key for key in materials if key.casefold() == name.strip().casefold()]
    if not close:
        which = f"there is no material {quoted(name)}" if name else "say which material came"
        raise Refused(f"job {record.job.number}: {which}; it has {known}.")
    return materials[close[0]]


def _check(record: JobRecord, product: Material, cartons: int, moment: datetime, now: datetime) -> None:
    zone, number = record.job.site.zone, record.job.number
    clock = material_clock(record, product, now)
    if cartons < 1:
        raise Refused(f"{cartons} cartons is not a delivery: give how many came, 1 or more.")
    if moment > now:
        raise Refused(f"{dated(zone, moment)} has not come yet: only what has happened is recorded.")
    placed = [order.ordered for order in record.job.orders if order.material == product.name and order.ordered]
    if not placed:
        raise Refused(
            f"job {number}: {product.name} is not ordered; put the order in the job file and load it with --replace."
        )
    if to_wall(zone, moment).date() < min(placed):
        raise Refused(
            f"job {number}: a delivery {dated(zone, moment)} comes before its order of {day_words(min(placed))} {min(placed).year}."
        )
    if clock.come + cartons > clock.ordered:
        raise Refused(
            f"job {number}: {clock.come + cartons} cartons of {product.name} would have come, {clock.ordered} are ordered."
        )


def _next_name(record: JobRecord, material: str) -> str:
    taken = {lot.name for lot in record.lots if lot.material == material}
    letters: list[str] = [letter for letter in ascii_uppercase if letter not in taken]
    return letters[0] if letters else f"lot {len(taken) + 1}"


def _carried_in(record: JobRecord, product: Material, moment: datetime) -> JobRecord:
    clock = material_clock(record, product, moment)
    if clock.moved_in < clock.ordered:
        return record
    for task in record.tasks:
        if is_carry_in(task) and task.key.scope.name == product.name and task.open:
            record = with_task(record, replace(task, started_at=task.started_at or moment, done_at=moment))
    return record
