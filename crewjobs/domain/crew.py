"""The shop and its crews."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from crewjobs.domain.bounds import MOST_PEOPLE
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import UNIT_SYSTEMS, UnitSystem, quoted
from crewjobs.domain.wall import WeekHours

PAPERS = ("letter", "a4")


class Skill(StrEnum):
    """What a crew can be sent to lay or take up."""

    FLOATING = "floating"
    GLUED = "glue-down"
    NAILED = "nailed"
    STAIRS = "stairs"
    TILE_REMOVAL = "tile removal"
    LEVELING = "leveling"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """A person of a crew."""

    name: str
    lead: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """One to four people with a lead, their hours in the shop's zone, days off and what they can lay."""

    name: str
    workers: tuple[Worker, ...]
    hours: WeekHours
    skills: frozenset[Skill]
    days_off: frozenset[date] = frozenset()
    truck: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= len(self.workers) <= MOST_PEOPLE:
            raise Refused(f"crew '{self.name}' has {len(self.workers)} people: a crew is one to four.")
        if sum(worker.lead for worker in self.workers) != 1:
            raise Refused(f"crew '{self.name}' needs exactly one lead.")
        if len({worker.name for worker in self.workers}) < len(self.workers):
            raise Refused(f"crew '{self.name}' has two people of one name: give each their own, by an initial.")

    @property
    def people(self) -> int:
        """Return how many people it has."""
        return len(self.workers)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """The one business."""

    name: str
    zone: str
    units: UnitSystem = "us"
    paper: str = "letter"
    phone: str = ""
    hours: WeekHours
    holidays: frozenset[date] = frozenset()
    crews: tuple[Crew, ...] = ()

    def __post_init__(self) -> None:
        faults = []
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
        if faults:
            raise Refused(faults)
