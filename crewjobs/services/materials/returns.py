"""Things for the supplier's return: what goes back, by whom it was sent, and what went back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import WentBack
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.readiness.returns import STAYS, ToGoBack, to_go_back
from crewjobs.services.clock import read_moment
from crewjobs.services.materials.ordered import find_material
from crewjobs.services.rows import Done
from crewjobs.services.wording import at_site, dated

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

RETURNS = "returns"
"""The template of counting what is left and loading what goes back."""


def returned(uow: UnitOfWork, now: datetime, job: int, what: str, typed: float, *, at: str = "") -> Done:
    """Record that cartons of a material went back to their supplier, as one change.

    Raises:
        Refused: unknown job or material, no such count, more than there is to go back, before the material came, or a
            moment that has not come.
    """
    before = uow.job(job)
    product = find_material(before, what, now)
    zone, moment, count = before.job.site.zone, read_moment(at, before.job.site.zone, now), product.kept(typed)
    if moment > now:
        raise Refused(f"{dated(zone, moment)} has not come yet: only what has happened is recorded.")
    if count < 1:
        raise Refused(f"{product.counted(count)} is no return: give how many went back, 1 or more.")
    there = to_go_back(before, product, now)
    if count > there.most:
        raise Refused(_too_many(before, there, count))
    first = min((lot.arrived_at for lot in before.lots if lot.material == product.name), default=moment)
    if moment < first:
        raise Refused(f"{product.name} came {at_site(zone, first)}: none of it can have gone back before that.")
    if any((back.material, back.at) == (product.name, moment) for back in before.went_back):
        raise Refused(f"job {job}: a return of {product.name} {at_site(zone, moment)} is recorded already.")
    back = WentBack(material=product.name, count=count, at=moment)
    after = replace(before, went_back=(*before.went_back, back))
    uow.save_job(before, after)
    words = f"job {job}: {product.counted(count)} of {product.name} went back to {_supplier(before, product)} {at_site(zone, moment)}"
    left = to_go_back(after, product, now)
    then = [f"{product.counted(left.still)} still to go back."] if left.still else []
    if count > there.still:
        then.append("No full carton of it is left for the house by that.")
    return Done(sentence=upper(words) + ".", change=uow.commit(words, at=now, job=job), then=tuple(then))


def _too_many(record: JobRecord, there: ToGoBack, count: int) -> str:
    material = there.material
    number = record.job.number
    what = f"job {number}: {material.counted(there.most) if there.most else 'nothing'} of {material.name}"
    late = "" if there.laid else "; what is left over is known when its floors are laid"
    return (
        f"{what} can go back ({_parts(there) or 'none is damaged or left over'}), not {material.number(count)}{late}."
    )


def return_lines(record: JobRecord, now: datetime) -> tuple[str, ...]:
    """Return a job's returns as lines: what goes back to whom, and what went back when."""
    zone = record.job.site.zone
    lines = []
    for material in record.job.materials:
        there = to_go_back(record, material, now)
        if there.still:
            lines.append(upper(_words(record, there)))
        lines += [
            f"Went back {at_site(zone, back.at)}: {material.counted(back.count)} of {material.name}"
            for back in record.went_back
            if back.material == material.name
        ]
    return tuple(lines)


def day_lines(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield for the crew that counts what is left: of each material what goes back to whom.

    The day is planned before it is worked: what is left over is what there will be when the floors are laid.
    """
    for material in record.job.materials:
        there = to_go_back(record, material, now)
        later = "" if there.laid or material.is_sheet else f"full cartons left over, {STAYS} stays in the house"
        if there.still:
            yield _words(record, there) + (f"; {later}" if later else "")
        elif later:
            yield f"{material.name} to {_supplier(record, material)}: {later}"


def _words(record: JobRecord, there: ToGoBack) -> str:
    material = there.material
    gone = f", {there.went_back} of them went back" if there.went_back else ""
    return f"{material.name} to {_supplier(record, material)}: {_parts(there)}{gone}"


def _parts(there: ToGoBack) -> str:
    """Return ``2 damaged in lot A, 3 full cartons left over by area, 1 more stays in the house``."""
    counted = there.material.counted
    parts = [f"{counted(count)} damaged in lot {lot}" for lot, count in there.damaged]
    parts += [f"{counted(count)} of lot {lot}, another color" for lot, count in there.off_color]
    if there.left_over:
        parts.append(f"{counted(there.left_over)} left over by area (count them)")
    if there.kept:
        parts.append(f"{counted(there.kept)} more stays in the house")
    return listed(parts, most=9)


def _supplier(record: JobRecord, material: Material) -> str:
    names = dict.fromkeys(o.supplier for o in record.job.orders if o.material == material.name and o.supplier)
    return listed(list(names)) or "the supplier"
