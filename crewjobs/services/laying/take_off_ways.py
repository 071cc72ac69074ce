"""What floors take that are no rows of equal planks: boards of random lengths by cover, tiles and herringbones by the piece."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import UnitSystem, format_area, format_cut
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.estimating.waste import waste_of
from crewjobs.engines.take_off.herringbone import herringbone_floor
from crewjobs.engines.take_off.mixed import CartonsByCover, MixedFloor, cartons_by_cover, mixed_floor
from crewjobs.engines.take_off.planks import Cartons, cartons_of
from crewjobs.engines.take_off.tiled import tiled_floor
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.services.laying.layout_rows import BoardsRow, PlanksRow
from crewjobs.services.laying.layout_view import direction_words
from crewjobs.services.laying.lots_carried import piece_lot_words
from crewjobs.services.laying.pattern_words import herringbone_direction, off_shares, tile_direction, waste_words
from crewjobs.services.wording import ordered_words, step_words


def other_row(
    record: JobRecord, material: Material, *, units: UnitSystem, reserve: float | None, kept: int
) -> PlanksRow:
    """Return what a material takes that is not laid in rows of equal planks.

    Raises:
        Refused: rooms or rules that cannot be laid.
    """
    way = way_of(material)
    if way is Way.RANDOM_LENGTHS:
        return _mixed(record, material, units, reserve, kept)
    return (
        _tiles(record, material, units, reserve, kept)
        if way is Way.TILES
        else _herringbone(record, material, units, reserve, kept)
    )


def _tiles(record: JobRecord, material: Material, units: UnitSystem, reserve: float | None, kept: int) -> PlanksRow:
    floor = tiled_floor(record.job, material)
    cartons = cartons_of(record.job, material, floor.tiles, reserve=reserve, kept=kept)
    cut, shared = (sum(getattr(one.layout, name) for one in floor.fields) for name in ("cut", "shared"))
    how = (
        f"{counted(floor.tiles, 'tile')} as set out: {floor.tiles - shared} whole, {cut} cut pieces out of {shared}, two from one where "
        f"they fit ({floor.apart} if every piece takes a tile of its own)"
    )
    fields = tuple(tile_direction(record.job, floor, one, units) for one in floor.fields)
    counts = {one.house.field.name: one.layout.whole + one.layout.shared for one in floor.fields}
    return _by_piece(record, material, cartons, how, fields, "tile", counts, units)


def _herringbone(
    record: JobRecord, material: Material, units: UnitSystem, reserve: float | None, kept: int
) -> PlanksRow:
    floor = herringbone_floor(record.job, material)
    cartons = cartons_of(record.job, material, floor.planks, reserve=reserve, kept=kept)
    cut = sum(one.layout.cut for one in floor.fields)
    how = (
        f"{counted(floor.planks, 'plank')} in a herringbone: {floor.planks - cut} whole and {cut} cut, each of these from a plank of "
        "its own (fewer may do)"
    )
    fields = tuple(herringbone_direction(record.job, floor, one, units) for one in floor.fields)
    counts = {one.house.field.name: one.layout.planks for one in floor.fields}
    return _by_piece(record, material, cartons, how, fields, "plank", counts, units)


def _by_piece(
    record: JobRecord,
    material: Material,
    cartons: Cartons,
    how: str,
    fields: tuple[str, ...],
    one: str,
    counts: Mapping[str, int],
    units: UnitSystem,
) -> PlanksRow:
    ordered = _ordered(record, material)
    stairs = (
        f", and {counted(cartons.stairs, one)} for stairs by area ({step_words(record.job, material, units)} and a tenth)"
        if cartons.stairs
        else ""
    )
    keeps = f", {counted(cartons.kept, 'carton')} of them to stay in the house" if cartons.kept else ""
    return PlanksRow(
        material=material.name, kind=str(material.kind), area_ft2=cartons.area_ft2, planks=cartons.planks, bound=0,
        proved=False, cartons=cartons.cartons, thumb=cartons.thumb, ordered=ordered, unit=material.unit,
        left_planks=cartons.left, per_carton=cartons.per_carton, fields=fields, way=str(way_of(material)),
        sentence=(
            f"{format_area(cartons.area_ft2, units)} take {how}{stairs}. With {counted(cartons.reserve, one)} in reserve, "
            f"{cartons.per_carton} in a carton: {counted(cartons.cartons, 'carton')}{keeps}; area, {waste_words(waste_of(material))} "
            f"and one carton would be {cartons.thumb}. {counted(cartons.left, one)} left over if none is "
            f"spoilt{ordered_words(record.job, material, cartons.cartons)}."
        ),
        lots=tuple(piece_lot_words(record, material, counts, cartons, one)), piece=one,
    )  # fmt: skip


def _mixed(record: JobRecord, material: Material, units: UnitSystem, reserve: float | None, kept: int) -> PlanksRow:
    floor = mixed_floor(record.job, material)
    cartons = cartons_by_cover(record.job, material, floor.layout, reserve=reserve, kept=kept)
    ordered, layout = _ordered(record, material), floor.layout
    return PlanksRow(
        material=material.name, kind=str(material.kind), area_ft2=cartons.area_ft2, planks=sum(layout.boards.values()), bound=0,
        proved=False, cartons=cartons.cartons, thumb=cartons.thumb, ordered=ordered, unit=material.unit, left_planks=0,
        way=str(Way.RANDOM_LENGTHS), left=(f"about {format_area(cartons.left_ft2, units)} of boards",),
        fields=tuple(direction_words(record.job, floor.house, number, units) for number in range(len(floor.house.fields))),
        boards=tuple(BoardsRow(length=format_cut(length, units), count=count) for length, count in sorted(layout.boards.items())),
        sentence=_mixed_words(record, material, floor, cartons, units),
        lots=tuple(_lots(record, material, cartons.boards_ft2 + cartons.stairs_ft2, material.carton_ft2, units)),
    )  # fmt: skip


def _mixed_words(
    record: JobRecord, material: Material, floor: MixedFloor, cartons: CartonsByCover, units: UnitSystem
) -> str:
    layout = floor.layout
    boards = listed(
        [f"{count} of {format_cut(length, units)}" for length, count in sorted(layout.boards.items())], most=40
    )
    stairs = f", and {format_area(cartons.stairs_ft2, units)} for stairs by area" if cartons.stairs_ft2 else ""
    keeps = f", {counted(cartons.kept, 'carton')} of them to stay in the house" if cartons.kept else ""
    return (
        f"{format_area(cartons.area_ft2, units)} take {counted(sum(layout.boards.values()), 'board')} as racked ({boards}), "
        f"{format_area(cartons.boards_ft2, units)}{stairs}. This is an estimate by the shares given: what is in the cartons decides. With "
        f"{format_area(cartons.reserve_ft2, units)} in reserve, {format_area(cartons.carton_ft2, units)} a carton: "
        f"{counted(cartons.cartons, 'carton')}{keeps}; area, {waste_words(waste_of(material))} and one carton would be {cartons.thumb}. "
        f"About {format_area(cartons.left_ft2, units)} left over if none is spoilt{ordered_words(record.job, material, cartons.cartons)}."
        + "".join(f" {sentence}" for sentence in off_shares(material, layout, units))
    )


def _ordered(record: JobRecord, material: Material) -> int:
    return sum(order.cartons for order in record.job.orders if order.material == material.name)


def _lots(record: JobRecord, material: Material, need: float, a_carton: float, units: UnitSystem) -> Iterator[str]:
    """Say of each lot whether it alone carries all rooms: `need` and what is in a carton are ft²."""
    unit = "m²" if units == "metric" else "ft²"
    for lot in record.lots:
        if lot.material == material.name:
            there = lot.usable * a_carton
            if there >= need:
                yield f"lot {lot.name} alone carries all of it: {_bare(there, units)} {unit}, {_bare(there - need, units)} more than are laid"
            else:
                yield f"lot {lot.name} alone does not carry it: {_bare(there, units)} {unit} of {_bare(need, units)}"


def _bare(area_ft2: float, units: UnitSystem) -> str:
    """Return an area without its unit."""
    return format_area(area_ft2, units).partition(" ")[0] if units == "metric" else f"{area_ft2:.0f}"
