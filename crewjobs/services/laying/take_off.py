"""The take-off of a job: what its floors take, material by material, and what is bought beside them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import Goods
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.units import (
    FOOT,
    INCH,
    MILLIMETRE,
    UnitSystem,
    exact_length,
    format_area,
    format_cut,
    format_length,
    parse_length,
)
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.estimating.places import floored_rooms, floored_stairs
from crewjobs.engines.estimating.sizing import take_off
from crewjobs.engines.estimating.waste import waste_of
from crewjobs.engines.laying.model import Status
from crewjobs.engines.take_off.goods import Lengths, Line, What, goods_of
from crewjobs.engines.take_off.planks import Cartons, cartons_of
from crewjobs.engines.take_off.sticks import Sticks
from crewjobs.engines.take_off.walls import End, corner_count
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.services.jobs.heights import looked_at
from crewjobs.services.laying.layout_rows import GoodsRow, PlanksRow, TakeOffView
from crewjobs.services.laying.layout_view import direction_words, sure_words
from crewjobs.services.laying.layouts import LaidOut
from crewjobs.services.laying.lots_carried import lot_words
from crewjobs.services.laying.movement_words import movement_words
from crewjobs.services.laying.pattern_words import area_words, waste_words
from crewjobs.services.laying.sheet_take_off import sheet_row
from crewjobs.services.laying.sheet_view import unsaid
from crewjobs.services.laying.take_off_rests import left_words, offcut_words, supply_rows
from crewjobs.services.laying.take_off_ways import other_row
from crewjobs.services.laying.wall_words import wall_legends
from crewjobs.services.wording import assumed, ordered_words, step_words

SHORTEST_STICK: Final = 2 * FOOT
SIXTEENTH: Final = INCH // 16
LONGEST_STICK: Final = 24 * FOOT
METRIC_STICKS: Final = Lengths(base=4800 * MILLIMETRE, shoe=4800 * MILLIMETRE, strip=2000 * MILLIMETRE)
"""How long base, shoe and strips come where they are sold by the metre; common practice, no source (from memory)."""


def take_off_view(
    record: JobRecord,
    layouts: dict[str, LaidOut | Refused],
    *,
    units: UnitSystem = "us",
    reserve: float | None = None,
    kept: int = 1,
    lengths: Lengths | None = None,
) -> TakeOffView:
    """Return what a job takes; `layouts` are by material what was found, or why there is none.

    `reserve` is a share of the planks (by kind where none is given), `kept` the cartons that stay in the house, `lengths` how long
    sticks come.
    """
    job, goods = record.job, goods_of(record.job, lengths or usual_lengths(units))
    used = {room.floor for room in floored_rooms(job)} | {flight.floor for flight in floored_stairs(job)}
    rows = [
        _row(record, material, layouts.get(material.name), units, reserve, kept)
        for material in job.materials
        if material.name in used
    ]
    sheets = {material.name for material in job.materials if material.is_sheet}
    seams = unsaid(job, [room for room in floored_rooms(job) if room.floor in sheets])
    told = [one for found in layouts.values() if isinstance(found, LaidOut) for one in found.house.taken_as]
    return TakeOffView(
        job=job.number,
        title=job.title,
        materials=tuple(rows),
        goods=tuple(_with_order(job, line, _goods(line, units), goods.lines) for line in goods.lines),
        supplies=tuple(supply_rows(record, units)),
        left=tuple(left_words(rows, goods.lines, units)),
        taken_as=assumed(job, dict.fromkeys((*told, *goods.taken_as, *seams)), units),
        walls=wall_legends(job, _numbered(job, goods.lines), units),
        heights=looked_at(record, units),
        movement=tuple(
            words
            for one in layouts.values()
            if not isinstance(one, Refused)
            for field in range(len(one.house.fields))
            for words in movement_words(one.house, field, units, all_of_it=True)
        ),
    )


def _numbered(job: Job, lines: Sequence[Line]) -> Iterator[str]:
    """Yield the rooms of which a wall is told by its number: on a stick list, or where a pattern is set out."""
    cut = {
        piece.stretch.room
        for line in lines
        if line.sticks is not None
        for pieces in line.sticks.cut
        for piece in pieces
        if piece.stretch.wall
    }
    patterned = {material.name for material in job.materials if material.pattern is not Pattern.STRAIGHT}
    yield from (room.name for room in floored_rooms(job) if room.name in cut or room.floor in patterned)


def usual_lengths(units: UnitSystem) -> Lengths:
    """Return how long sticks usually come where the shop is."""
    return METRIC_STICKS if units == "metric" else Lengths()


def lengths_of(typed: Mapping[str, str], units: UnitSystem = "us") -> Lengths:
    """Return how long sticks come by what was typed for ``base``, ``shoe`` and ``strip``, as usual where nothing was.

    Raises:
        Refused: no length, or no stick is as short or as long.
    """
    found = {}
    for what, text in typed.items():
        length = parse_length(text)
        if not SHORTEST_STICK <= length <= LONGEST_STICK:
            raise Refused(
                told_in(
                    f"sticks of {what} {exact_length(length)} long: they are {exact_length(SHORTEST_STICK)} to {exact_length(LONGEST_STICK)}.",
                    units,
                )
            )
        found[what] = length
    return replace(usual_lengths(units), **found)


def _row(
    record: JobRecord,
    material: Material,
    found: LaidOut | Refused | None,
    units: UnitSystem,
    reserve: float | None,
    kept: int,
) -> PlanksRow:
    job = record.job
    ordered = sum(order.cartons for order in job.orders if order.material == material.name)
    area = sum(room.net_ft2 for room in job.rooms if room.floor == material.name)
    if material.is_sheet:
        return sheet_row(record, material, units)
    if way_of(material) is not Way.ROWS:
        try:
            return other_row(record, material, units=units, reserve=reserve, kept=kept)
        except Refused as refused:
            found = refused
    if not isinstance(found, LaidOut):
        need = take_off(job, material)
        fault = " ".join(assumed(job, found.sentences, units)) if isinstance(found, Refused) else ""
        how = f"by {area_words(waste_of(material))}: {material.counted(need)}"
        return PlanksRow(
            material=material.name, kind=str(material.kind), area_ft2=area, planks=0, bound=0, proved=False, cartons=need,
            thumb=need, ordered=ordered, unit=material.unit, left_planks=0, fault=fault,
            sentence=f"{format_area(area, units)}: {how}{ordered_words(job, material, need)}.",
        )  # fmt: skip
    layout = found.layout
    opened = found.house.opened  # where rows lie already, the layout is of the rest
    cartons = cartons_of(job, material, opened + layout.planks, reserve=reserve, kept=kept)
    return PlanksRow(
        material=material.name,
        kind=str(material.kind),
        area_ft2=area,
        planks=opened + layout.planks,
        bound=opened + layout.bound,
        proved=layout.status is Status.PROVED,
        cartons=cartons.cartons,
        thumb=cartons.thumb,
        ordered=ordered,
        unit=material.unit,
        left_planks=cartons.left,
        per_carton=cartons.per_carton,
        sentence=_sentence(job, material, found, cartons, units),
        fields=tuple(direction_words(job, found.house, number, units) for number in range(len(found.house.fields))),
        lots=tuple(lot_words(record, material, found, cartons)),
        left=tuple(offcut_words(found, units)),
    )


def _sentence(job: Job, material: Material, found: LaidOut, cartons: Cartons, units: UnitSystem) -> str:
    stairs = (
        f" and {counted(cartons.stairs, 'plank')} for stairs by area ({step_words(job, material, units)} and a tenth)"
        if cartons.stairs
        else ""
    )
    kept = f", {counted(cartons.kept, 'carton')} of them to stay in the house" if cartons.kept else ""
    opened = f", {found.house.opened} of them opened already" if found.house.opened else ""
    return (
        f"{format_area(cartons.area_ft2, units)} take {counted(cartons.planks, 'plank')} as laid out{opened}{stairs}. "
        f"{sure_words(found.layout, found.house.floor.problem)} With {counted(cartons.reserve, 'plank')} in reserve, {cartons.per_carton} in a carton: "
        f"{counted(cartons.cartons, 'carton')}{kept}; area, {waste_words(waste_of(material))} and one carton would be {cartons.thumb}. "
        f"{counted(cartons.left, 'plank')} left over if none is spoilt{ordered_words(job, material, cartons.cartons)}."
    )


def _goods(line: Line, units: UnitSystem) -> GoodsRow:
    where = listed(list(line.places), most=8)
    unit = line.unit if line.count == 1 else f"{line.unit}s"
    as_usual = " as usual, the label decides" if line.usual and line.what in (What.PAD, What.ADHESIVE) else ""
    if line.sticks is not None:
        proved = "" if line.sticks.proved else " (fewer may do)"
        length = format_length(line.sticks.stick, units)
        sentence = f"{line.name}: {line.count} {unit} of {length} for {format_length(round(line.need), units)}{proved}: {where}"
        if line.what in (What.BASE, What.SHOE):
            sentence += f"; {_corner_words(line.sticks)}"
        elif long := _longer(line.sticks):
            sentence += f"; {listed(long, most=8)} longer than a stick: butted, or bought longer"
    elif line.what is What.STAIR_NOSE:
        sentence = f"{line.name}: {counted(line.count, 'piece')}, one a step: {where}"
        if line.lengths:
            sentence += f"; {listed([f'{n} of {format_cut(size, units)}' for size, n in line.lengths])}"
        edges = line.count - line.treads
        sentence += f"; {counted(line.count, 'riser')} and {counted(line.treads, 'tread')} of planks"
        sentence += (
            f", and {counted(edges, 'edge')} of floor or landing that only {'has' if edges == 1 else 'have'} a nose"
        )
        sentence += (
            " (counted as a whole tread by area above)" if edges == 1 else " (counted as whole treads by area above)"
        )
        if len(line.lengths) < len(line.places):
            sentence += "; how long is not known of every stair (width): measure them"
    else:
        if line.trowel:
            as_usual = f" as usual; with the trowel the label names, often a {_notch(line.trowel, units)} (common practice, no source): the label decides"
        cover = f"{format_area(line.cover, units)} a {line.unit}{as_usual}"
        sentence = f"{line.name}: {line.count} {unit} ({cover}) for {format_area(line.need, units)}: {where}"
    joined = "butted" if line.what is What.STRIP else "scarfed"
    sticks = tuple(_sticks(line.sticks, joined, units)) if line.sticks is not None else ()
    return GoodsRow(name=line.name, count=line.count, unit=line.unit, sentence=sentence, sticks=sticks)


ORDERED_AS: Final = {
    What.PAD: Goods.PAD,
    What.PLYWOOD: Goods.PLYWOOD,
    What.ADHESIVE: Goods.GLUE,
    What.BASE: Goods.BASE,
    What.STAIR_NOSE: Goods.STAIR_NOSE,
    What.STRIP: Goods.TRANSITION,
}


def _with_order(job: Job, line: Line, row: GoodsRow, lines: Sequence[Line]) -> GoodsRow:
    """Return a line of the list with how many are on order; strips of all kinds are one line of an order."""
    of = ORDERED_AS.get(line.what)
    total = sum(one.count for one in job.goods if one.goods is of)
    if not total:
        return row
    need = sum(one.count for one in lines if ORDERED_AS.get(one.what) is of)
    off = f", {need - total} short" if total < need else f", {total - need} more" if total > need else ""
    several = f" of the {need} of all kinds" if need != line.count else ""
    return replace(row, sentence=f"{row.sentence}; on the order are {total}{several}{off}")


def _notch(trowel: str, units: UnitSystem) -> str:
    """Return a trowel's notch, ``1/16" square notch`` or ``1.5 mm square notch``: rough, as the label decides."""
    return told_in(trowel.replace('"', " in"), units) if units == "metric" else trowel


def _corner_words(sticks: Sticks) -> str:
    """Return how many inside corners, outside corners and scarf joints there are."""
    pieces = [piece for cut in sticks.cut for piece in cut]
    walls = [piece.stretch for piece in pieces if piece.part == 1]
    scarfs = sum(piece.part > 1 for piece in pieces)
    counts = [(corner_count(walls, kind), str(kind)) for kind in (End.INSIDE, End.OUTSIDE)]
    return listed([counted(n, one) for n, one in (*counts, (scarfs, "scarf joint")) if n] or ["no corner"])


def _longer(sticks: Sticks) -> list[str]:
    """Return which doorways are wider than a stick is long."""
    return [*dict.fromkeys(piece.stretch.room for pieces in sticks.cut for piece in pieces if piece.of > 1)]


def _sticks(sticks: Sticks, joined: str, units: UnitSystem) -> Iterator[str]:
    for number, (pieces, left) in enumerate(zip(sticks.cut, sticks.left, strict=True), 1):
        names = [
            f"{format_cut(_to_the_tape(piece.length, units), units)} {_wall_words(piece.stretch.room, piece.stretch.wall)}"
            + (f" ({piece.part} of {piece.of}, {joined})" if piece.of > 1 else "")
            for piece in pieces
        ]
        yield f"stick {number}: {'; '.join(names)}; left {format_cut(max(0, left), units)}"


def _wall_words(room: str, wall: int) -> str:
    return f"{room} wall {wall}" if wall else room


def _to_the_tape(length: int, units: UnitSystem) -> int:
    """Return a length to cut as a tape shows it: up to the next sixteenth of an inch where it is told in inches."""
    return length if units == "metric" else -(-length // SIXTEENTH) * SIXTEENTH
