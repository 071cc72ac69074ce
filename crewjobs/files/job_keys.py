"""How each key of a job file is read: one converter for all its tables, and the stages, which name what others define."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from cattrs import Converter

from crewjobs.domain.bounds import (
    LONGEST_DRIVE_MIN,
    MOST_ALIKE,
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
from crewjobs.domain.house import YEARS, Layer, Opening, Piece, Room, Site, Stairs
from crewjobs.domain.job import Customer
from crewjobs.domain.material import SHEET_GOODS, FloorKind, Material, OrderLine
from crewjobs.domain.units import exact_length, quoted
from crewjobs.domain.wall import zone_of
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork
from crewjobs.files.faults import At
from crewjobs.files.job_tables import (
    HOUSE,
    WORDS,
    MaterialTable,
    OrderTable,
    RoomTable,
    SectionTable,
    WorkTable,
    read_corners,
    read_fixtures,
    read_plank,
)
from crewjobs.files.job_text import part_text
from crewjobs.files.tables import converter, table
from crewjobs.files.values import (
    LINE,
    NOTES,
    nearest,
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


@dataclass(frozen=True, slots=True, kw_only=True)
class StagePart:
    """A section of a stage, spelled as a table."""

    room: str
    section: str = ""


@lru_cache(maxsize=1)
def job_converter() -> Converter:
    """Return what reads the tables of a job file, each with its own checks."""
    made, line, name = converter(WORDS), with_limit(LINE), with_limit(LINE, empty=False)
    table(made, Layer, short="covering", year=_read_year)
    table(made, Piece, short="name", name=name, count=within(1, MOST_ALIKE), people=within(1, MOST_PEOPLE))
    table(made, SectionTable, name=name)
    table(made, StagePart)
    table(made, Customer, name=name, phone=line, mail=line)
    _teach_site(made)
    table(made, Opening, stand_in={"width": "1 in"}, between=_read_between, width=_read_width)
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
    )
    _teach_rooms(made)
    _teach_material(made)
    _teach_orders(made)
    _teach_work(made)
    return made


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
            "roll": "1 ft",
        },
        vital=["kind"],  # planks or a roll, and which methods there are, hang on it
        name=with_limit(LINE, empty=False),
        plank=read_plank,
        carton_lb=lambda value, _: read_number(value, MOST_CARTON_LB),
    )
    made.register_structure_hook(Material, lambda value, _: material(value))


def _teach_orders(made: Converter) -> None:
    line = with_limit(LINE)
    order = table(
        made,
        OrderTable,
        finish=OrderTable.value,
        stand_in={"material": "?", "cartons": 1, "feet": 1, "goods": Goods.PAD, "count": 1},
        material=line,
        supplier=line,
        place=line,
        cartons=within(1, MOST_CARTONS),
        feet=within(1, MOST_CARTONS),
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
        if not isinstance(name, str) or name not in sheet or ("cartons" in item and "feet" in item):
            continue
        where = f"order of {quoted(name)}"
        if sheet[name] and "cartons" in item:
            yield f"{where}, key 'cartons': it comes off a roll: write running feet, such as feet = 27."
        elif not sheet[name] and "feet" in item:
            yield f"{where}, key 'feet': it comes in cartons: write how many, such as cartons = 14."


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
        drive_min=within(0, LONGEST_DRIVE_MIN),
        entry_notes=with_limit(NOTES, lines=True),
    )


def staged(
    stages: Sequence[Sequence[str | StagePart]], rooms: Sequence[Room]
) -> tuple[tuple[tuple[str, str], ...], ...]:
    """Return the stages with each part as room and section; it may be spelled as the place is.

    Raises:
        Refused: with every part that no room has.
    """
    known = {part_text(room.name, part.name): (room.name, part.name) for room in rooms for part in room.sections}
    faults: list[str] = []
    found: list[tuple[tuple[str, str], ...]] = []
    for stage in stages:
        parts: list[tuple[str, str]] = []
        for part in stage:
            if isinstance(part, StagePart):
                parts.append((part.room, part.section))
            elif part in known:
                parts.append(known[part])
            else:
                near = nearest(part, list(known))
                hint = f"did you mean {quoted(near)}?" if near else f"there are {', '.join(map(quoted, known))}."
                faults.append(f"{quoted(part)} is no section of this job; {hint}")
        found.append(tuple(parts))
    if faults:
        raise At("stages", Refused(faults))
    return tuple(found)


def _read_place(value: object, _: object) -> str:
    name = read_text(value, LINE, empty=False)
    if name.strip().casefold() in TAKEN:
        raise Refused(f"{quoted(name)} stands for the whole house or what is outside it: give another name.")
    return name


def _read_between(value: object, _: object) -> tuple[str, str]:
    if not isinstance(value, list) or len(value) != 2:
        raise Refused(
            f'{shown(value)} does not name two rooms: write between = ["hall", "bath"] or ["hall", "outside"].'
        )
    return read_text(value[0], LINE, empty=False), read_text(value[1], LINE, empty=False)


def _read_year(value: object, _: object) -> int:
    return read_whole(value, YEARS[0], YEARS[-1])


def _read_width(value: object, _: object) -> int:
    width = read_length(value)
    if not 0 < width <= WIDEST_OPENING:
        raise Refused(
            f"{shown(value)} is no width of an opening: more than zero, {exact_length(WIDEST_OPENING)} at most."
        )
    return width


def stages_hook(made: Converter) -> Any:
    """Return the reader of the key `stages`."""

    def read(value: object, _: object) -> tuple[tuple[str | StagePart, ...], ...]:
        if not isinstance(value, list) or not all(isinstance(stage, list) for stage in value):
            raise Refused(
                'stages are lists of rooms and sections, such as [["living: window half"], ["hall", "bath"]].'
            )
        return tuple(
            tuple(
                made.structure(part, StagePart) if isinstance(part, dict) else read_text(part, 2 * LINE + 2)
                for part in stage
            )
            for stage in value
        )

    return read
