"""A job: what was agreed, and beside it what has happened."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from crewjobs.domain.agreed import ChangeOrder, MoneyFact, SmallVisit, Told, WalkThrough
from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import CrewHours, Finding, HowFar
from crewjobs.domain.floor_layout import FloorLayout
from crewjobs.domain.found import WayTaken
from crewjobs.domain.goods import GoodsCome, GoodsLine, LotUse, NewDate, WentBack, early_due
from crewjobs.domain.house import Opening, Room, Site, Stairs, no_part, no_such, opening_name
from crewjobs.domain.house_ready import DryRun, ReadyAnswer, ReadyAsked, WaitingOn
from crewjobs.domain.material import Lot, Material, OrderLine
from crewjobs.domain.moves import MovesPlan, in_force
from crewjobs.domain.reading import AirReadings, Reading
from crewjobs.domain.tasks import Link, Scope, ScopeKind, Task
from crewjobs.domain.units import exact_length, quoted
from crewjobs.domain.wording import dated_words, listed
from crewjobs.domain.work import ExtraWork, work_faults


class JobState(StrEnum):
    """How far the contract is; under way and finished are seen from the tasks."""

    ASKED = "asked"
    QUOTED = "quoted"
    BOOKED = "booked"
    DONE = "done"
    CLOSED = "closed"
    CALLED_OFF = "called off"


LIVE = frozenset({JobState.ASKED, JobState.QUOTED, JobState.BOOKED})
ENDED = frozenset({JobState.DONE, JobState.CLOSED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Customer:
    """Who pays."""

    name: str
    phone: str = field(default="", repr=False)
    mail: str = field(default="", repr=False)


HEAVIEST: Final = 3
"""The most a broken promise weighs; the least is 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One contract at one site, as a job file states it: a definition, no history.

    `number` 0 means that none was given yet; loading assigns one. `callback_of` is the number of the finished job
    that this one, a callback, comes back to.
    """

    number: int
    title: str
    customer: Customer
    site: Site
    state: JobState = JobState.BOOKED
    wished: date | None = None
    promised: date | None = None
    weight: int = 1
    callback_of: int | None = None
    blocked: frozenset[date] = frozenset()
    rooms: tuple[Room, ...]
    openings: tuple[Opening, ...] = ()
    stairs: tuple[Stairs, ...] = ()
    materials: tuple[Material, ...] = ()
    orders: tuple[OrderLine, ...] = ()
    goods: tuple[GoodsLine, ...] = ()
    work: tuple[ExtraWork, ...] = ()
    stages: tuple[tuple[tuple[str, str], ...], ...] = ()
    """The lead's order of work: each stage a set of (room, section); empty means the sections' own order."""
    starts: tuple[tuple[str, str], ...] = ()
    """The sections in which rows may begin, where a floor runs on without a strip; empty: either end."""

    def __post_init__(self) -> None:
        faults = [
            *self._faults_of_terms(),
            *self._faults_of_names(),
            *self._faults_of_orders(),
            *self._faults_of_stairs(),
        ]
        faults += stage_faults(self.stages, self.rooms)
        if faults:
            raise Refused(faults)

    @property
    def unmeasured(self) -> bool:
        """Return whether nothing is known that would give it a task: no rooms, no stairs, no work agreed in words."""
        return not (self.rooms or self.stairs or self.work)

    def _faults_of_terms(self) -> Iterator[str]:
        if self.number < 0:
            yield f"job number {self.number} is negative."
        if not 1 <= self.weight <= HEAVIEST:
            yield f"weight {self.weight} is not between 1 and {HEAVIEST}."
        yield from wrong_callback(self.number, self.callback_of)
        yield from early_promise(self.wished, self.promised)

    def _faults_of_names(self) -> Iterator[str]:
        yield from reference_faults(
            rooms=[(room.name, room.floor) for room in self.rooms],
            sections=[(room.name, section) for room in self.rooms for section, _ in room.cuts],
            stairs=[(stairs.name, stairs.floor) for stairs in self.stairs],
            led=[(stairs.name, room) for stairs in self.stairs for room in stairs.between],
            openings=[(opening.between, opening.which) for opening in self.openings],
            materials=[material.name for material in self.materials],
            orders=[order.material for order in self.orders],
            goods=[(line.name, line.place) for line in self.goods],
            work=[(entry.what, entry.place) for entry in self.work],
        )
        yield from wide_openings(self.openings, self.rooms)
        yield from part_faults(self.openings, self.rooms)
        yield from wall_faults(self.openings, self.rooms)
        yield from start_faults(self.starts, self.rooms)

    def _faults_of_orders(self) -> Iterator[str]:
        for order in self.orders:
            fault = late_order(order, self.site.zone)
            if fault:
                yield fault
        yield from filter(None, (line.late_order(self.site.zone) for line in self.goods))

    def _faults_of_stairs(self) -> Iterator[str]:
        sheet = {material.name for material in self.materials if material.is_sheet}
        for flight in self.stairs:
            if flight.floor in sheet:
                yield (
                    f"stairs {quoted(flight.name)}: {quoted(flight.floor)} comes off a roll, and steps in sheet goods "
                    "are neither measured nor timed here: give them another material, or none."
                )

    def room(self, name: str) -> Room:
        """Return a room by name."""
        return next(room for room in self.rooms if room.name == name)

    def material(self, name: str) -> Material:
        """Return a material by name."""
        return next(material for material in self.materials if material.name == name)

    @property
    def is_callback(self) -> bool:
        """Return whether it comes back to a finished job; its hours then never count in the crew's pace."""
        return self.callback_of is not None

    @property
    def area_ft2(self) -> float:
        """Return the area that gets a new floor, in ft²."""
        return sum(room.net_ft2 for room in self.rooms if room.floor)

    def stage_of(self, room: str, part: str) -> int:
        """Return the stage (from 1) in which a section is worked."""
        for number, stage in enumerate(self.stages, start=1):
            if (room, part) in stage:
                return number
        names = [section.name for section in self.room(room).sections]
        return names.index(part) + 1


def reference_faults(
    *,
    rooms: Sequence[tuple[str, str | None]],
    sections: Sequence[tuple[str, str]],
    stairs: Sequence[tuple[str, str | None]],
    openings: Sequence[tuple[tuple[str, str], str]],
    materials: Sequence[str],
    orders: Sequence[str],
    goods: Sequence[tuple[str, str]] = (),
    work: Sequence[tuple[str, str]] = (),
    led: Sequence[tuple[str, str]] = (),
) -> Iterator[str]:
    """Yield a sentence for every name that is given twice or points at nothing.

    Rooms and stairs come with their floor, sections with their room, openings with which it is of several, goods and work with the place they are for,
    stairs again (`led`) with each room they lead to.
    """
    names = [name for name, _ in rooms]
    yield from _twice("room", names)
    yield from _twice("material", materials)
    yield from _twice("stairs", [name for name, _ in stairs])
    for name, _ in stairs:
        if name in names:
            yield f"stairs {quoted(name)}: there is a room of that name; tasks are told apart by where they are."
    pairs = [opening_name(between, which) for between, which in openings]
    for name in dict.fromkeys(pairs):
        if pairs.count(name) > 1:
            yield (
                f"opening {quoted(name)} is there twice: of several between the same two rooms each says which it is, such as "
                'which = "by the window".'
            )
    yield from _equal_places(names, sections, [name for name, _ in stairs], pairs, materials)
    for name, room in led:
        if room not in names:
            yield f"stairs {quoted(name)}: {no_such('room', room, names)}"
    for what, floored in (("room", rooms), ("stairs", stairs)):
        for name, floor in floored:
            if floor is not None and floor not in materials:
                yield f"{what} {quoted(name)}: {no_such('material', floor, materials)}"
    for between, which in openings:
        for name in between:
            if name not in names and name != "outside":
                yield f"opening {quoted(opening_name(between, which))}: {no_such('room', name, names)}"
    for material in orders:
        if material not in materials:
            yield f"order of {quoted(material)}: {no_such('material', material, materials)}"
    yield from _twice("order of", [name for name, _ in goods])
    places = [*names, *(name for name, _ in stairs), *pairs]
    for name, place in goods:
        if place and place not in places:
            yield f"order of {quoted(name)}: {no_such('room, opening or stairs', place, places)}"
    yield from work_faults(work, [*names, *(name for name, _ in stairs)])


def _equal_places(
    rooms: Sequence[str],
    sections: Sequence[tuple[str, str]],
    stairs: Sequence[str],
    openings: Sequence[str],
    materials: Sequence[str],
) -> Iterator[str]:
    """Find what differs in kind and would be told as one place: a task is found by where it is."""
    seen: dict[str, str] = {}
    for kind, names in (
        (ScopeKind.ROOM, [(name, "") for name in rooms]),
        (ScopeKind.SECTION, sections),
        (ScopeKind.STAIRS, [(name, "") for name in stairs if name not in rooms]),  # has its own sentence
        (ScopeKind.OPENING, [(name, "") for name in openings]),
        (ScopeKind.MATERIAL, [(name, "") for name in materials]),
    ):
        for name, part in dict.fromkeys(names):
            place = str(Scope(kind=kind, name=name, part=part))
            what = f"section {quoted(part)} of room {quoted(name)}" if part else f"{kind} {quoted(name)}"
            if place in seen:
                yield f"{seen[place]} and {what} would both be called {quoted(place)}: give one of them another name."
            seen.setdefault(place, what)


def wide_openings(openings: Sequence[Opening], rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence for every opening wider than the longest wall of a room it opens from."""
    longest = {room.name: max(room.outline.walls) for room in rooms}
    for opening in openings:
        for name in opening.between:
            if name in longest and opening.width > longest[name]:
                yield (
                    f"opening {quoted(opening.name)}: it is {exact_length(opening.width)} wide, and the longest wall "
                    f"of room {quoted(name)} is {exact_length(longest[name])}."
                )


def early_promise(wished: date | None, promised: date | None) -> Iterator[str]:
    """Yield a sentence if a job is promised before its start is wished."""
    if wished and promised and promised < wished:
        yield f"promised for {dated_words(promised)}, before the wished start on {dated_words(wished)}."


def wrong_callback(number: int, callback_of: int | None) -> Iterator[str]:
    """Yield a sentence if the job that a callback comes back to cannot be one."""
    if callback_of is not None and callback_of < 1:
        yield f"callback of job {callback_of}: a job's number is 1 or more."
    elif callback_of is not None and callback_of == number:
        yield f"callback of job {callback_of}: a job cannot come back to itself."


def stage_faults(stages: Sequence[Sequence[tuple[str, str]]], rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence if the stages, where there are some, are not every section once; rooms without a new floor may."""
    sections = {(room.name, section.name): room.floor for room in rooms for section in room.sections}
    floored = {part for part, floor in sections.items() if floor is not None}
    staged = [part for stage in stages for part in stage]
    if stages and (not floored <= set(staged) <= sections.keys() or len(staged) != len(set(staged))):
        faults = [
            (sorted(floored - set(staged)), "missing"),
            (sorted({part for part in staged if staged.count(part) > 1}), "there twice"),
            (sorted(set(staged) - sections.keys()), "no section of this job"),
        ]
        told = [
            f"{listed([quoted(f'{room}: {part}' if part else room) for room, part in parts])} {'is' if len(parts) == 1 else 'are'} {what}"
            for parts, what in faults
            if parts
        ]
        yield (
            f"stages: {'; '.join(told)}; every section of every room is named once, and nothing else (a room that gets no floor "
            "may be left out)."
        )


def part_faults(openings: Sequence[Opening], rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence for every opening that leads to a section its room has not."""
    cuts = {room.name: [name for name, _ in room.cuts] for room in rooms}
    for opening in openings:
        for name, part in zip(opening.between, opening.parts, strict=True):
            if part and part not in cuts.get(name, [part]):
                yield f"opening {quoted(opening.name)}: room {quoted(name)}: {no_part(part, cuts[name])}"


def wall_faults(openings: Sequence[Opening], rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence for every opening that is said to be in a wall its room has not, or beyond that wall's end."""
    known = {room.name: room.outline.walls for room in rooms}
    for opening in openings:
        for name, wall, offset in zip(opening.between, opening.walls, opening.offsets, strict=True):
            walls = known.get(name)
            if not wall or walls is None:
                continue
            where = f"opening {quoted(opening.name)}: "
            if wall > len(walls):
                yield f"{where}wall {wall} of room {quoted(name)}: it has walls 1 to {len(walls)}, in the order of its corners."
            elif offset + opening.width > walls[wall - 1]:
                yield (
                    f"{where}it ends {exact_length(offset + opening.width)} along wall {wall} of room {quoted(name)}, which is "
                    f"{exact_length(walls[wall - 1])} long."
                )


def start_faults(starts: Sequence[tuple[str, str]], rooms: Sequence[Room]) -> Iterator[str]:
    """Yield a sentence for every place where rows are to begin that is no section."""
    known = {(room.name, part.name) for room in rooms for part in room.sections}
    for name, part in dict.fromkeys(starts):
        if (name, part) not in known:
            yield f"starts: {quoted(f'{name}: {part}' if part else name)} is no section of this job."


def late_order(order: OrderLine, zone: str) -> str:
    """Return a sentence if an order is due before it was ordered, by the site's calendar; empty if not."""
    early = early_due(order.ordered, order.due, zone)
    return f"order of {quoted(order.material)}: {early}" if early else ""


def _twice(what: str, names: Sequence[str]) -> Iterator[str]:
    for name in dict.fromkeys(names):
        if names.count(name) > 1:
            yield f"{what} {quoted(name)} is there twice: give each its own name."


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldPassed:
    """A hold that was passed with a written reason, kept with the facts seen."""

    task: int
    at: datetime
    because: str
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecord:
    """A job with what has happened; `version` rises with every change. Facts are in the order they were recorded."""

    job: Job
    version: int = 1
    tasks: tuple[Task, ...] = ()
    links: tuple[Link, ...] = ()
    lots: tuple[Lot, ...] = ()
    passed: tuple[HoldPassed, ...] = ()
    asked: tuple[ReadyAsked, ...] = ()
    answers: tuple[ReadyAnswer, ...] = ()
    dry_runs: tuple[DryRun, ...] = ()
    waiting_on: tuple[WaitingOn, ...] = ()
    goods_come: tuple[GoodsCome, ...] = ()
    new_dates: tuple[NewDate, ...] = ()
    lot_uses: tuple[LotUse, ...] = ()
    went_back: tuple[WentBack, ...] = ()
    how_far: tuple[HowFar, ...] = ()
    crew_hours: tuple[CrewHours, ...] = ()
    findings: tuple[Finding, ...] = ()
    ways_taken: tuple[WayTaken, ...] = ()
    walks: tuple[WalkThrough, ...] = ()
    change_orders: tuple[ChangeOrder, ...] = ()
    money: tuple[MoneyFact, ...] = ()
    told: tuple[Told, ...] = ()
    small_visits: tuple[SmallVisit, ...] = ()
    air: tuple[AirReadings, ...] = ()
    readings: tuple[Reading, ...] = ()
    moves: tuple[MovesPlan, ...] = ()
    layouts: tuple[FloorLayout, ...] = ()

    @property
    def to_do(self) -> bool:
        """Return whether work is left: a task is open, or none is there yet as nothing is measured."""
        return any(task.open for task in self.tasks) or (not self.tasks and self.job.unmeasured)

    @property
    def finished(self) -> bool:
        """Return whether the job is done or closed, or booked with nothing left to do: handed over."""
        if self.job.state in ENDED:
            return True
        return self.job.state is JobState.BOOKED and bool(self.tasks) and not any(task.open for task in self.tasks)

    @property
    def moves_in_force(self) -> MovesPlan | None:
        """Return the furniture stages the job is worked by, if any."""
        return in_force(self.moves, self.job.stages)

    def layout_of(self, material: str) -> FloorLayout | None:
        """Return the layout that was kept of a material, if any; whether it is of the rooms as they are now its basis says."""
        return next((one for one in self.layouts if one.material == material), None)

    def task(self, number: int) -> Task:
        """Return a task by its number.

        Raises:
            Refused: the job has no such task.
        """
        for task in self.tasks:
            if task.number == number:
                return task
        raise Refused(f"job {self.job.number} has no task {number}: `crewjobs job {self.job.number}` lists its tasks.")
