"""The floors a day plan says how to lay: those of which planks are laid that day and whose layout was kept."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobRecord
from crewjobs.domain.moves import Spot
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.stages.drawing import place_words
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.paper.model import CutRow, HouseLayout
from crewjobs.services.jobs.known import LAYING
from crewjobs.services.laying.layout_rows import LayoutRow, LayoutView

if TYPE_CHECKING:
    from crewjobs.services.laying.layouts import LaidOut

ROWS = "rows"


def rows_of(record: JobRecord, layouts: Sequence[HouseLayout], task: Task) -> int:
    """Return how many rows a task lays by the layouts of a page, 0 where that is not known of it alone."""
    if task.key.template not in LAYING:
        return 0
    places = [place_words(spot) for spot in _spots(record, task)]
    floor = record.job.room(task.key.scope.name).floor
    for one in layouts:
        if len(places) == 1 and one.title == f"{floor}, {places[0]}":
            return len({row.label for row in one.rows})
    return 0


def layouts_on(
    record: JobRecord, tasks: Sequence[Task], units: UnitSystem, done: Container[int] = ()
) -> tuple[HouseLayout, ...]:
    """Return the layouts of the floors that some tasks of a day lay, each with the rows of that day; none where none was kept.

    The tasks come in the order they begin; `done` are tasks of the job that are over by then, those ticked count anyway.
    """
    laid: dict[str, dict[Spot, list[Task]]] = {}
    for task in tasks:
        if task.key.template in LAYING:
            for spot in _spots(record, task):
                laid.setdefault(record.job.room(spot[0]).floor or "", {}).setdefault(spot, []).append(task)
    lies = frozenset(_lying_spots(record, done)) - {spot for spots in laid.values() for spot in spots}
    return tuple(one for material, spots in laid.items() for one in _of_material(record, material, spots, units, lies))


def _lying_spots(record: JobRecord, done: Container[int]) -> Iterator[Spot]:
    """Yield the parts of rooms all of whose laying is over."""
    laying: dict[Spot, list[bool]] = {}
    for task in record.tasks:
        if task.key.template in LAYING and not task.not_needed:
            for spot in _spots(record, task):
                laying.setdefault(spot, []).append(not task.open or task.number in done)
    yield from (spot for spot, over in laying.items() if all(over))


def stale_layouts(record: JobRecord, tasks: Sequence[Task]) -> tuple[str, ...]:
    """Return for each material laid by some tasks whose layout is not of the rooms as they are a sentence that says so."""
    names = dict.fromkeys(
        record.job.room(spot[0]).floor or ""
        for task in tasks
        if task.key.template in LAYING
        for spot in _spots(record, task)
    )
    return tuple(
        f"The rooms, or the order they are worked in, were changed since {name} was laid out: ask the office "
        "to lay it out anew."
        for name in names
        if record.layout_of(name) is not None and _kept(record, name) is None
    )


def _kept(record: JobRecord, name: str) -> LaidOut | None:
    """Return the layout kept of a material; None where there is none of the rooms as they are."""
    from crewjobs.services.laying.layouts import (
        kept_layout,  # the engine is loaded only where there is something to tell
    )

    try:
        return kept_layout(record, record.job.material(name))
    except Refused:  # rooms that cannot be laid any more: the page says that they were changed
        return None


def _spots(record: JobRecord, task: Task) -> Iterator[Spot]:
    scope = task.key.scope
    room = next((room for room in record.job.rooms if room.name == scope.name), None)
    if room is not None and room.floor is not None:
        yield from ((room.name, part.name) for part in room.sections if scope.part in ("", part.name))


def _of_material(
    record: JobRecord, name: str, spots: dict[Spot, list[Task]], units: UnitSystem, lies: frozenset[Spot]
) -> Iterator[HouseLayout]:
    if record.job.material(name).is_sheet or way_of(record.job.material(name)) is not Way.ROWS:
        yield from _others(record, name, spots, units)
        return
    found = _kept(record, name) if record.layout_of(name) is not None else None
    if found is None:
        return
    from crewjobs.services.laying.layout_view import Order, layout_view

    order = Order(lies=lies, now={spot: place for place, spot in enumerate(spots, 1)})
    for number in dict.fromkeys(found.house.field_of(room) for room, _ in spots):
        here = {spot: by for spot, by in spots.items() if found.house.field_of(spot[0]) == number}
        view = layout_view(record, found, next(iter(here))[0], units=units, order=order)
        if view.rows:  # where every row lies there is nothing to tell
            yield _house_layout(record, view, here)


def _others(record: JobRecord, name: str, spots: dict[Spot, list[Task]], units: UnitSystem) -> Iterator[HouseLayout]:
    """Yield the layouts of a floor that is not laid in rows of equal planks."""
    from crewjobs.services.laying.job_layouts import others

    rooms = {room for room, _ in spots}
    try:
        views = others(record, record.job.material(name), units)
    except Refused:  # rooms that cannot be laid so: `crewjobs layout` says why
        return
    for view in views:
        if rooms & {*view.rooms}:
            here = {spot: by for spot, by in spots.items() if spot[0] in view.rooms}
            yield _house_layout(record, view, here)


def _house_layout(record: JobRecord, view: LayoutView, spots: dict[Spot, list[Task]]) -> HouseLayout:
    rows = [row for row in view.rows if any(piece.now for piece in row.pieces)]
    lie = _lying(record, rows, spots)
    begun = (
        (f"{upper(counted(lie, 'row'))} of {len({row.row for row in rows})} lie already, as was said.",) if lie else ()
    )
    numbers = sorted({row.row for row in rows})[lie:]
    places = listed(list(dict.fromkeys(place_words(spot) for spot in spots)), most=6)
    return HouseLayout(
        title=f"{view.material}, {places}",
        sentences=tuple(one for one in (f"{upper(view.direction)}.", view.first, *view.lines, *begun) if one),
        drawing=view.drawing,
        drawn_rows=tuple(one for one in view.drawn_rows if int(one.label) in numbers),
        rows=_cut_rows([row for row in rows if row.row in numbers and not row.told]),  # boards come as they come
        notes=view.notes,
    )


def _lying(record: JobRecord, rows: Sequence[LayoutRow], spots: dict[Spot, list[Task]]) -> int:
    """Return how many of the rows lie by what was said last; none where rows were counted otherwise than here."""
    tasks = {task.number for by in spots.values() for task in by}
    there = len({row.row for row in rows})
    said = [one for one in (latest(record.how_far, task) for task in tasks) if one is not None and one.unit == ROWS]
    done = max((one.done for one in said if round(one.whole) == there), default=0)
    return max(0, min(int(done), there - 1))


def _cut_rows(rows: Sequence[LayoutRow]) -> tuple[CutRow, ...]:
    """Return the cut list of some rows; a row laid in several goes is there once for each, so that each says where it lies."""
    several = len({row.place for row in rows}) > 1
    return tuple(_cut_row(row, row.place if several else "") for row in rows)


def _cut_row(row: LayoutRow, place: str = "") -> CutRow:
    now = LayoutRow(
        row=row.row,
        width=row.width,
        ripped=row.ripped,
        pieces=tuple(piece for piece in row.pieces if piece.now),
        place=row.place,
    )
    return CutRow(
        label=f"Row {row.row}",
        pieces=f"{place}: {now.line}" if place else now.line,
        cut_outs=tuple(f"{piece.named}: {words}" for piece in now.pieces for words in piece.cut_outs),
    )
