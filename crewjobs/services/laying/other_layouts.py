"""Layouts that are no rows of equal planks: boards of random lengths row by row, grids and herringbones by their lines.

They are computed anew each time: nothing of them is searched, so nothing is kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import INCH, UnitSystem, format_cut, quoted
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.take_off.drawing_parts import drawn_herringbone, drawn_mixed, drawn_tiles
from crewjobs.engines.take_off.fields import HouseField
from crewjobs.engines.take_off.herringbone import herringbone_floor
from crewjobs.engines.take_off.mixed import MixedFloor, mixed_floor
from crewjobs.engines.take_off.rules import gap_of
from crewjobs.engines.take_off.tiled import tiled_floor
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.services.laying.diagonal_words import SLANTED
from crewjobs.services.laying.layout_rows import LayoutRow, LayoutView, PieceRow
from crewjobs.services.laying.layout_view import direction_words, first_words
from crewjobs.services.laying.pattern_words import (
    herringbone_counts,
    herringbone_direction,
    herringbone_lines,
    herringbone_notes,
    off_shares,
    tile_counts,
    tile_direction,
    tile_lines,
    tile_notes,
)
from crewjobs.services.laying.through_words import through
from crewjobs.services.laying.wall_words import wall_legends
from crewjobs.services.wording import assumed

_NO_ROWS: Final = {
    Way.RANDOM_LENGTHS: "its boards come in random lengths: racked from what is in the cartons, there is nothing to plan anew",
    Way.TILES: "it is laid in a grid: where its lines lie changes with the room, so change that",
    Way.HERRINGBONE: "it is laid in a herringbone, which has no rows from wall to wall",
}


def other_layout(
    record: JobRecord, material: Material, room: str, *, row: int | None = None, units: UnitSystem = "us"
) -> LayoutView | None:
    """Return the layout of a room's floor that is not laid in rows of equal planks; None of one that is.

    Raises:
        Refused: it cannot be laid, or `row` asks to plan anew from a row laid.
    """
    way = way_of(material)
    if way is Way.ROWS:
        return None
    if row is not None:
        raise Refused(
            f"{quoted(room)}: {_NO_ROWS[way]} (--row is for rows of equal planks; a room's size is changed in the job file, loaded with "
            "--replace)."
        )
    if way is Way.RANDOM_LENGTHS:
        return _mixed(record, material, room, units)
    return _tiles(record, material, room, units) if way is Way.TILES else _herringbone(record, material, room, units)


def _tiles(record: JobRecord, material: Material, room: str, units: UnitSystem) -> LayoutView:
    job, floor = record.job, tiled_floor(record.job, material)
    field = floor.fields[floor.field_of(room)]
    return LayoutView(
        job=job.number, title=job.title, material=material.name, rooms=tuple(one.room for one in field.house.rooms),
        direction=tile_direction(job, floor, field, units), first="", planks=field.layout.whole + field.layout.shared,
        planks_of_all=floor.tiles, bound_of_all=0, proved=False, sure="", rows=(),
        notes=(*_walls(job, field.house, units), *tile_notes(floor, field, units), *through(job, [one.room for one in field.house.rooms], units)), taken_as=assumed(job, floor.taken_as, units),
        drawing=drawn_tiles(field, floor.tile.gap, floor.tile.width, floor.tile.length), way=str(Way.TILES),
        lines=tuple(tile_lines(job, floor, field, units)), counts=tile_counts(floor, field),
    )  # fmt: skip


def _herringbone(record: JobRecord, material: Material, room: str, units: UnitSystem) -> LayoutView:
    job, floor = record.job, herringbone_floor(record.job, material)
    field = floor.fields[floor.field_of(room)]
    return LayoutView(
        job=job.number, title=job.title, material=material.name, rooms=tuple(one.room for one in field.house.rooms),
        direction=herringbone_direction(job, floor, field, units), first="", planks=field.layout.planks, planks_of_all=floor.planks,
        bound_of_all=0, proved=False, sure="", rows=(), notes=(*_walls(job, field.house, units), *herringbone_notes(floor, units), *through(job, [one.room for one in field.house.rooms], units)), taken_as=assumed(job, floor.taken_as, units),
        drawing=drawn_herringbone(field, gap_of(material)), way=str(Way.HERRINGBONE),
        lines=tuple(herringbone_lines(job, floor, field, units)), counts=herringbone_counts(floor, field),
    )  # fmt: skip


def _walls(job: Job, field: HouseField, units: UnitSystem) -> tuple[str, ...]:
    return wall_legends(job, (place.room for place in field.rooms), units)


def _mixed(record: JobRecord, material: Material, room: str, units: UnitSystem) -> LayoutView:
    job, floor = record.job, mixed_floor(record.job, material)
    house, layout = floor.house, floor.layout
    field = house.field_of(room)
    numbers = [number for number, _ in house.floor.runs_of(field)]
    here = sum(
        len(layout.pieces[number]) - (layout.begins[number] is not None) - (layout.closes[number] is not None)
        for number in numbers
    )
    walls = _walls(job, house.fields[field], units) if house.turned else ()
    return LayoutView(
        job=job.number, title=job.title, material=material.name, rooms=tuple(one.room for one in house.fields[field].rooms),
        direction=direction_words(job, house, field, units), first=first_words(job, house, field), planks=here,
        planks_of_all=sum(layout.boards.values()), bound_of_all=0, proved=False, sure="",
        rows=tuple(_row(floor, number, units) for number in numbers), notes=(*walls, *_notes(floor, field, units), *through(job, [one.room for one in house.fields[field].rooms], units)),
        taken_as=assumed(job, house.taken_as, units), drawing=drawn_mixed(floor, field), way=str(Way.RANDOM_LENGTHS),
        counts=(
            f"{here} boards here, {sum(layout.boards.values())} in all of this material, racked from the shares given: what is in the "
            "cartons decides. Rows are a plan; keep joints apart as said, whatever boards come."
        ),
    )  # fmt: skip


def _row(floor: MixedFloor, number: int, units: UnitSystem) -> LayoutRow:
    house = floor.house
    run = house.floor.problem.runs[number]
    width = house.floor.fields[run.field].rips.widths[run.row]
    pieces = tuple(_pieces(floor, number, units))
    ripped = width < house.floor.problem.product.width
    rip = f"ripped to {format_cut(width, units)}: " if ripped and not house.turned else ""
    return LayoutRow(
        row=run.row + 1,
        width=format_cut(width, units),
        ripped=ripped,
        pieces=pieces,
        told=rip + ", ".join(f"{one.length} ({one.keep})" if one.keep else one.length for one in pieces),
    )


def _pieces(floor: MixedFloor, number: int, units: UnitSystem) -> Iterator[PieceRow]:
    """Yield the boards of a run from the left; `keep` says where a piece comes from and what to keep of its board."""
    layout, field = floor.layout, floor.house.floor.problem.runs[number].field
    lengths = layout.pieces[number]
    runs = floor.house.floor.problem.runs
    at = runs[number].left - min(run.left for run in runs if run.field == field)
    for place, length in enumerate(lengths):
        kind, told, kept = "whole", list[str](), False
        if place == 0 and layout.begins[number] is not None:
            kind, kept = "rest", True
            told.append(f"kept from {_row_words(floor, layout.begins[number], field)}")
        elif place == 0 and layout.first[number]:
            kind = "start"
            told.append(f"of {format_cut(layout.first[number], units)}")
            if (onward := layout.ends.get(number)) is not None:
                told.append(f"keep its other end to close {_row_words(floor, onward, field)}")
        if place == len(lengths) - 1 and layout.closes[number] is not None:
            kind, kept = "end", True
            told.append(f"kept from the first board of {_row_words(floor, layout.closes[number], field)}")
        elif place == len(lengths) - 1 and layout.cut[number]:
            kind = "end" if len(lengths) > 1 else "wall to wall"
            told.append(f"of {format_cut(layout.cut[number], units)}")
            if (onward := layout.starts.get(number)) is not None:
                rest = format_cut(layout.pieces[onward][0], units)
                told.append(f"keep {rest} for the start of {_row_words(floor, onward, field)}")
        yield PieceRow(
            kind=kind, length=format_cut(length, units), length_in=round(length / INCH, 4), plank=0, kept=kept,
            keep="; ".join(told), tight=False, left_in=round(at / INCH, 4),
        )  # fmt: skip
        at += length


def _row_words(floor: MixedFloor, number: int | None, field: int) -> str:
    assert number is not None
    run = floor.house.floor.problem.runs[number]
    where = f" of {floor.house.fields[run.field].field.name}" if run.field != field else ""
    return f"row {run.row + 1}{where}"


def _notes(floor: MixedFloor, field: int, units: UnitSystem) -> Iterator[str]:
    product, layout = floor.house.floor.problem.product, floor.layout
    yield (
        f"{upper('joints')} {format_cut(product.stagger, units)} apart at least, no piece under "
        f"{format_cut(product.min_piece, units)} beside a joint; {format_cut(product.gap, units)} free at every wall."
    )
    if floor.house.turned:
        yield SLANTED
    runs = floor.house.floor.problem.runs
    near = sorted({runs[number].row + 1 for number in layout.near if runs[number].field == field})
    if near:
        yield (
            f"In row {listed([str(row) for row in near], most=8)} a joint comes nearer than that to one of the two rows before: no way was "
            "found with these lengths; pick other boards there."
        )
    yield from off_shares(floor.house.material, layout, units)
