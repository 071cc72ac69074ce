"""A job file: one job in TOML, written for people. `read_job` and `write_job` are each other's inverse.

Only the definition of a job is in it, no history; private entry notes are read but never written.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, fields
from datetime import date
from functools import lru_cache
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.house import Covering, Opening, Room, Site, Stairs
from crewjobs.domain.job import (
    HEAVIEST,
    Customer,
    Job,
    JobState,
    early_promise,
    part_faults,
    reference_faults,
    stage_faults,
    wall_faults,
    wide_openings,
    wrong_callback,
)
from crewjobs.domain.layable import faults_of_laying
from crewjobs.domain.material import FloorKind, Material, OrderLine
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import zone_of
from crewjobs.domain.wording import listed
from crewjobs.domain.work import ExtraWork
from crewjobs.files.faults import Fault, Misread, goods_label
from crewjobs.files.job_keys import Ordered, job_converter, unit_faults
from crewjobs.files.job_tables import HOUSE
from crewjobs.files.job_text import write_job
from crewjobs.files.parts_named import Named, known_parts, led, staged, stages_hook, started, starts_hook
from crewjobs.files.tables import structured, table, times_of
from crewjobs.files.toml_text import parse_toml
from crewjobs.files.values import (
    LARGEST,
    LINE,
    with_limit,
    within,
)

__all__ = ["job_of_tables", "read_job", "write_job"]

_RIGHT: Final = {
    "customer": "a table [customer] with the name of who pays",
    "site": "a table [site] with the address",
    "name": "its name in quotes",
    "address": 'where the floor is, such as address = "12 Mill Lane, Marrow Bend"',
    "zone": 'the time zone, such as zone = "America/Chicago"',
    "kind": f"the kind of floor: {', '.join(FloorKind)}",
    "between": 'the two rooms it joins, such as between = ["hall", "bath"]',
    "width": 'the width, such as width = "32 in"',
    "steps": "how many steps, its risers counted, such as steps = 14",
    "covering": f"what lies there: {', '.join(Covering)}",
    "room": "the room's name",
    "section": "the section's name",
    "what": 'what is to be done, such as what = "swap the board that clicks"',
}


def read_job(text: str, source: str, zone: str | None = None) -> Job:
    """Return the job of a file; `number` is 0 where the file gives none.

    `source` names the file in sentences; `zone` is the shop's, for a site that names none.

    Raises:
        Refused: with one sentence for every fault of the file: file, place, key, and what would be right.
    """
    return job_of_tables(parse_toml(text, source), source, zone)


def job_of_tables(raw: dict[str, Any], source: str, zone: str | None = None) -> Job:
    """Return the job of a file's tables, wherever they come from: a file, or a form.

    Raises:
        Misread: with every fault, as `read_job`.
    """
    site = raw.get("site")
    if zone is not None and isinstance(site, dict) and "zone" not in site:
        site["zone"] = zone
    faults: list[Fault] = []
    try:
        job = structured(_reader(), raw, source, _zone_in(site), _RIGHT)
        if not any(unit_faults(raw)):
            return job
    except Misread as refused:
        faults += refused.faults
    faults += [Fault(words=fault, sentence=f"{source}: {fault}") for fault in _faults_between(raw, _zone_in(site))]
    raise Misread(faults)


def _zone_in(site: object) -> str:
    name = site.get("zone") if isinstance(site, dict) else None
    try:
        return zone_of(name).key if isinstance(name, str) else "UTC"
    except Refused:  # said at its own key; other times of the file are then only checked for their form
        return "UTC"


@lru_cache(maxsize=1)
def _reader() -> Callable[[object], Job]:
    made = job_converter()
    return table(
        made,
        _Job,
        finish=_Job.value,
        vital=[field.name for field in fields(_Job)],  # what can be said all the same, `_faults_between` says
        number=within(1, LARGEST),
        title=with_limit(LINE),
        weight=within(1, HEAVIEST),
        callback_of=within(1, LARGEST),
        stages=stages_hook(made),
        starts=starts_hook(made),
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
    callback_of: int | None = None
    blocked: frozenset[date] = frozenset()
    stages: tuple[tuple[Named, ...], ...] = ()
    starts: tuple[Named, ...] = ()
    customer: Customer
    site: Site
    room: tuple[Room, ...] = ()
    opening: tuple[Opening, ...] = ()
    stairs: tuple[Stairs, ...] = ()
    material: tuple[Material, ...] = ()
    order: tuple[Ordered, ...] = ()
    work: tuple[ExtraWork, ...] = ()

    def value(self) -> Job:
        if not self.room and not self.stairs:
            raise Refused("the job has no room and no stairs: add a [[room]] with name, length and width.")
        stages = staged(self.stages, self.room)
        job = Job(
            number=self.number,
            title=self.title if self.title.strip() else self.customer.name,
            customer=self.customer,
            site=self.site,
            state=self.state,
            wished=self.wished,
            promised=self.promised,
            weight=self.weight,
            callback_of=self.callback_of,
            blocked=self.blocked,
            rooms=self.room,
            openings=led(self.opening, self.room),
            stairs=self.stairs,
            materials=self.material,
            orders=tuple(line for line in self.order if isinstance(line, OrderLine)),
            goods=tuple(line for line in self.order if isinstance(line, GoodsLine)),
            work=self.work,
            stages=stages,
            starts=started(self.starts, self.room),
        )
        faults = [
            *_capitals_alone("room", [room.name for room in job.rooms]),
            *_capitals_alone("stairs", [flight.name for flight in job.stairs]),
            *_capitals_alone("material", [material.name for material in job.materials]),
            *faults_of_laying(job),
        ]
        if faults:
            raise Refused(faults)
        return job


def _faults_between(raw: Mapping[str, Any], zone: str) -> Iterator[str]:
    """Check what the tables of a file with other faults say of each other, as far as they can be read."""

    def tables(key: str) -> list[dict[str, Any]]:
        value = raw.get(key)
        return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []

    def named(key: str, name: str = "name") -> list[dict[str, Any]]:
        return [item for item in tables(key) if isinstance(item.get(name), str)]

    def floored(key: str) -> list[tuple[str, str | None]]:
        return [(item["name"], floor if isinstance(floor := item.get("floor"), str) else None) for item in named(key)]

    sections = [
        (room["name"], part["name"])
        for room in named("room")
        if isinstance(parts := room.get("sections"), list)
        for part in parts
        if isinstance(part, dict) and isinstance(part.get("name"), str) and part["name"]
    ]
    known = known_parts(sections)

    def end(value: object) -> str | None:
        name = value.get("room") if isinstance(value, dict) else value
        return known.get(name, (name, ""))[0] if isinstance(name, str) else None

    ends = [
        ([end(value) for value in pair], which if isinstance(which := item.get("which"), str) else "")
        for item in tables("opening")
        if isinstance(pair := item.get("between"), list)
    ]
    yield from reference_faults(
        rooms=floored("room"),
        sections=sections,
        stairs=floored("stairs"),
        openings=[
            ((pair[0], pair[1]), which)
            for pair, which in ends
            if len(pair) == 2 and pair[0] is not None and pair[1] is not None
        ],
        materials=[item["name"] for item in named("material")],
        orders=[item["material"] for item in named("order", "material")],
        goods=[
            (goods_label(item["goods"], place), place)
            for item in named("order", "goods")
            if isinstance(place := item.get("place", ""), str)
        ],
        work=[
            (item["what"], "" if where.strip().casefold() == HOUSE else where)
            for item in named("work", "what")
            if isinstance(where := item.get("where", HOUSE), str)
        ],
    )
    yield from _capitals_alone("room", [name for name, _ in floored("room")])
    yield from _capitals_alone("stairs", [name for name, _ in floored("stairs")])
    yield from _capitals_alone("material", [item["name"] for item in named("material")])
    yield from unit_faults(raw)
    with times_of(zone):
        yield from _faults_of_readable(raw, tables("room"), tables("opening"))


def _faults_of_readable(
    raw: Mapping[str, Any], rooms: Sequence[dict[str, Any]], openings: Sequence[dict[str, Any]]
) -> Iterator[str]:
    made = job_converter()

    def readable(kind: type[Any], values: Sequence[Any], *keys: str) -> list[Any]:
        found = []
        for value in values:
            if keys:
                value = {key: item for key, item in value.items() if key in keys}
            with suppress(ExceptionGroup, Refused):  # said where the table was read
                found.append(made.structure(value, kind))
        return found

    known = readable(Room, rooms, "name", "length", "width", "corners", "sections", "floor")
    opened = led(readable(Opening, openings, "between", "width", "walls", "offsets", "which"), known)
    yield from wide_openings(opened, known)
    if len(known) == len(rooms):
        yield from part_faults(opened, known)
        yield from wall_faults(opened, known)
    numbers = [raw.get(key, 0) for key in ("number", "callback_of")]
    if all(type(number) is int for number in numbers):
        yield from wrong_callback(numbers[0], numbers[1] or None)
    wished, promised = (readable(date, [raw[key]] if key in raw else []) for key in ("wished", "promised"))
    if wished and promised:
        yield from early_promise(wished[0], promised[0])
    if "stages" not in raw or len(known) < len(rooms):
        return
    with suppress(ExceptionGroup):
        try:
            stages = staged(stages_hook(made)(raw["stages"], None), known)
        except Refused as fault:
            yield from (f"key 'stages': {sentence}" for sentence in fault.sentences)
        else:
            yield from stage_faults(stages, known)


def _capitals_alone(what: str, names: Sequence[str]) -> Iterator[str]:
    """Yield a sentence for names that differ in their capitals alone: whoever types one of them is told of the other."""
    spelled: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        alike = unicodedata.normalize("NFKC", name).casefold()
        spelled.setdefault(" ".join(alike.split()), []).append(name)
    for same in spelled.values():
        if len(same) > 1:
            yield (
                f"{what} {listed([quoted(name) for name in same])} are one name (capitals, and how accents are written, do not matter): give each its own."
            )
