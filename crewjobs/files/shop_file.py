"""A shop file: the shop, its crews, and what it changes in the task templates. `read_shop` and `write_shop` are inverse."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

from crewjobs.domain.crew import PAPERS, Crew, Shop, Skill, Worker
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import UNIT_SYSTEMS, UnitSystem
from crewjobs.domain.wall import WeekHours, zone_of
from crewjobs.files.hours import hours_table
from crewjobs.files.tables import converter, structured, table
from crewjobs.files.toml_text import document, listed, parse_toml
from crewjobs.files.values import LINE, read_text, shown, with_limit

_RIGHT: Final = {
    "shop": "a table [shop] with name, zone and hours",
    "name": "its name in quotes",
    "zone": 'the time zone, such as zone = "America/Chicago"',
    "hours": 'the usual hours, such as hours = { mon-fri = "7:00-12:00, 12:30-15:30" }',
    "workers": 'its people, the lead first, such as workers = ["Ines Varga", "Tobiah Lund"]',
    "lays": f"what it lays and takes up: {', '.join(Skill)}",
}


def read_shop(text: str, source: str) -> Shop:
    """Return the shop of a file with its crews; `source` names the file in sentences.

    Raises:
        Refused: with one sentence for every fault of the file: file, place, key, and what would be right.
    """
    return structured(_reader(), parse_toml(text, source), source, "UTC", _RIGHT)


def write_shop(shop: Shop) -> str:
    """Return a shop as its file, which `read_shop` reads back as the very same shop."""
    return document({}, _tables(shop))


def _tables(shop: Shop) -> Iterator[tuple[str, Mapping[str, object]]]:
    yield (
        "[shop]",
        {
            "name": shop.name,
            "zone": shop.zone,
            "units": str(shop.units),
            "paper": shop.paper,
            "phone": shop.phone or None,
            "hours": hours_table(shop.hours),
            "holidays": listed(shop.holidays),
        },
    )
    for crew in shop.crews:
        yield (
            "[[crew]]",
            {
                "name": crew.name,
                "workers": _workers(crew),
                "hours": hours_table(crew.hours),
                "lays": sorted(str(skill) for skill in crew.skills),
                "days_off": listed(crew.days_off),
                "truck": list(crew.truck) or None,
            },
        )


def _workers(crew: Crew) -> list[object]:
    if crew.workers[0].lead:
        return [worker.name for worker in crew.workers]
    return [{"name": worker.name, "lead": True} if worker.lead else worker.name for worker in crew.workers]


@lru_cache(maxsize=1)
def _reader() -> Callable[[object], Shop]:
    made = converter({Skill: {"glued": Skill.GLUED, "levelling": Skill.LEVELING, "tile": Skill.TILE_REMOVAL}})
    table(made, Worker, short="name", name=with_limit(LINE, empty=False))
    crew = table(made, _Crew, name=with_limit(LINE, empty=False))
    made.register_structure_hook(Crew, lambda value, _: crew(value).value())
    table(made, _Shop, name=with_limit(LINE, empty=False), zone=_read_zone, units=_read_units, paper=_read_paper)
    whole = table(made, _File)
    return lambda raw: whole(raw).value()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Crew:
    """A crew as its table spells it."""

    name: str
    workers: tuple[Worker, ...]
    hours: WeekHours
    lays: tuple[Skill, ...]
    days_off: frozenset[date] = frozenset()
    truck: tuple[str, ...] = ()

    def value(self) -> Crew:
        workers = self.workers
        if workers and not any(worker.lead for worker in workers):
            workers = (Worker(name=workers[0].name, lead=True), *workers[1:])
        return Crew(
            name=self.name,
            workers=workers,
            hours=self.hours,
            skills=frozenset(self.lays),
            days_off=self.days_off,
            truck=self.truck,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shop:
    """The shop as its table spells it."""

    name: str
    zone: str
    units: UnitSystem = "us"
    paper: str = "letter"
    phone: str = ""
    hours: WeekHours
    holidays: frozenset[date] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    """A shop file as it is spelled."""

    shop: _Shop
    crew: tuple[Crew, ...] = ()

    def value(self) -> Shop:
        return Shop(
            name=self.shop.name,
            zone=self.shop.zone,
            units=self.shop.units,
            paper=self.shop.paper,
            phone=self.shop.phone,
            hours=self.shop.hours,
            holidays=self.shop.holidays,
            crews=self.crew,
        )


def _read_zone(value: object, _: object) -> str:
    return zone_of(read_text(value)).key


def _read_units(value: object, _: object) -> UnitSystem:
    word = value.casefold() if isinstance(value, str) else ""
    if word not in UNIT_SYSTEMS:
        raise Refused(f"{shown(value)} is not known: it is one of {', '.join(UNIT_SYSTEMS)}.")
    return word


def _read_paper(value: object, _: object) -> str:
    word = value.casefold() if isinstance(value, str) else ""
    if word not in PAPERS:
        raise Refused(f"{shown(value)} is not known: it is one of {', '.join(PAPERS)}.")
    return word
