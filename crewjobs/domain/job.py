"""A job: what was agreed, and beside it what has happened."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Opening, Room, Site, Stairs
from crewjobs.domain.material import Lot, Material, OrderLine
from crewjobs.domain.tasks import Link, Task


class JobState(StrEnum):
    """How far the contract is; under way and finished are seen from the tasks."""

    ASKED = "asked"
    QUOTED = "quoted"
    BOOKED = "booked"
    DONE = "done"
    CLOSED = "closed"
    CALLED_OFF = "called off"


LIVE = frozenset({JobState.ASKED, JobState.QUOTED, JobState.BOOKED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Customer:
    """Who pays."""

    name: str
    phone: str = field(default="", repr=False)
    mail: str = field(default="", repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One contract at one site, as a job file states it: a definition, no history."""

    number: int
    title: str
    customer: Customer
    site: Site
    state: JobState = JobState.BOOKED
    wished: date | None = None
    promised: date | None = None
    weight: int = 1
    blocked: frozenset[date] = frozenset()
    rooms: tuple[Room, ...]
    openings: tuple[Opening, ...] = ()
    stairs: tuple[Stairs, ...] = ()
    materials: tuple[Material, ...] = ()
    orders: tuple[OrderLine, ...] = ()
    stages: tuple[tuple[tuple[str, str], ...], ...] = ()
    """The lead's order of work: each stage a set of (room, section); empty means the sections' own order."""

    def __post_init__(self) -> None:
        rooms = _unique("room", [room.name for room in self.rooms])
        materials = _unique("material", [material.name for material in self.materials])
        _unique("stairs", [stairs.name for stairs in self.stairs])
        _unique("opening", [opening.name for opening in self.openings])
        floors = [(room.name, room.floor) for room in self.rooms] + [
            (stairs.name, stairs.floor) for stairs in self.stairs
        ]
        for name, floor in floors:
            if floor is not None and floor not in materials:
                raise Refused(f"'{name}': there is no material '{floor}' in this job.")
        for opening in self.openings:
            for name in opening.between:
                if name not in rooms and name != "outside":
                    raise Refused(f"opening '{opening.name}': there is no room '{name}' in this job.")
        for order in self.orders:
            if order.material not in materials:
                raise Refused(f"order: there is no material '{order.material}' in this job.")
        sections = {(room.name, section.name) for room in self.rooms for section in room.sections}
        staged = [part for stage in self.stages for part in stage]
        if self.stages and (set(staged) != sections or len(staged) != len(sections)):
            raise Refused("stages: every section of every room is named once, and nothing else.")

    def room(self, name: str) -> Room:
        """Return a room by name."""
        return next(room for room in self.rooms if room.name == name)

    def material(self, name: str) -> Material:
        """Return a material by name."""
        return next(material for material in self.materials if material.name == name)

    @property
    def area_ft2(self) -> float:
        """Return the area that gets a new floor, in ft²."""
        return sum(room.outline.area_ft2 for room in self.rooms if room.floor)

    def stage_of(self, room: str, part: str) -> int:
        """Return the stage (from 1) in which a section is worked."""
        for number, stage in enumerate(self.stages, start=1):
            if (room, part) in stage:
                return number
        names = [section.name for section in self.room(room).sections]
        return names.index(part) + 1


def _unique(what: str, names: list[str]) -> set[str]:
    for name in names:
        if names.count(name) > 1:
            raise Refused(f"{what} '{name}' is there twice: give each its own name.")
    return set(names)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldPassed:
    """A hold that was passed with a written reason, kept with the facts seen."""

    task: int
    at: datetime
    because: str
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecord:
    """A job with what has happened: tasks, links, lots, holds passed; `version` rises with every change."""

    job: Job
    version: int = 1
    tasks: tuple[Task, ...] = ()
    links: tuple[Link, ...] = ()
    lots: tuple[Lot, ...] = ()
    passed: tuple[HoldPassed, ...] = ()

    def task(self, number: int) -> Task:
        """Return a task by its number.

        Raises:
            Refused: the job has no such task.
        """
        for task in self.tasks:
            if task.number == number:
                return task
        raise Refused(f"job {self.job.number} has no task {number}: `crewjobs job {self.job.number}` lists its tasks.")
