"""Finding the layout of a material's planks and keeping it with the job."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.floor_layout import FloorLayout
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import INCH, exact_length, format_length, quoted
from crewjobs.domain.wording import listed
from crewjobs.engines.laying.model import Layout
from crewjobs.engines.laying.search import Search
from crewjobs.engines.take_off.floors import (
    HouseFloor,
    house_floor,
    is_current,
    kept,
    parts_of_rows,
    planned_anew,
    rest_of,
    told_again,
    wall_to_wall,
)
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.services.moving.furnishing import room_named

if TYPE_CHECKING:
    from crewjobs.storage.database import Database


FARTHEST_OFF: Final = 6 * INCH
"""A wall farther off than this is another wall."""


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
    found: Callable[[Layout], None] | None = None,
    rounds: int | None = None,
) -> LaidOut:
    """Return the layout kept of a material where it is of the rooms as they are, else the best one found until `stop` says so.

    With `again` a better one than the one kept is looked for. `found` is told of every better one;
    with `rounds` no more of them are made, and the same each time.

    Raises:
        Refused: a room or a plank's rules that cannot be laid: which, and what can be changed.
    """
    known = kept_of(record, material)
    again = again and not (known is not None and known.anew)  # what lies is not planned again from the first row
    current = kept_layout(record, material)
    if current is not None and not again:
        return current
    house = house_floor(record.job, material)
    layout = _searched(house, stop, known.starts if known is not None else None, found, rounds)
    if current is not None and _merit(current.layout) <= _merit(layout):
        return current
    return LaidOut(house=house, layout=layout, kept=kept(record.job, house, layout, now), new=True)


def _merit(layout: Layout) -> tuple[int, int, int, int, int]:
    """Return how good a layout is, less is better: planks, stair steps, then spare, stagger and what is proved."""
    return layout.planks, layout.stairs, -(layout.spare or 0), -(layout.stagger or 0), -layout.bound


def kept_of(record: JobRecord, material: Material) -> FloorLayout | None:
    """Return the layout kept of a material, if it is of the rooms as they are now."""
    known = record.layout_of(material.name)
    return known if known is not None and is_current(known, record.job, material) else None


def kept_layout(record: JobRecord, material: Material) -> LaidOut | None:
    """Return the layout kept of a material with its floor, if it is of the rooms as they are now; nothing is looked for.

    Raises:
        Refused: rooms or rules that cannot be laid any more.
    """
    known = kept_of(record, material)
    if known is None:
        return None
    house = house_floor(record.job, material, begun=known.walls if known.anew else ())
    house, layout = told_again(record.job, house, known)
    return LaidOut(house=house, layout=layout, kept=known, new=False)


def _searched(
    house: HouseFloor,
    stop: Callable[[], bool],
    begin: Sequence[int] | None = None,
    tell: Callable[[Layout], None] | None = None,
    rounds: int | None = None,
) -> Layout:
    """Return the best layout found, beginning with the first pieces known already."""
    product = house.floor.problem.product
    try:
        found = Search(house.floor.problem, begin=begin).run(rounds=rounds, stop=stop, found=tell)
    except Refused as fault:
        raise Refused([f"{quoted(house.material.name)}: {sentence}" for sentence in fault.sentences]) from fault
    if not found.pieces:
        raise Refused(
            f"{quoted(house.material.name)}: no layout was found in this time with joints {format_length(product.stagger)} apart and "
            f"no piece under {format_length(product.min_piece)}: allow joints nearer to each other or shorter pieces (stagger, "
            "shortest), turn the rows, or give it more time (--seconds)."
        )
    return found


def from_row(
    job: Job,
    found: LaidOut,
    room: str,
    row: int,
    *,
    measured: int | None = None,
    to_wall: int | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> LaidOut:
    """Return a layout planned anew from the row laid: `row` (from 1) lies, the next one was `measured` from wall to wall.

    `to_wall` is how far it is from the laid row's edge to the wall opposite. Without either the walls are as they were.

    Raises:
        Refused: no such row, a measure that is no such wall, or nothing is left to lay.
    """
    house, field = found.house, found.house.field_of(room)
    if house.turned and (measured is not None or to_wall is not None):
        raise Refused(
            f"{quoted(room)} is laid at 45 degrees: no row there runs from wall to wall square. Say only --row, or change the room's size "
            "in the job file and load it with --replace."
        )
    before = [anew for anew in found.kept.anew if anew.field == field]
    if before and row < before[-1].rows:
        raise Refused(
            f"row {row}: it was said before that row {before[-1].rows} lies; take that back with `crewjobs undo`."
        )
    across, left = wall_to_wall(house.floor, field, row)
    parts = parts_of_rows(job, house, found.layout, field, row)
    if parts:
        raise Refused(
            f"{quoted(room)} is worked in parts, and rows 1 to {row} run through {parts} of them: what lies in each is not known, so they "
            "are not planned anew. Measure each row as it is laid; walls that are off are changed in the job file."
        )
    right = measured - across if measured is not None else 0
    far = to_wall - left if to_wall is not None else 0
    for off, asked, planned in ((right, measured, across), (far, to_wall, left)):
        if abs(off) > FARTHEST_OFF:
            raise Refused(
                f"{exact_length(asked or 0)} is {exact_length(abs(off))} off the {format_length(planned)} of the layout: measure "
                "again, or change the room in the job file and load it with --replace."
            )
    laid = {anew.field: anew.rows for anew in found.kept.anew}
    try:
        house, starts = rest_of(job, house, found.layout, laid, field, row, right=right, far=far)
    except Refused as fault:
        if not (right or far) or "crosses or touches" not in str(fault):
            raise
        said = [f"{exact_length(measured or 0)} instead of {format_length(across)} for the next row"] * bool(right)
        said += [f"{exact_length(to_wall or 0)} instead of {format_length(left)} to the wall across"] * bool(far)
        raise Refused(
            f"{quoted(room)}: {listed(said)} would put that wall beyond a doorway or another wall: measure again, or change the room in "
            "the job file and load it with --replace."
        ) from fault
    layout = _searched(house, stop, starts)
    anew = planned_anew(layout, field, row, right=right, far=far)
    kept = replace(found.kept, anew=(*found.kept.anew, anew))
    return LaidOut(house=house, layout=layout, kept=kept, new=True)


def laid_materials(job: Job) -> tuple[Material, ...]:
    """Return the materials of a job's floors that come in planks."""
    floored = {room.floor for room in job.rooms}
    return tuple(one for one in job.materials if not one.is_sheet and one.name in floored)


def of_all(
    record: JobRecord,
    now: datetime,
    *,
    again: bool,
    until: Callable[[], Callable[[], bool]],
    watch: Callable[[Material, Layout], None] | None = None,
) -> dict[str, LaidOut | Refused]:
    """Return the layout of every material laid in rows of equal planks, or why there is none; `until` begins each one's time."""
    found: dict[str, LaidOut | Refused] = {}
    for material in laid_materials(record.job):
        if way_of(material) is not Way.ROWS:
            continue
        tell = partial(watch, material) if watch is not None else None
        try:
            found[material.name] = laid_out(record, material, now, again=again, stop=until(), found=tell)
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
        lies = [f", row {one.anew[-1].rows} lies" for one in new if one.anew]
        said = f"layout of {listed(sorted(names), most=4)} in job {number}{''.join(lies[:1])}"
        return uow.commit(said, at=now, job=number)


def material_of(record: JobRecord, room: str) -> Material:
    """Return the material that is laid in a room.

    Raises:
        Refused: no such room, or one without a new floor.
    """
    found = room_named(record.job, room)
    if found.floor is None:
        raise Refused(f"job {record.job.number}: {quoted(found.name)} gets no new floor: there is nothing to lay out.")
    return record.job.material(found.floor)
