"""The house of a finished job as it lies now: its rooms and stairs with the floors that were laid, and the ways between them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

from crewjobs.domain.house import Covering, Layer, Room, Stairs, Trim
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import WOOD, Material, Method
from crewjobs.domain.wall import to_wall

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

_WOOD_LIES: Final = {
    Method.FLOATING: Covering.FLOATING_WOOD,
    Method.GLUED: Covering.GLUED_WOOD,
    Method.NAILED: Covering.NAILED_WOOD,
}
"""What wood is called once it lies; every other floor keeps its name."""


def first_of_its_house(uow: UnitOfWork, record: JobRecord) -> JobRecord:
    """Return the job that a job, its callback, or a callback of that came back to first: it knows the whole house, they what they work in."""
    seen = {record.job.number}
    while record.job.callback_of is not None and record.job.callback_of not in seen:
        seen.add(record.job.callback_of)
        record = uow.job(record.job.callback_of)
    return record


def with_the_ways(whole: JobRecord, job: Job) -> Job:
    """Return a callback's job with the rooms, stairs and doorways of its `whole` house, as it lies now: so it is known what lies behind what.

    What the job knows by itself stays as it says it.
    """
    rooms, stairs = {one.name: one for one in job.rooms}, {one.name: one for one in job.stairs}
    there = {room.name: rooms.get(room.name) or room_as_it_lies(whole, room) for room in whole.job.rooms}
    flights = {
        one.name: _joined(stairs.get(one.name) or stairs_as_they_lie(whole, one), one) for one in whole.job.stairs
    }
    openings = {one.name: replace(one, parts=("", "")) for one in whole.job.openings}
    return replace(
        job,
        rooms=tuple((there | rooms).values()),
        stairs=tuple((stairs | flights).values()),
        openings=tuple((openings | {one.name: one for one in job.openings}).values()),
    )


def _joined(flight: Stairs, known: Stairs) -> Stairs:
    """Return stairs with the rooms they join, where only the whole house tells it."""
    return flight if flight.between else replace(flight, between=known.between)


def room_as_it_lies(record: JobRecord, room: Room) -> Room:
    """Return a room as it is now: its size and what stands in it, the floor that was laid, and no new one."""
    laid = _laid(record, room.floor)
    return replace(
        room,
        layers=(laid,) if laid else room.layers,
        floor=None,
        level_ft2=0.0,
        patch_ft2=0.0,
        add_plywood=False,
        pad=False,
        trim=Trim.NONE,
        cuts=(),
    )


def stairs_as_they_lie(record: JobRecord, stairs: Stairs) -> Stairs:
    """Return stairs as they are now, without the rooms they join: a job may have neither of them, and does no work by it."""
    laid = _laid(record, stairs.floor)
    return replace(stairs, layers=(laid,) if laid else stairs.layers, floor=None, between=())


def _laid(record: JobRecord, floor: str | None) -> Layer | None:
    """Return the layer that a floor of a job is now, with its year where that is known; None where none was laid."""
    if floor is None:
        return None
    material = record.job.material(floor)
    done = _laid_on(record, floor)
    return Layer(covering=_covering(material), year=done.year if done else None)


def _laid_on(record: JobRecord, floor: str) -> date | None:
    zone = record.job.site.zone
    days = [
        to_wall(zone, task.done_at).date()
        for task in record.tasks
        if task.needs_material == floor and task.done_at is not None
    ]
    return max(days, default=None)


def _covering(material: Material) -> Covering:
    return _WOOD_LIES[material.method] if material.kind in WOOD else Covering(material.kind.value)
