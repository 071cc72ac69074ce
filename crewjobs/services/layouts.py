"""Finding the layout of a material's planks and keeping it with the job."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.floor_layout import FloorLayout
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed
from crewjobs.engines.laying.model import Layout
from crewjobs.engines.laying.search import Search
from crewjobs.engines.take_off.floors import HouseFloor, basis_of, house_floor, kept, told_again
from crewjobs.services.furnishing import room_named

if TYPE_CHECKING:
    from crewjobs.storage.database import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """A material's floor with its layout. `new`: it was found now and is not kept yet."""

    house: HouseFloor
    layout: Layout
    kept: FloorLayout
    new: bool


def laid_out(
    record: JobRecord,
    material: Material,
    now: datetime,
    *,
    again: bool = False,
    stop: Callable[[], bool] = lambda: False,
) -> LaidOut:
    """Return the layout kept of a material where it is of the rooms as they are, else the best one found until `stop` says so.

    With `again` a better one than the one kept is looked for.

    Raises:
        Refused: a room or a plank's rules that cannot be laid: which, and what can be changed.
    """
    house, known = house_floor(record.job, material), record.layout_of(material.name)
    current = known is not None and known.basis == basis_of(record.job, material)
    if known is not None and current and not again:
        return LaidOut(house=house, layout=told_again(house, known), kept=known, new=False)
    found = Search(house.floor.problem).run(stop=stop)
    if known is not None and current and known.count <= found.planks:
        return LaidOut(house=house, layout=told_again(house, known), kept=known, new=False)
    return LaidOut(house=house, layout=found, kept=kept(record.job, house, found, now), new=True)


def of_all(
    record: JobRecord, now: datetime, *, again: bool, until: Callable[[], Callable[[], bool]]
) -> dict[str, LaidOut | Refused]:
    """Return the layout of every material that comes in planks, or why there is none; `until` begins each one's time."""
    found: dict[str, LaidOut | Refused] = {}
    floored = {room.floor for room in record.job.rooms}
    for material in record.job.materials:
        if material.is_sheet or material.name not in floored:
            continue
        try:
            found[material.name] = laid_out(record, material, now, again=again, stop=until())
        except Refused as fault:
            found[material.name] = fault
    return found


def keep(database: Database, who: str, now: datetime, record: JobRecord, found: list[LaidOut]) -> int:
    """Keep layouts that were found with their job; return the number of the change, 0 where there was nothing to keep.

    Raises:
        Refused: the job was changed while they were looked for.
    """
    new = [one.kept for one in found if one.new]
    if not new:
        return 0
    number = record.job.number
    with database.unit_of_work(who=who) as uow:
        if uow.job(number).version != record.version:
            raise Refused(f"job {number} was changed meanwhile: look at it again, then find its layouts anew.")
        names = {one.material for one in new}
        layouts = (*(one for one in record.layouts if one.material not in names), *new)
        uow.save_job(record, replace(record, layouts=layouts))
        return uow.commit(f"layout of {listed(sorted(names), most=4)} in job {number}", at=now, job=number)


def material_of(record: JobRecord, room: str) -> Material:
    """Return the material whose planks lie in a room.

    Raises:
        Refused: no such room, or one without a floor of planks.
    """
    found = room_named(record.job, room)
    if found.floor is None:
        raise Refused(f"job {record.job.number}: {quoted(found.name)} gets no new floor: there is nothing to lay out.")
    material = record.job.material(found.floor)
    if material.is_sheet:
        raise Refused(
            f"job {record.job.number}: {quoted(found.name)} gets {material.kind} off a roll: `crewjobs take-off "
            f"{record.job.number}` says how much; only planks are laid out."
        )
    return material
