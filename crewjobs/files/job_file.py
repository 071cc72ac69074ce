"""A job file: one job in TOML, written for people. `read_job` and `write_job` are each other's inverse.

Only the definition of a job is in it, no history; private entry notes are read but never written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any, Final

from cattrs import Converter

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.house import Covering, Layer, Opening, Piece, Room, Site, Stairs
from crewjobs.domain.job import HEAVIEST, Customer, Job, JobState, reference_faults
from crewjobs.domain.material import FloorKind, Material, OrderLine
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import zone_of
from crewjobs.files.faults import At, goods_label
from crewjobs.files.job_tables import (
    WORDS,
    MaterialTable,
    OrderTable,
    RoomTable,
    SectionTable,
    read_corners,
    read_fixtures,
    read_plank,
)
from crewjobs.files.job_text import part_text, write_job
from crewjobs.files.tables import converter, structured, table
from crewjobs.files.toml_text import parse_toml
from crewjobs.files.values import LINE, NOTES, nearest, read_length, read_text, read_whole, shown, with_limit

__all__ = ["read_job", "write_job"]

TAKEN: Final = frozenset({"house", "outside"})
"""Places of every job: tasks of the house as a whole, and what an opening may lead to."""

_RIGHT: Final = {
    "customer": "a table [customer] with the name of who pays",
    "site": "a table [site] with the address",
    "name": "its name in quotes",
    "address": 'where the floor is, such as address = "12 Mill Lane, Marrow Bend"',
    "zone": 'the time zone, such as zone = "America/Chicago"',
    "kind": f"the kind of floor: {', '.join(FloorKind)}",
    "plank": 'the size of one plank, such as plank = "7 in x 48 in"',
    "carton": 'what one carton covers, such as carton = "23.8 ft2"',
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
    made, line = converter(WORDS), with_limit(LINE)
    table(made, Layer, short="covering")
    table(made, Piece, short="name", name=with_limit(LINE, empty=False))
    table(made, SectionTable, name=with_limit(LINE, empty=False))
    table(made, _StagePart)
    table(made, Customer, name=with_limit(LINE, empty=False), phone=with_limit(LINE), mail=with_limit(LINE))
    _teach_site(made)
    table(made, Opening, between=_read_between, width=_read_width)
    table(made, Stairs, name=_read_place, floor=line)
    room = table(
        made,
        RoomTable,
        name=_read_place,
        floor=line,
        storey=lambda value, _: read_whole(value, -9, 99),
        fixtures=read_fixtures,
        corners=read_corners,
    )
    _teach(made, Room, room)
    _teach(made, Material, table(made, MaterialTable, name=with_limit(LINE, empty=False), plank=read_plank))
    order = table(
        made,
        OrderTable,
        material=line,
        supplier=line,
        place=line,
        cartons=lambda value, _: read_whole(value, 1),
        count=lambda value, _: read_whole(value, 1),
    )
    made.register_structure_hook_func(lambda kind: kind == Ordered, lambda value, _: order(value).value())
    job = table(
        made,
        _Job,
        number=lambda value, _: read_whole(value, 1),
        title=with_limit(LINE),
        weight=lambda value, _: read_whole(value, 1, HEAVIEST),
        stages=_stages_hook(made),
    )
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
        toilet_meanwhile=line,
        flights_up=lambda value, _: read_whole(value, 0, 100),
        drive_min=lambda value, _: read_whole(value, 0, 24 * 60),
        entry_notes=with_limit(NOTES, lines=True),
    )


Ordered = OrderLine | GoodsLine


@dataclass(frozen=True, slots=True, kw_only=True)
class _StagePart:
    room: str
    section: str = ""


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
    order: tuple[Ordered, ...] = ()

    def value(self) -> Job:
        if not self.room and not self.stairs:
            raise Refused("the job has no room and no stairs: add a [[room]] with name, length and width.")
        stages = self._stages()
        return Job(
            number=self.number,
            title=self.title if self.title.strip() else self.customer.name,
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
            orders=tuple(line for line in self.order if isinstance(line, OrderLine)),
            goods=tuple(line for line in self.order if isinstance(line, GoodsLine)),
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


def _read_width(value: object, _: object) -> int:
    return read_length(value)


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
        goods=[
            (goods_label(item["goods"], place), place)
            for item in tables("order")
            if isinstance(item.get("goods"), str)
            for place in [item.get("place", "")]
            if isinstance(place, str)
        ],
    )
