"""How each key of a job file is read: one converter for all its tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from functools import lru_cache
from typing import Any, Final

from cattrs import Converter

from crewjobs.domain.bounds import (
    HEAVIEST_PIECE_LB,
    LONGEST_DRIVE_MIN,
    MOST_ALIKE,
    MOST_BEDS,
    MOST_CARTON_FT2,
    MOST_CARTON_LB,
    MOST_CARTONS,
    MOST_FLIGHTS_UP,
    MOST_GOODS,
    MOST_PEOPLE,
    MOST_STEPS,
    STOREYS,
    WIDEST_OPENING,
)
from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import Goods, GoodsLine
from crewjobs.domain.house import YEARS, Layer, Opening, Room, Site, Stairs
from crewjobs.domain.job import Customer
from crewjobs.domain.layout import CutOut, Obstacle
from crewjobs.domain.material import SHEET_GOODS, FloorKind, Material, OrderLine
from crewjobs.domain.species import SPECIES, Cut
from crewjobs.domain.units import FOOT, MILLIMETRE, exact_length, quoted
from crewjobs.domain.wall import zone_of
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork
from crewjobs.files.air_table import read_percents, read_temperatures
from crewjobs.files.furniture_table import PieceTable, read_piece_size
from crewjobs.files.job_tables import (
    HOUSE,
    MOST_CORNERS,
    WORDS,
    MaterialTable,
    OrderTable,
    RoomTable,
    SectionTable,
    WorkTable,
    read_corners,
    read_fixtures,
)
from crewjobs.files.layout_table import ObstacleTable, read_extent, read_flange, read_offsets, read_point, read_space
from crewjobs.files.parts_named import OpeningTable, StagePart, read_between, read_walls
from crewjobs.files.pattern_table import read_lengths, read_plank
from crewjobs.files.tables import converter, table
from crewjobs.files.values import (
    LINE,
    NOTES,
    read_any_whole,
    read_choice,
    read_length,
    read_number,
    read_text,
    read_whole,
    shown,
    with_limit,
    within,
)

TAKEN: Final = frozenset({HOUSE, "outside"})
"""Places of every job: tasks of the house as a whole, and what an opening may lead to."""
Ordered = OrderLine | GoodsLine


@lru_cache(maxsize=1)
def job_converter() -> Converter:
    """Return what reads the tables of a job file, each with its own checks."""
    made, line, name = converter(WORDS), with_limit(LINE), with_limit(LINE, empty=False)
    table(made, Layer, short="covering", year=_read_year, thickness=lambda value, _: read_length(value))
    table(
        made,
        PieceTable,
        short="name",
        name=name,
        usual=name,
        count=within(1, MOST_ALIKE),
        people=within(1, MOST_PEOPLE),
        size=read_piece_size,
        lb=lambda value, _: read_number(value, HEAVIEST_PIECE_LB),
        section=line,
    )
    table(made, SectionTable, name=name)
    table(made, StagePart)
    table(made, Customer, name=name, phone=line, mail=line)
    _teach_site(made)
    table(
        made,
        OpeningTable,
        finish=OpeningTable.value,
        stand_in={"width": "1 in"},
        between=lambda value, _: read_between(made, value),
        width=_read_width,
        steps=within(0, MOST_STEPS),
        walls=read_walls,
        offsets=read_offsets,
        which=line,
        gap=read_space,
    )
    made.register_structure_hook(Opening, lambda value, _: made.structure(value, OpeningTable))
    table(
        made,
        Stairs,
        stand_in={"name": "?"},
        vital=["steps"],
        name=_read_place,
        floor=line,
        steps=within(1, MOST_STEPS),
        flights=lambda value, _: read_any_whole(value),
        open_ends=lambda value, _: read_any_whole(value),
        width=lambda value, _: read_length(value),
    )
    _teach_layouts(made)
    _teach_rooms(made)
    _teach_material(made)
    _teach_orders(made)
    _teach_work(made)
    return made


def _teach_layouts(made: Converter) -> None:
    name = with_limit(LINE, empty=False)
    obstacle = table(
        made,
        ObstacleTable,
        finish=ObstacleTable.value,
        stand_in={"name": "?"},
        name=name,
        at=read_point,
        size=read_extent,
        corners=read_corners,
    )
    made.register_structure_hook(Obstacle, lambda value, _: obstacle(value))
    table(made, CutOut, what=name, at=read_point, size=read_extent)


def _teach_rooms(made: Converter) -> None:
    room = table(
        made,
        RoomTable,
        finish=RoomTable.value,
        stand_in={"name": "?"},
        vital=["length", "width", "corners"],
        name=_read_place,
        floor=with_limit(LINE),
        storey=within(STOREYS[0], STOREYS[-1]),
        fixtures=read_fixtures,
        corners=read_corners,
        start_wall=within(1, MOST_CORNERS),
        window_wall=within(1, MOST_CORNERS),
        flange=read_flange,
    )
    made.register_structure_hook(Room, lambda value, _: room(value))


def _teach_material(made: Converter) -> None:
    material = table(
        made,
        MaterialTable,
        finish=MaterialTable.value,
        stand_in={
            "name": "?",
            "plank": "1 mm x 1 mm",
            "carton": f"{MOST_CARTON_FT2} ft2",
            "roll": "12 ft",
        },
        vital=["kind", "pattern", "lengths"],  # what other keys mean hangs on them
        name=with_limit(LINE, empty=False),
        plank=read_plank,
        lengths=read_lengths,
        gap=read_space,
        joint=read_space,
        planks=within(1, MOST_ALIKE),
        temperature=read_temperatures,
        humidity=read_percents,
        species=_read_species,
        cut=_read_cut,
        carton_lb=lambda value, _: read_number(value, MOST_CARTON_LB),
        slab_rh=lambda value, _: read_number(value, 100),
    )
    made.register_structure_hook(Material, lambda value, _: material(value))


def _teach_orders(made: Converter) -> None:
    line = with_limit(LINE)
    order = table(
        made,
        OrderTable,
        finish=OrderTable.value,
        stand_in={"material": "?", "cartons": 1, "feet": 1, "metres": 1.0, "goods": Goods.PAD, "count": 1},
        material=line,
        supplier=line,
        place=line,
        cartons=within(1, MOST_CARTONS),
        feet=within(1, MOST_CARTONS),
        metres=lambda value, _: read_number(value, MOST_CARTONS * FOOT / (1000 * MILLIMETRE)),
        count=within(1, MOST_GOODS),
    )
    made.register_structure_hook_func(lambda kind: kind == Ordered, lambda value, _: order(value))


def unit_faults(raw: Mapping[str, Any]) -> Iterator[str]:
    """Yield a sentence for every order line of a file that counts its material in what it does not come in."""
    sheet: dict[str, bool] = {}
    for item in _tables(raw, "material"):
        if isinstance(name := item.get("name"), str):
            with suppress(Refused):  # said where the table was read
                sheet[name] = read_choice(item.get("kind"), FloorKind, WORDS[FloorKind]) in SHEET_GOODS
    for item in _tables(raw, "order"):
        name = item.get("material")
        if (
            not isinstance(name, str)
            or name not in sheet
            or sum(key in item for key in ("cartons", "feet", "metres")) > 1
        ):
            continue
        where = f"order of {quoted(name)}"
        if sheet[name] and "cartons" in item:
            yield f"{where}, key 'cartons': it comes off a roll: write running feet, such as feet = 27, or metres = 8.3."
        elif not sheet[name] and (key := next((one for one in ("feet", "metres") if one in item), "")):
            yield f"{where}, key '{key}': it comes in cartons: write how many, such as cartons = 14."


def _tables(raw: Mapping[str, Any], key: str) -> list[dict[str, Any]]:
    value = raw.get(key)
    return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []


def _teach_work(made: Converter) -> None:
    work = table(
        made,
        WorkTable,
        finish=WorkTable.value,
        stand_in={"what": "?", "hours": 1, "minutes": 60},
        what=with_limit(LINE, empty=False),
        where=with_limit(LINE, empty=False),
        hours=_read_hours,
        minutes=within(1, MOST_WORK_MIN),
        people=within(1, MOST_PEOPLE),
        needs=with_limit(LINE),
    )
    made.register_structure_hook(ExtraWork, lambda value, _: work(value))


def _read_hours(value: object, _: object) -> float:
    hours = read_number(value, MOST_WORK_MIN / 60)
    if not round(hours * 60):
        raise Refused(f"{shown(value)} is no time to work: more than 0 hours, {MOST_WORK_MIN // 60} at most.")
    return hours


def _teach_site(made: Converter) -> None:
    line = with_limit(LINE)
    table(
        made,
        Site,
        stand_in={"address": "?", "zone": "UTC"},
        address=with_limit(LINE, empty=False),
        zone=lambda value, _: zone_of(read_text(value)).key,
        year_built=_read_year,
        grade=line,
        parking=line,
        pets=line,
        key_with=line,
        toilet_meanwhile=line,
        flights_up=within(0, MOST_FLIGHTS_UP),
        beds=within(0, MOST_BEDS),
        drive_min=within(0, LONGEST_DRIVE_MIN),
        entry_notes=with_limit(NOTES, lines=True),
    )


def _read_place(value: object, _: object) -> str:
    name = read_text(value, LINE, empty=False)
    if name.strip().casefold() in TAKEN:
        raise Refused(f"{quoted(name)} stands for the whole house or what is outside it: give another name.")
    return name


def _read_species(value: object, _: object) -> str:
    """Return a species of which a table says how it moves."""
    return _one_of(value, SPECIES, "is no species of the table of movement: one of")


def _read_cut(value: object, _: object) -> str:
    """Return how boards were sawn."""
    return _one_of(value, tuple(Cut), "is no cut of a board: one of")


def _one_of(value: object, known: Iterable[str], fault: str) -> str:
    name = value.strip().casefold() if isinstance(value, str) else ""
    if name not in known:
        raise Refused(f"{shown(value)} {fault} {', '.join(known)}.")
    return name


def _read_year(value: object, _: object) -> int:
    return read_whole(value, YEARS[0], YEARS[-1])


def _read_width(value: object, _: object) -> int:
    width = read_length(value)
    if not 0 < width <= WIDEST_OPENING:
        raise Refused(
            f"{shown(value)} is no width of an opening: more than zero, {exact_length(WIDEST_OPENING)} at most."
        )
    return width
