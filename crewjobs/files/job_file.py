"""A job file: one job in TOML, written for people. `read_job` and `write_job` are each other's inverse.

Only the definition of a job is in it, no history; private entry notes are read but never written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import lru_cache
from typing import Any, Final

from cattrs import Converter

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import (
    Covering,
    Fixture,
    FixtureKind,
    Layer,
    Opening,
    Outline,
    Piece,
    Point,
    Room,
    Site,
    Stairs,
    Subfloor,
    Transition,
    Trim,
)
from crewjobs.domain.job import Customer, Job, JobState, late_order, reference_faults
from crewjobs.domain.material import USUAL_ACCLIMATION_MIN, USUAL_METHOD, FloorKind, Material, Method, OrderLine
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import zone_of
from crewjobs.files.faults import At
from crewjobs.files.job_text import part_text, write_job
from crewjobs.files.tables import NONE, Area, Length, Wait, converter, current_zone, structured, table
from crewjobs.files.toml_text import parse_toml
from crewjobs.files.values import (
    LINE,
    NOTES,
    nearest,
    read_choice,
    read_length,
    read_text,
    read_whole,
    shown,
    with_limit,
)

__all__ = ["read_job", "write_job"]

_WORDS: Final[dict[type[StrEnum], dict[str, StrEnum]]] = {
    FixtureKind: {
        "fridge": FixtureKind.REFRIGERATOR,
        "vent": FixtureKind.FLOOR_VENT,
        "register": FixtureKind.FLOOR_VENT,
        "floor register": FixtureKind.FLOOR_VENT,
        "washing machine": FixtureKind.WASHER,
    },
    FloorKind: {
        "hardwood": FloorKind.SOLID_WOOD,
        "solid hardwood": FloorKind.SOLID_WOOD,
        "engineered hardwood": FloorKind.ENGINEERED_WOOD,
    },
    Method: {"glue down": Method.GLUED, "nail down": Method.NAILED, "click": Method.FLOATING},
    Subfloor: {"concrete": Subfloor.SLAB, "concrete slab": Subfloor.SLAB, "boards": Subfloor.PLANKS},
    Trim: {"keep base": Trim.REUSE_BASE, "new shoe": Trim.SHOE_ONLY},
    Covering: {"carpet and pad": Covering.CARPET, "linoleum": Covering.SHEET_VINYL, "vct": Covering.VINYL_TILE},
    Transition: {"tmold": Transition.T_MOLD, "t molding": Transition.T_MOLD, "none": Transition.CONTINUOUS},
    JobState: {"cancelled": JobState.CALLED_OFF, "canceled": JobState.CALLED_OFF},
}

_RIGHT: Final = {
    "customer": "a table [customer] with the name of who pays",
    "site": "a table [site] with the address",
    "name": "its name in quotes",
    "address": 'where the floor is, such as address = "12 Mill Lane, Marrow Bend"',
    "zone": 'the time zone, such as zone = "America/Chicago"',
    "kind": f"the kind of floor: {', '.join(FloorKind)}",
    "plank": 'the size of one plank, such as plank = "7 in x 48 in"',
    "carton": 'what one carton covers, such as carton = "23.8 ft2"',
    "cartons": "how many cartons, such as cartons = 14",
    "material": "the name of one of the job's materials",
    "between": 'the two rooms it joins, such as between = ["hall", "bath"]',
    "width": 'the width, such as width = "32 in"',
    "steps": "how many steps, such as steps = 13",
    "covering": f"what lies there: {', '.join(Covering)}",
    "room": "the room's name",
    "section": "the section's name",
}


def read_job(text: str, source: str, zone: str | None = None) -> Job:
    """Return the job of a file; `number` is 0 where the file gives none.

    `source` names the file in sentences; `zone` is the shop's, for a site that names none.

    Raises:
        Refused: with one sentence for every fault of the file: file, place, key, and what would be right.
    """
    raw = parse_toml(text, source)
    site = raw.get("site")
    if zone is not None and isinstance(site, dict) and "zone" not in site:
        site["zone"] = zone
    faults: list[str] = []
    try:
        return structured(_reader(), raw, source, _zone_in(site), _RIGHT)
    except Refused as refused:
        faults += refused.sentences
    faults += [f"{source}: {fault}" for fault in _reference_faults(raw)]
    raise Refused(list(dict.fromkeys(faults)))


def _zone_in(site: object) -> str:
    name = site.get("zone") if isinstance(site, dict) else None
    try:
        return zone_of(name).key if isinstance(name, str) else "UTC"
    except Refused:  # said at its own key; other times of the file are then only checked for their form
        return "UTC"


@lru_cache(maxsize=1)
def _reader() -> Callable[[object], Job]:
    made = converter(_WORDS)
    table(made, Layer, short="covering")
    table(made, Piece, short="name", name=with_limit(LINE, empty=False))
    table(made, _Section, name=with_limit(LINE, empty=False))
    table(made, _StagePart)
    table(made, Customer, name=with_limit(LINE, empty=False), phone=with_limit(LINE), mail=with_limit(LINE))
    _teach_site(made)
    table(made, Opening, between=_read_between, width=_read_width)
    table(made, Stairs, name=with_limit(LINE, empty=False))
    _teach(
        made,
        Room,
        table(made, _Room, name=with_limit(LINE, empty=False), fixtures=_read_fixtures, corners=_read_corners),
    )
    _teach(made, Material, table(made, _Material, name=with_limit(LINE, empty=False), plank=_read_plank))
    order = table(made, OrderLine, supplier=with_limit(LINE), cartons=lambda value, _: read_whole(value, 1))
    made.register_structure_hook(OrderLine, lambda value, _: _in_order(order(value)))
    job = table(made, _Job, title=with_limit(LINE), stages=_stages_hook(made))
    return lambda raw: job(raw).value()


def _teach(made: Converter, kind: type[Any], read: Any) -> None:
    made.register_structure_hook(kind, lambda value, _: read(value).value())


def _teach_site(made: Converter) -> None:
    line = with_limit(LINE)
    table(
        made,
        Site,
        address=with_limit(LINE, empty=False),
        zone=lambda value, _: zone_of(read_text(value)).key,
        grade=line,
        parking=line,
        pets=line,
        key_with=line,
        flights_up=lambda value, _: read_whole(value, 0, 100),
        drive_min=lambda value, _: read_whole(value, 0, 24 * 60),
        entry_notes=with_limit(NOTES, lines=True),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Section:
    name: str
    length: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _StagePart:
    room: str
    section: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """A room as its table spells it."""

    name: str
    length: Length | None = None
    width: Length | None = None
    corners: tuple[Point, ...] | None = None
    storey: int = 0
    layers: tuple[Layer, ...] = ()
    subfloor: Subfloor = Subfloor.PLYWOOD
    floor: str | None = None
    level: Area = NONE
    patch: Area = NONE
    plywood: bool = False
    pad: bool = False
    trim: Trim = Trim.REUSE_BASE
    painted_trim: bool = True
    fixtures: tuple[Fixture, ...] = ()
    furniture: tuple[Piece, ...] = ()
    sections: tuple[_Section, ...] = ()

    def value(self) -> Room:
        return Room(
            name=self.name,
            outline=self._outline(),
            storey=self.storey,
            layers=self.layers,
            subfloor=self.subfloor,
            floor=self.floor,
            level_ft2=self.level,
            patch_ft2=self.patch,
            add_plywood=self.plywood,
            pad=self.pad,
            trim=self.trim,
            painted_trim=self.painted_trim,
            fixtures=self.fixtures,
            furniture=self.furniture,
            cuts=tuple(self._cuts()),
        )

    def _outline(self) -> Outline:
        if self.corners is not None:
            if self.length is not None or self.width is not None:
                raise At("corners", "the room has length or width too: give one or the other.")
            try:
                return Outline(corners=self.corners)
            except Refused as fault:
                raise At("corners", fault) from None
        if self.length is None or self.width is None:
            key = "length" if self.length is None else "width"
            raise At(key, "missing; a room has length and width, or corners.")
        for key, size in (("length", self.length), ("width", self.width)):
            if size == 0:
                raise At(key, "it must be more than zero.")
        return Outline.rectangle(self.length, self.width)

    def _cuts(self) -> Iterator[tuple[str, int]]:
        if not self.sections:
            return
        if self.length is None:
            raise At("sections", "sections by length need a room given as length and width.")
        rest: int = self.length
        for number, section in enumerate(self.sections, start=1):
            length: int
            if section.length is not None:
                length = section.length
            elif number == len(self.sections):
                length = rest
            else:
                raise At("sections", f"section {quoted(section.name)} needs its length: only the last takes the rest.")
            rest -= length
            if length <= 0:
                raise At(
                    "sections", f"section {quoted(section.name)} gets nothing: the ones before it take the whole room."
                )
            yield section.name, length


@dataclass(frozen=True, slots=True, kw_only=True)
class _Material:
    """A material as its table spells it; method and acclimation by kind where they are left out."""

    name: str
    kind: FloorKind
    plank: tuple[int, int]
    carton: Area
    method: Method | None = None
    acclimation: Wait | None = None
    carton_lb: float | None = None

    def value(self) -> Material:
        return Material(
            name=self.name,
            kind=self.kind,
            method=self.method or USUAL_METHOD[self.kind],
            plank_width=self.plank[0],
            plank_length=self.plank[1],
            carton_ft2=self.carton,
            acclimation_min=USUAL_ACCLIMATION_MIN[self.kind] if self.acclimation is None else self.acclimation,
            carton_lb=self.carton_lb,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """A job as its file spells it."""

    number: int = 0
    title: str = ""
    state: JobState = JobState.BOOKED
    wished: date | None = None
    promised: date | None = None
    weight: int = 1
    blocked: frozenset[date] = frozenset()
    stages: tuple[tuple[str | _StagePart, ...], ...] = ()
    customer: Customer
    site: Site
    room: tuple[Room, ...] = ()
    opening: tuple[Opening, ...] = ()
    stairs: tuple[Stairs, ...] = ()
    material: tuple[Material, ...] = ()
    order: tuple[OrderLine, ...] = ()

    def value(self) -> Job:
        if not self.room and not self.stairs:
            raise Refused("the job has no room and no stairs: add a [[room]] with name, length and width.")
        stages = self._stages()
        return Job(
            number=self.number,
            title=self.title or self.customer.name,
            customer=self.customer,
            site=self.site,
            state=self.state,
            wished=self.wished,
            promised=self.promised,
            weight=self.weight,
            blocked=self.blocked,
            rooms=self.room,
            openings=self.opening,
            stairs=self.stairs,
            materials=self.material,
            orders=self.order,
            stages=stages,
        )

    def _stages(self) -> tuple[tuple[tuple[str, str], ...], ...]:
        known = {
            part_text(room.name, part.name): (room.name, part.name) for room in self.room for part in room.sections
        }
        faults: list[str] = []
        stages: list[tuple[tuple[str, str], ...]] = []
        for stage in self.stages:
            found: list[tuple[str, str]] = []
            for part in stage:
                if isinstance(part, _StagePart):
                    found.append((part.room, part.section))
                elif part in known:
                    found.append(known[part])
                else:
                    near = nearest(part, list(known))
                    hint = f"did you mean {quoted(near)}?" if near else f"there are {', '.join(map(quoted, known))}."
                    faults.append(f"{quoted(part)} is no section of this job; {hint}")
            stages.append(tuple(found))
        if faults:
            raise At("stages", Refused(faults))
        return tuple(stages)


def _in_order(order: OrderLine) -> OrderLine:
    fault = late_order(order, current_zone())
    if fault:
        raise Refused(fault)
    return order


def _read_between(value: object, _: object) -> tuple[str, str]:
    if not isinstance(value, list) or len(value) != 2:
        raise Refused(
            f'{shown(value)} does not name two rooms: write between = ["hall", "bath"] or ["hall", "outside"].'
        )
    return read_text(value[0], LINE, empty=False), read_text(value[1], LINE, empty=False)


def _read_width(value: object, _: object) -> int:
    return read_length(value)


def _read_plank(value: object, _: object) -> tuple[int, int]:
    text = read_text(value)
    for sign in ("×", " by ", "x", "X"):
        if text.count(sign) == 1:
            width, length = text.split(sign)
            return read_length(width), read_length(length)
    raise Refused(f'{quoted(text)} is not the size of a plank: write width x length, such as "7 in x 48 in".')


def _read_corners(value: object, _: object) -> tuple[Point, ...]:
    if not isinstance(value, list) or not all(isinstance(corner, list) and len(corner) == 2 for corner in value):
        raise Refused('corners are a list of pairs, such as [["0", "0"], ["12\'", "0"], ["12\'", "9\' 6"]].')
    if len(value) > 200:
        raise Refused(f"{len(value)} corners: 200 are the most.")
    return tuple((_read_coordinate(x), _read_coordinate(y)) for x, y in value)


def _read_coordinate(value: object) -> int:
    if value == 0 or (isinstance(value, str) and value.strip() == "0"):
        return 0
    if isinstance(value, str) and value.strip().startswith(("-", "−")):
        raise Refused(f"{quoted(value)} is negative: measure every corner from one outer corner of the room.")
    return read_length(value)


def _read_fixtures(value: object, _: object) -> tuple[Fixture, ...]:
    if not isinstance(value, dict):
        raise Refused(f'{shown(value)} is not a table of fixtures: write {{ toilet = 1, "floor vent" = 2 }}.')
    fixtures: list[Fixture] = []
    faults: list[str] = []
    for name, count in value.items():
        try:
            kind = read_choice(name, FixtureKind, _WORDS[FixtureKind])
            fixtures.append(Fixture(kind=kind, count=read_whole(count, 1, 200)))
        except Refused as fault:
            faults += [
                f"{quoted(name)}: {sentence}" if name not in sentence else sentence for sentence in fault.sentences
            ]
    if faults:
        raise Refused(faults)
    return tuple(fixtures)


def _stages_hook(made: Converter) -> Any:
    def read(value: object, _: object) -> tuple[tuple[str | _StagePart, ...], ...]:
        if not isinstance(value, list) or not all(isinstance(stage, list) for stage in value):
            raise Refused(
                'stages are lists of rooms and sections, such as [["living: window half"], ["hall", "bath"]].'
            )
        return tuple(
            tuple(
                made.structure(part, _StagePart) if isinstance(part, dict) else read_text(part, 2 * LINE + 2)
                for part in stage
            )
            for stage in value
        )

    return read


def _reference_faults(raw: Mapping[str, Any]) -> Iterator[str]:
    """Check the names of a file that has other faults, as far as they can be read."""

    def tables(key: str) -> list[dict[str, Any]]:
        value = raw.get(key)
        return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []

    def floored(key: str) -> list[tuple[str, str | None]]:
        return [
            (item["name"], floor if isinstance(floor := item.get("floor"), str) else None)
            for item in tables(key)
            if isinstance(item.get("name"), str)
        ]

    pairs = [item.get("between") for item in tables("opening")]
    return reference_faults(
        rooms=floored("room"),
        stairs=floored("stairs"),
        openings=[
            (pair[0], pair[1])
            for pair in pairs
            if isinstance(pair, list) and len(pair) == 2 and all(isinstance(end, str) for end in pair)
        ],
        materials=[item["name"] for item in tables("material") if isinstance(item.get("name"), str)],
        orders=[item["material"] for item in tables("order") if isinstance(item.get("material"), str)],
    )
