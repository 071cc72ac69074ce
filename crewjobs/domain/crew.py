"""The shop and its crews."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from crewjobs.domain.bounds import MOST_PEOPLE, MOST_STEPS, MOST_SUB_FT2, MOST_TOOLS
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import UNIT_SYSTEMS, UnitSystem, quoted
from crewjobs.domain.wall import Span, WeekHours
from crewjobs.domain.wording import listed

PAPERS = ("letter", "a4")
USUAL_KEPT_PERCENT: Final = 50
MOST_KEPT_PERCENT: Final = 200
"""Twice what a job would take longer at all its high times: more is no plan any more."""


class Skill(StrEnum):
    """What a crew can be sent to lay or take up."""

    FLOATING = "floating"
    GLUED = "glue-down"
    SHEET = "sheet goods"
    NAILED = "nailed"
    STAIRS = "stairs"
    TILE_REMOVAL = "tile removal"
    LEVELING = "leveling"


NO_FLOOR: Final = frozenset({Skill.STAIRS, Skill.TILE_REMOVAL, Skill.LEVELING})
"""What a crew is sent for without laying a floor by its area."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """A person of a crew, with the cards (certificates by their name) they hold."""

    name: str
    lead: bool = False
    cards: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sub:
    """What a crew paid by the foot or step does in a full day; nothing else is asked of it, no hours either.

    Without an area (0 ft²) it does stairs alone and lays no floors.
    """

    area_ft2: float = 0.0
    steps: int = 0

    def __post_init__(self) -> None:
        right = 0 <= self.area_ft2 <= MOST_SUB_FT2 and 0 <= self.steps <= MOST_STEPS
        if not right or not (self.area_ft2 or self.steps):
            raise Refused(
                f"a sub's day is up to {MOST_SUB_FT2:,g} ft², up to {MOST_STEPS} steps, or both: more than 0 of one."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """The lead of the shop, with hours of their own for measuring, readings and walk-throughs."""

    name: str
    hours: WeekHours


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedTool:
    """A tool the shop has few of and all crews share, named as task templates name it in their load: so many of it."""

    name: str
    count: int = 1

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise Refused("a shared tool needs a name, as the task templates' load has it.")
        if not 1 <= self.count <= MOST_TOOLS:
            raise Refused(
                f"tool {quoted(self.name)}: {self.count} of it; a shop has 1 to {MOST_TOOLS} of a shared tool."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """A person not with their crew on a day (of the shop): out, or `to` another crew, or to a part of the crew by itself.

    `to` is empty for somebody who is out; the name of another crew for somebody lent; a name no crew has for
    people who work by themselves that day (the crew is split).
    """

    crew: str
    worker: str
    day: date
    to: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHours:
    """A crew's hours on one day of the shop in the place of its usual ones, as recorded; no span: a day off."""

    crew: str
    day: date
    spans: tuple[Span, ...]
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """One to four people with a lead, their hours in the shop's zone, days off and what they can lay.

    A single day of its hours outranks a day off. `only` are the days a part of a crew works by itself, empty for a crew
    of its own. A crew with `sub` is paid by the
    foot or step: its days are measured by what it does in one.
    """

    name: str
    workers: tuple[Worker, ...]
    hours: WeekHours
    skills: frozenset[Skill]
    days_off: frozenset[date] = frozenset()
    truck: tuple[str, ...] = ()
    sub: Sub | None = None
    only: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        if not 1 <= len(self.workers) <= MOST_PEOPLE:
            raise Refused(f"crew '{self.name}' has {len(self.workers)} people: a crew is one to four.")
        if sum(worker.lead for worker in self.workers) != 1:
            raise Refused(f"crew '{self.name}' needs exactly one lead.")
        if len({worker.name for worker in self.workers}) < len(self.workers):
            raise Refused(f"crew '{self.name}' has two people of one name: give each their own, by an initial.")
        floors = sorted(skill.value for skill in self.skills - NO_FLOOR)
        if self.sub is not None and not self.sub.area_ft2 and floors:
            raise Refused(
                f"crew '{self.name}' lays {listed(floors, most=9)}, and its sub names no area: "
                "say what it lays in a full day, or leave that out of what it lays."
            )

    @property
    def people(self) -> int:
        """Return how many people it has."""
        return len(self.workers)

    def comes(self, day: date) -> bool:
        """Return whether it works on a day of the shop at all, the shop's holidays aside."""
        return not self.off(day) and (not self.only or day in self.only) and bool(self.hours.on(day))

    def off(self, day: date) -> bool:
        """Return whether a day is off for it that its week may have hours on: hours of that single day, else a day off."""
        single = self.hours.single(day)
        return day in self.days_off if single is None else not single

    def usual(self, day: date) -> tuple[Span, ...]:
        """Return its hours on a day where no single day is told: none on a day off."""
        return () if day in self.days_off else self.hours.usual(day)


def in_two_crews(crews: Sequence[Crew]) -> Iterator[tuple[int, str]]:
    """Yield each person of a crew who stands in an earlier one too: the place of the later crew, and what is wrong.

    Nobody is in two houses at once. Parts of crews, and who is lent for a day, are no crews of the shop.
    """
    seen: dict[str, str] = {}
    for place, crew in enumerate(crews):
        for worker in crew.workers:
            first = seen.setdefault(worker.name.strip().casefold(), crew.name)
            if first != crew.name:
                yield (
                    place,
                    f"{worker.name} is in {first} already, and nobody is in two houses at once: leave them in one crew; "
                    "two people of one name need different ones, by an initial.",
                )


MOST_HOUR_CENTS: Final = 1000_00
"""The most an hour of one person costs the customer; more is a slip."""
USUAL_WOOD_TARGET: Final = 8.0
"""% moisture of wood indoors in most of the USA; 6 in the dry south-west, 11 on the damp south coast. Source: USDA FPL Wood
Handbook ch. 13, Fig. 13-1, in secondary texts."""
WOOD_TARGETS: Final = (4.0, 14.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """The one business. `tools` are those that crews share: where none is listed, every crew has its own.

    `kept_percent` is the share of a job's spread that the plan keeps free before its promise. `wood_target` is the
    moisture, in %, that wood indoors has in this region over the year. `hour_cents` is what an hour of one person costs the customer
    when a change order is drafted; 0: not said.
    """

    name: str
    zone: str
    units: UnitSystem = "us"
    paper: str = "letter"
    phone: str = ""
    hours: WeekHours
    holidays: frozenset[date] = frozenset()
    crews: tuple[Crew, ...] = ()
    lead: Lead | None = None
    tools: tuple[SharedTool, ...] = ()
    kept_percent: int = USUAL_KEPT_PERCENT
    wood_target: float = USUAL_WOOD_TARGET
    hour_cents: int = 0

    def __post_init__(self) -> None:
        faults = []
        if not 0 <= self.kept_percent <= MOST_KEPT_PERCENT:
            faults.append(f"shop: kept_percent {self.kept_percent} is not 0 to {MOST_KEPT_PERCENT}.")
        if not 0 <= self.hour_cents <= MOST_HOUR_CENTS:
            faults.append(f"shop: hour_price {self.hour_cents / 100:g} is not 0 to {MOST_HOUR_CENTS // 100} dollars.")
        low, high = WOOD_TARGETS
        if not low <= self.wood_target <= high:
            faults.append(
                f"shop: wood_target {self.wood_target:g} is not {low:g} to {high:g} (% moisture of wood indoors)."
            )
        if self.units not in UNIT_SYSTEMS:
            faults.append(f"shop: units {quoted(self.units)} are not known: us or metric.")
        if self.paper not in PAPERS:
            faults.append(f"shop: paper {quoted(self.paper)} is not known: {' or '.join(PAPERS)}.")
        spelled = {crew.name.strip().casefold(): crew.name for crew in reversed(self.crews)}
        names = [crew.name.strip().casefold() for crew in self.crews]
        faults += [
            f"crew {quoted(first)} is there twice (capitals do not matter): give each its own name."
            for name, first in spelled.items()
            if names.count(name) > 1
        ]
        called = [tool.name.strip().casefold() for tool in self.tools]
        faults += [
            f"tool {quoted(tool.name)} is there twice: list it once, with how many of it there are."
            for place, tool in enumerate(self.tools)
            if tool.name.strip().casefold() in called[:place]
        ]
        if faults:
            raise Refused(faults)
