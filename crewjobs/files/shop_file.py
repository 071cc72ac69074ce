"""A shop file: the shop, its crews, and what it changes in the task templates. `read_shop` and `write_shop` are inverse."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from typing import Any, Final

from crewjobs.domain.amounts import money_words, read_amount
from crewjobs.domain.crew import (
    PAPERS,
    USUAL_KEPT_PERCENT,
    USUAL_WOOD_TARGET,
    Crew,
    Lead,
    SharedTool,
    Shop,
    Skill,
    Sub,
    Worker,
    in_two_crews,
)
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import TemplateOverride, ThreePoint
from crewjobs.domain.units import LONGEST_WAIT, UNIT_SYSTEMS, UnitSystem, quoted
from crewjobs.domain.wall import Span, WeekHours, zone_of
from crewjobs.files.catalogue import read_catalogue
from crewjobs.files.faults import At
from crewjobs.files.hours import hours_table, read_single_days, single_days_table
from crewjobs.files.tables import Area, converter, structured, table
from crewjobs.files.toml_text import document, listed, parse_toml
from crewjobs.files.values import (
    LINE,
    area_text,
    nearest,
    plain_word,
    read_any_whole,
    read_number,
    read_text,
    read_wait,
    shown,
    tidy,
    wait_text,
    with_limit,
)

_RIGHT: Final = {
    "shop": "a table [shop] with name, zone and hours",
    "name": "its name in quotes",
    "zone": 'the time zone, such as zone = "America/Chicago"',
    "hour_price": 'what an hour of one person costs the customer, such as hour_price = "$72.50"',
    "hours": 'the usual hours, such as hours = { mon-fri = "7:00-12:00, 12:30-15:30" }',
    "workers": 'its people, the lead first, such as workers = ["Ines Varga", "Tobiah Lund"]',
    "key": "the key of a task template, as `crewjobs templates` lists them",
    "area": 'what a sub does in a full day, such as area = "350 ft2"',
    "lays": f"what it lays and takes up: {', '.join(Skill)}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFile:
    """What a shop file holds: the shop with its crews, and what it changes in the task templates."""

    shop: Shop
    overrides: tuple[TemplateOverride, ...] = ()


def read_shop(text: str, source: str) -> ShopFile:
    """Return the shop of a file with its crews and template changes; `source` names the file in sentences.

    Raises:
        Refused: with one sentence for every fault of the file: file, place, key, and what would be right.
    """
    return shop_of_tables(parse_toml(text, source), source)


def shop_of_tables(raw: dict[str, Any], source: str) -> ShopFile:
    """Return the shop of a file's tables, wherever they come from: a file, or a form.

    Raises:
        Refused: with every fault, as `read_shop`; a `Misread` where each has its place.
    """
    found = structured(_reader(), raw, source, "UTC", _RIGHT)
    try:
        read_catalogue(found.overrides)
    except Refused as fault:
        raise Refused([f"{source}: {sentence}" for sentence in fault.sentences]) from None
    return found


def write_shop(shop: Shop, overrides: Sequence[TemplateOverride] = ()) -> str:
    """Return a shop as its file, which `read_shop` reads back as the very same shop."""
    return document({}, (*_tables(shop), *(("[[template]]", _template(override)) for override in overrides)))


def _template(override: TemplateOverride) -> dict[str, object]:
    minutes = override.minutes
    return {
        "key": override.key,
        "title": override.title,
        "minutes": [minutes.low, minutes.likely, minutes.high] if minutes else None,
        "fixed": override.fixed,
        "people": override.people,
        "load": None if override.load is None else list(override.load),
        "waits": {name: wait_text(wait) for name, wait in override.waits} or None,
        "at_most": {name: wait_text(wait) for name, wait in override.at_most} or None,
        "off": override.off or None,
    }


def _tables(shop: Shop) -> Iterator[tuple[str, Mapping[str, object]]]:
    yield (
        "[shop]",
        {
            "name": shop.name,
            "zone": shop.zone,
            "units": str(shop.units),
            "paper": shop.paper,
            "phone": shop.phone or None,
            "kept_percent": None if shop.kept_percent == USUAL_KEPT_PERCENT else shop.kept_percent,
            "wood_target": None if shop.wood_target == USUAL_WOOD_TARGET else tidy(shop.wood_target),
            "hour_price": money_words(shop.hour_cents) if shop.hour_cents else None,
            "hours": hours_table(shop.hours),
            "holidays": listed(shop.holidays),
        },
    )
    if shop.lead is not None:
        yield "[lead]", {"name": shop.lead.name, "hours": hours_table(shop.lead.hours)}
    for tool in shop.tools:
        yield "[[tools]]", {"name": tool.name, "count": tool.count}
    for crew in shop.crews:
        yield (
            "[[crew]]",
            {
                "name": crew.name,
                "workers": _workers(crew),
                "hours": hours_table(crew.hours),
                "lays": sorted(str(skill) for skill in crew.skills),
                "days_off": listed(crew.days_off),
                "hours_on": single_days_table(crew.hours),
                "truck": list(crew.truck) or None,
                "sub": _sub(crew.sub),
            },
        )


def _workers(crew: Crew) -> list[object]:
    return [_worker(worker, worker.lead and number > 0) for number, worker in enumerate(crew.workers)]


def _worker(worker: Worker, marked: bool) -> object:
    more: dict[str, object] = {}
    if marked:
        more["lead"] = True
    if worker.cards:
        more["cards"] = sorted(worker.cards)
    return {"name": worker.name, **more} if more else worker.name


def _sub(sub: Sub | None) -> dict[str, object] | None:
    if sub is None:
        return None
    area = {"area": area_text(sub.area_ft2)} if sub.area_ft2 else {}
    return {**area, **({"steps": sub.steps} if sub.steps else {})}


@lru_cache(maxsize=1)
def _reader() -> Callable[[object], ShopFile]:
    made = converter({Skill: {"glued": Skill.GLUED, "levelling": Skill.LEVELING, "tile": Skill.TILE_REMOVAL}})
    table(made, Worker, short="name", name=with_limit(LINE, empty=False), cards=_read_cards)
    sub = table(made, _Sub, steps=lambda value, _: read_any_whole(value))
    made.register_structure_hook(Sub, lambda value, _: sub(value).value())
    table(made, Lead, name=with_limit(LINE, empty=False))
    table(made, SharedTool, short="name", name=_read_tool, count=lambda value, _: read_any_whole(value))
    crew = table(made, _Crew, name=with_limit(LINE, empty=False), hours_on=lambda value, _: read_single_days(value))
    made.register_structure_hook(Crew, lambda value, _: crew(value).value())
    table(
        made,
        _Shop,
        name=with_limit(LINE, empty=False),
        zone=_read_zone,
        units=_read_units,
        paper=_read_paper,
        kept_percent=lambda value, _: read_any_whole(value),
        wood_target=lambda value, _: read_number(value, 100),
        hour_price=lambda value, _: read_amount(str(value)),
    )
    override = table(
        made,
        _Template,
        title=with_limit(LINE, empty=False),
        minutes=_read_minutes,
        fixed=lambda value, _: read_number(value, LONGEST_WAIT),
        people=lambda value, _: read_any_whole(value),
        waits=_read_waits,
        at_most=_read_waits,
    )
    made.register_structure_hook(TemplateOverride, lambda value, _: override(value).value())
    whole = table(made, _File)
    return lambda raw: whole(raw).value()


_BEGUN: Final = 4
"""So many letters of a card that work asks for are meant for that card."""
_USUAL: Final = WeekHours(days=((),) * 7)
"""Stands for the shop's own hours until they are read: a sub may leave its hours out."""


SingleDays = tuple[tuple[date, tuple[Span, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Crew:
    """A crew as its table spells it."""

    name: str
    workers: tuple[Worker, ...]
    hours: WeekHours | None = None
    lays: tuple[Skill, ...]
    days_off: frozenset[date] = frozenset()
    hours_on: SingleDays = ()
    truck: tuple[str, ...] = ()
    sub: Sub | None = None

    def value(self) -> Crew:
        workers = self.workers
        if workers and not any(worker.lead for worker in workers):
            workers = (replace(workers[0], lead=True), *workers[1:])
        if self.hours is None and self.sub is None:
            raise At("hours", f"missing; write {_RIGHT['hours']}.")
        return Crew(
            name=self.name,
            workers=workers,
            hours=replace(self.hours or _USUAL, but=self.hours_on),
            skills=frozenset(self.lays),
            days_off=self.days_off,
            truck=self.truck,
            sub=self.sub,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sub:
    """A sub's day as its table spells it."""

    area: Area | None = None
    steps: int = 0

    def value(self) -> Sub:
        return Sub(area_ft2=self.area or 0.0, steps=self.steps)


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
    kept_percent: int = USUAL_KEPT_PERCENT
    wood_target: float = USUAL_WOOD_TARGET
    hour_price: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Template:
    """A change to a task template as its table spells it."""

    key: str
    title: str | None = None
    minutes: ThreePoint | None = None
    fixed: float | None = None
    people: int | None = None
    load: tuple[str, ...] | None = None
    waits: tuple[tuple[str, int], ...] = ()
    at_most: tuple[tuple[str, int], ...] = ()
    off: bool = False

    def value(self) -> TemplateOverride:
        return TemplateOverride(
            key=self.key,
            title=self.title,
            minutes=self.minutes,
            fixed=self.fixed,
            people=self.people,
            load=self.load,
            waits=self.waits,
            at_most=self.at_most,
            off=self.off,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    """A shop file as it is spelled."""

    shop: _Shop
    lead: Lead | None = None
    tools: tuple[SharedTool, ...] = ()
    crew: tuple[Crew, ...] = ()
    template: tuple[TemplateOverride, ...] = ()

    def value(self) -> ShopFile:
        twice = [At("workers", fault, under=("crew", place)) for place, fault in in_two_crews(self.crew)]
        if twice:
            raise ExceptionGroup("people in two crews", twice)
        shop = Shop(
            name=self.shop.name,
            zone=self.shop.zone,
            units=self.shop.units,
            paper=self.shop.paper,
            phone=self.shop.phone,
            hours=self.shop.hours,
            holidays=self.shop.holidays,
            crews=tuple(_in_shop_hours(crew, self.shop.hours) for crew in self.crew),
            lead=self.lead,
            tools=self.tools,
            kept_percent=self.shop.kept_percent,
            wood_target=self.shop.wood_target,
            hour_cents=self.shop.hour_price,
        )
        return ShopFile(shop=shop, overrides=self.template)


def _in_shop_hours(crew: Crew, hours: WeekHours) -> Crew:
    """Return a crew in the shop's hours where it gave none of its own; its single days stay."""
    return replace(crew, hours=replace(hours, but=crew.hours.but)) if crew.hours.days is _USUAL.days else crew


def _read_minutes(value: object, _: object) -> ThreePoint:
    if not isinstance(value, list) or len(value) != 3:
        raise Refused(f"{shown(value)} is not low, likely and high minutes: write minutes = [1.2, 1.8, 2.7].")
    low, likely, high = (read_number(minutes, LONGEST_WAIT) for minutes in value)
    return ThreePoint(low=low, likely=likely, high=high)


def _read_cards(value: object, _: object) -> frozenset[str]:
    if not isinstance(value, list):
        raise Refused(f'{shown(value)} is not a list of cards: write cards = ["lead-safe renovator"].')
    asked = {plain_word(template.card): template.card for template in read_catalogue().templates if template.card}
    cards = [read_text(card, LINE, empty=False) for card in value]
    for card in cards:
        word = plain_word(card)
        if word not in asked and (near := _card_meant(word, asked)):
            raise Refused(f"{shown(card)} is no card that work asks for; did you mean {quoted(near)}?")
    return frozenset(asked.get(plain_word(card), card) for card in cards)


def _card_meant(word: str, asked: Mapping[str, str]) -> str:
    """Return the card work asks for that a word begins, or is mistyped from; empty for a card of another name."""
    begun = (card for plain, card in asked.items() if len(word) >= _BEGUN and plain.startswith(word))
    return next(begun, "") or nearest(word, list(asked.values()), alike=0.8)


def _read_tool(value: object, _: object) -> str:
    """Read a tool's name, spelled as the task templates spell it where they name it."""
    name = read_text(value, LINE, empty=False)
    loaded = {plain_word(tool): tool for template in read_catalogue().templates for tool in template.load}
    return loaded.get(plain_word(name), name)


def _read_waits(value: object, _: object) -> tuple[tuple[str, int], ...]:
    if not isinstance(value, dict):
        raise Refused(f'{shown(value)} is not a table of waits: write waits = {{ "leveler cures" = "16 h" }}.')
    return tuple((name, read_wait(wait)) for name, wait in value.items())


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
