"""The take-off of a job: what its floors take, material by material, and what is bought beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import UnitSystem, format_area, format_length
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.estimating.places import floored_rooms, floored_stairs
from crewjobs.engines.estimating.sizing import take_off
from crewjobs.engines.estimating.waste import waste_of
from crewjobs.engines.laying.model import Status
from crewjobs.engines.take_off.goods import Line, What, goods_of
from crewjobs.engines.take_off.planks import Cartons, cartons_of
from crewjobs.engines.take_off.sticks import Sticks
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.services.layout_rows import GoodsRow, PlanksRow, TakeOffView
from crewjobs.services.layout_view import direction_words, sure_words
from crewjobs.services.layouts import LaidOut
from crewjobs.services.pattern_words import waste_words
from crewjobs.services.take_off_ways import other_row
from crewjobs.services.wording import ordered_words, roll_words


def take_off_view(
    record: JobRecord,
    layouts: dict[str, LaidOut | Refused],
    *,
    units: UnitSystem = "us",
    reserve: float | None = None,
    kept: int = 1,
) -> TakeOffView:
    """Return what a job takes; `layouts` are by material what was found, or why there is none.

    `reserve` is a share of the planks (by kind where none is given), `kept` the cartons that stay in the house.
    """
    job, goods = record.job, goods_of(record.job)
    used = {room.floor for room in floored_rooms(job)} | {flight.floor for flight in floored_stairs(job)}
    rows = [
        _row(record, material, layouts.get(material.name), units, reserve, kept)
        for material in job.materials
        if material.name in used
    ]
    told = [one for found in layouts.values() if isinstance(found, LaidOut) for one in found.house.taken_as]
    return TakeOffView(
        job=job.number,
        title=job.title,
        materials=tuple(rows),
        goods=tuple(_goods(line, units) for line in goods.lines),
        taken_as=tuple(dict.fromkeys((*told, *goods.taken_as))),
    )


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
    if not material.is_sheet and way_of(material) is not Way.ROWS:
        try:
            return other_row(record, material, units=units, reserve=reserve, kept=kept)
        except Refused as refused:
            found = refused
    if material.is_sheet or not isinstance(found, LaidOut):
        need = take_off(job, material)
        fault = " ".join(found.sentences) if isinstance(found, Refused) else ""
        waste = waste_words(waste_of(material))
        how = roll_words(material, need) if material.is_sheet else f"by area and {waste}: {material.counted(need)}"
        return PlanksRow(
            material=material.name, kind=str(material.kind), area_ft2=area, planks=0, bound=0, proved=False, cartons=need,
            thumb=need, ordered=ordered, unit=material.unit, left_planks=0, fault=fault,
            sentence=f"{format_area(area, units)}: {how}{ordered_words(material, ordered, need)}.",
        )  # fmt: skip
    layout = found.layout
    cartons = cartons_of(job, material, layout.planks, reserve=reserve, kept=kept)
    return PlanksRow(
        material=material.name,
        kind=str(material.kind),
        area_ft2=area,
        planks=layout.planks,
        bound=layout.bound,
        proved=layout.status is Status.PROVED,
        cartons=cartons.cartons,
        thumb=cartons.thumb,
        ordered=ordered,
        unit=material.unit,
        left_planks=cartons.left,
        sentence=_sentence(material, found, cartons, ordered, units),
        fields=tuple(direction_words(job, found.house, number, units) for number in range(len(found.house.fields))),
        lots=tuple(_lots(record, material, found, cartons)),
    )


def _sentence(material: Material, found: LaidOut, cartons: Cartons, ordered: int, units: UnitSystem) -> str:
    stairs = f" and {counted(cartons.stairs, 'plank')} for stairs by area" if cartons.stairs else ""
    kept = f", {counted(cartons.kept, 'carton')} of them to stay in the house" if cartons.kept else ""
    return (
        f"{format_area(cartons.area_ft2, units)} take {counted(cartons.planks, 'plank')} as laid out{stairs}. "
        f"{sure_words(found.layout)} With {counted(cartons.reserve, 'plank')} in reserve, {cartons.per_carton} in a carton: "
        f"{counted(cartons.cartons, 'carton')}{kept}; area, {waste_words(waste_of(material))} and one carton would be {cartons.thumb}. "
        f"{counted(cartons.left, 'plank')} left over if none is spoilt{ordered_words(material, ordered, cartons.cartons)}."
    )


def _lots(record: JobRecord, material: Material, found: LaidOut, cartons: Cartons) -> Iterator[str]:
    """Say of each lot whether it alone carries the rooms: all planks, or which fields one by one."""
    runs = found.house.floor.problem.runs
    by_field = Counter({(runs[piece.run].field, piece.plank) for piece in found.layout.pieces})
    planks = Counter(field for field, _ in by_field)
    need = cartons.planks + cartons.stairs
    for lot in record.lots:
        if lot.material != material.name:
            continue
        there = lot.usable * cartons.per_carton
        if there >= need:
            spare = there - need
            yield f"lot {lot.name} alone carries all of it: {there} planks, {spare} more than are laid"
            continue
        names = [found.house.fields[n].field.name for n in range(len(found.house.fields)) if planks[n] <= there]
        rooms = f"; alone it carries {listed(names, most=6)}" if len(found.house.fields) > 1 and names else ""
        yield f"lot {lot.name} alone does not carry it: {there} planks of {need}{rooms}"


def _goods(line: Line, units: UnitSystem) -> GoodsRow:
    where = listed(list(line.places), most=8)
    unit = line.unit if line.count == 1 else f"{line.unit}s"
    as_usual = " as usual, the label decides" if line.usual and line.what in (What.PAD, What.ADHESIVE) else ""
    if line.sticks is not None:
        proved = "" if line.sticks.proved else " (fewer may do)"
        length = format_length(line.sticks.stick, units)
        sentence = f"{line.name}: {line.count} {unit} of {length} for {format_length(round(line.need), units)}{proved}: {where}"
    elif line.what is What.STAIR_NOSE:
        sentence = f"{line.name}: {counted(line.count, 'piece')}, one a step: {where}"
    else:
        cover = f"{format_area(line.cover, units)} a {line.unit}{as_usual}"
        sentence = f"{line.name}: {line.count} {unit} ({cover}) for {format_area(line.need, units)}: {where}"
    sticks = tuple(_sticks(line.sticks, units)) if line.sticks is not None else ()
    return GoodsRow(name=line.name, count=line.count, unit=line.unit, sentence=sentence, sticks=sticks)


def _sticks(sticks: Sticks, units: UnitSystem) -> Iterator[str]:
    for number, (pieces, left) in enumerate(zip(sticks.cut, sticks.left, strict=True), 1):
        names = [
            f"{format_length(piece.length, units)} {_wall_words(piece.stretch.room, piece.stretch.wall)}"
            + (f" ({piece.part} of {piece.of})" if piece.of > 1 else "")
            for piece in pieces
        ]
        yield f"stick {number}: {'; '.join(names)}; left {format_length(max(0, left), units)}"


def _wall_words(room: str, wall: int) -> str:
    return f"{room} wall {wall}" if wall else room
