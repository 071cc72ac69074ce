"""The layouts of all floors of a job: shown as they were kept, found, and planned anew from the row that lies."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wording import counted
from crewjobs.engines.laying.model import Layout
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.services.laying import layouts
from crewjobs.services.laying.diagonal_words import with_walls
from crewjobs.services.laying.layout_rows import LayoutsView, LayoutView
from crewjobs.services.laying.layout_view import layout_view, sure_words
from crewjobs.services.laying.layouts import LaidOut
from crewjobs.services.laying.other_layouts import other_layout
from crewjobs.services.laying.sheet_rows import SheetView
from crewjobs.services.laying.sheet_view import sheet_view
from crewjobs.services.rows import Done
from crewjobs.services.wording import assumed

if TYPE_CHECKING:
    from crewjobs.storage.database import Database

Watch = Callable[[str], None]
"""Told in words of every better layout while it is looked for."""


def layouts_view(record: JobRecord, units: UnitSystem) -> LayoutsView:
    """Return the layouts kept of a job's floors, field by field, and which floors have none."""
    found, missing = list[LayoutView](), list[str]()
    floored = {room.floor for room in record.job.rooms}
    for material in record.job.materials:
        if material.name not in floored:
            continue
        if material.is_sheet or way_of(material) is not Way.ROWS:
            try:
                found += others(record, material, units)
            except Refused as fault:
                missing += fault.sentences
            continue
        try:
            kept = layouts.kept_layout(record, material)
        except Refused as fault:
            missing += fault.sentences
            continue
        if kept is None:
            known = record.layout_of(material.name) is not None
            why = "the rooms, or the order they are worked in, were changed since" if known else "not laid out yet"
            missing.append(f"{material.name}: {why}.")
        else:
            views = (layout_view(record, kept, field.rooms[0].room, units=units) for field in kept.house.fields)
            found += [with_walls(record.job, view, units) for view in views]
    return LayoutsView(
        job=record.job.number, title=record.job.title, floors=tuple(found), missing=assumed(record.job, missing, units)
    )


def others(record: JobRecord, material: Material, units: UnitSystem) -> list[LayoutView]:
    """Return the layouts, field by field, of a floor that is not laid in rows of equal planks: they are not kept.

    Raises:
        Refused: it cannot be laid.
    """
    found = list[LayoutView]()
    for room in record.job.rooms:
        if room.floor == material.name and not any(room.name in one.rooms for one in found):
            if material.is_sheet:
                found.append(_dropped(sheet_view(record, material, room.name, units=units)))
                continue
            view = other_layout(record, material, room.name, units=units)
            found += [view] if view is not None else []
    return found


def _dropped(view: SheetView) -> LayoutView:
    """Return the drops and seams of a room as any other floor is shown."""
    return LayoutView(
        job=view.job, title=view.title, material=view.material, rooms=view.rooms, direction=view.direction, first="",
        planks=len(view.drops), planks_of_all=0, bound_of_all=0, proved=view.proved, sure=view.sure, rows=(),
        notes=view.notes, taken_as=view.taken_as, drawing=view.drawing, way="drops",
        lines=(*(drop.sentence for drop in view.drops), *view.seams),
        counts=f"{view.counted} off the roll in all. {view.sure}",
    )  # fmt: skip


def lay_out(
    database: Database,
    who: str,
    now: datetime,
    record: JobRecord,
    *,
    again: bool,
    until: Callable[[], Callable[[], bool]],
    watch: Watch | None = None,
) -> Done:
    """Find the layouts of all floors of a job that come in planks, and keep them; `again`: also where some are kept.

    Raises:
        Refused: no floor comes in planks, or none can be laid out: why.
    """
    if not any(way_of(material) is Way.ROWS for material in layouts.laid_materials(record.job)):
        raise Refused(
            f"job {record.job.number}: no floor of it is laid in rows of equal planks, so there is nothing to look for."
        )
    tell = told_of_each(watch) if watch is not None else None
    found = layouts.of_all(record, now, again=again, until=until, watch=tell)
    laid = [one for one in found.values() if isinstance(one, LaidOut)]
    faults = [sentence for one in found.values() if isinstance(one, Refused) for sentence in one.sentences]
    if not laid:
        raise Refused(faults)
    change = layouts.keep(database, who, now, record, laid)
    return Done(sentence=f"Job {record.job.number}: {'; '.join(_found(laid))}", change=change, then=tuple(faults))


def _found(laid: list[LaidOut]) -> Iterator[str]:
    for one in laid:
        as_before = "" if one.new else " as kept"
        yield f"{one.house.material.name}, {counted(one.layout.planks, 'plank')}{as_before}. {sure_words(one.layout, one.house.floor.problem)}"


def told_of_each(watch: Watch) -> Callable[[Material, Layout], None]:
    """Return what tells of every better layout of any material in words."""
    return lambda material, layout: watch(progress_words(material, layout))


def told(watch: Watch, material: Material) -> Callable[[Layout], None]:
    """Return what tells of every better layout of a material in words."""
    return lambda layout: watch(progress_words(material, layout))


def progress_words(material: Material, layout: Layout) -> str:
    """Return how far the search is: ``harbor plank: 132 planks, 131 at least``."""
    return f"{material.name}: {counted(layout.planks, 'plank')}, {layout.bound} at least"
