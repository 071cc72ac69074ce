"""What one person looks at, asks and takes along on a small visit, by its kind: common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from datetime import datetime
from typing import Final

from crewjobs.domain.agreed import SmallVisit, VisitKind
from crewjobs.domain.found import NOBODY_IN
from crewjobs.domain.house_ready import READY_WORDS
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Phase, ScopeKind, Task
from crewjobs.domain.units import UnitSystem, format_length
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.readiness.found import held_by
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import house
from crewjobs.engines.readiness.others import still_out, who_words
from crewjobs.engines.readiness.shut import nobody_in
from crewjobs.paper.model import TaskLine
from crewjobs.services.findings.kept_out import NOBODY_GOES_IN
from crewjobs.services.jobs.known import HAND_OVER, READINGS, WALK_BEFORE
from crewjobs.services.jobs.walks import punch_open

TAKE: Final = {
    VisitKind.MEASURING: ("tape and laser", "paper for the outline", "flat bar for a corner or a vent"),
    VisitKind.SITE_CHECK: ("straightedge", "thermometer and humidity meter", "phone for photos"),
    VisitKind.CARRY_IN: ("order sheet", "hand truck", "floor protection"),
    VisitKind.READING: ("moisture meter", "thermometer and humidity meter"),
    VisitKind.WALK_THROUGH: ("signed sample", "phone for photos"),
    VisitKind.PUNCH_LIST: ("hand tool bag", "filler and touch-up sticks"),
    VisitKind.CALLBACK: ("moisture meter", "thermometer and humidity meter", "straightedge", "phone for photos"),
}
"""What is taken along, by kind."""

_LIFT: Final = "Lift a corner or a vent: every layer to the subfloor, and the year each went in"
_EACH_ROOM: Final = "Temperature and humidity of each room"
_WALK: Final = "Every room walked with the customer, lights on"
_SUBFLOOR: Final = "Subfloor seen: flatness with the straightedge, soft or wet places marked and photographed"
_WAY_IN: Final = "The way in for cartons: protected, clear, how many flights"
_THROUGH_THE_ROOMS: Final = frozenset({_LIFT, _EACH_ROOM, _WALK, _SUBFLOOR, _WAY_IN})
"""What leads through all rooms of a house: it says of which not."""
_MEASURING: Final = (
    (_LIFT,),
    ("Way in: flights, elevator and its hours, parking, where cartons can lie",),
    ("Ask: year built, leaks, pets, days on which nobody may come, who has the key",),
    ("Ask: which toilet the crew may use, what is used while the only one is out",),
)
_BEFORE: Final = (
    ("Color against the signed sample",),
    ("Direction of the rows, drawn and agreed",),
    ("Lot on the cartons",),
    ("Damage already there: a photo of each, with its place",),
    ("Who walked along, by name",),
)
_AFTER: Final = (
    (_WALK,),
    ("What is still to be done, item by item",),
    ("One full carton left, its lot written on it",),
    ("Care sheet handed over",),
    ("Who walked along, by name, and the day",),
)
_CALLBACK: Final = (
    ("Ask: since when, what was done there since (water, heat, heavy furniture)",),
    ("Photos before anything is touched", "one from the door, one close up with a tape in it"),
    ("Read temperature, humidity and moisture in that place and in a sound one",),
    ("Say who calls back by when; what it takes is decided after",),
)


def looks(
    record: JobRecord, visit: SmallVisit, catalogue: Catalogue, units: UnitSystem, now: datetime
) -> tuple[TaskLine, ...]:
    """Return the lines to tick off on a small visit; what would lead into a room nobody goes into is on hold."""
    return tuple(_not_in_shut(_looks(record, visit, catalogue, units, now), nobody_in(record, now)))


def _looks(
    record: JobRecord, visit: SmallVisit, catalogue: Catalogue, units: UnitSystem, now: datetime
) -> tuple[TaskLine, ...]:
    shut = nobody_in(record, now)
    match visit.kind:
        case VisitKind.MEASURING:
            return tuple(_measuring(record, units, shut))
        case VisitKind.SITE_CHECK:
            return tuple(_site_check(record, now))
        case VisitKind.CARRY_IN:
            return tuple(_line(record, task, catalogue, shut, now) for task in tasks_of(record, visit.kind))
        case VisitKind.READING:
            readings = tuple(_line(record, task, catalogue, shut, now) for task in tasks_of(record, visit.kind))
            return readings or (TaskLine(title=_EACH_ROOM),)
        case VisitKind.WALK_THROUGH:
            before = any(task.open and task.key.template == WALK_BEFORE for task in record.tasks)
            nowhere = any(_held(record, task, now) for task in tasks_of(record, visit.kind))
            hold = NOBODY_GOES_IN if nowhere else ""
            return tuple(replace(line, hold=hold) for line in _plain(_BEFORE if before else _AFTER))
        case VisitKind.PUNCH_LIST:
            return tuple(_punch(record)) or (TaskLine(title="No punch list is recorded: ask what is still to be done"),)
        case VisitKind.CALLBACK:
            why = (TaskLine(title=f"Look at: {visit.why}"),) if visit.why else ()
            return (*why, *_plain(_CALLBACK), *_punch(record))


def tasks_of(record: JobRecord, kind: VisitKind) -> tuple[Task, ...]:
    """Return the open tasks a small visit is about: carrying in with its counting, readings, the walk-throughs."""

    def meant(task: Task) -> bool:
        template = task.key.template
        match kind:
            case VisitKind.CARRY_IN:
                counts = task.phase is Phase.ACCLIMATE and task.key.scope.kind is ScopeKind.MATERIAL
                return is_carry_in(task) or (counts and template not in READINGS)
            case VisitKind.READING:
                return template in READINGS
            case VisitKind.WALK_THROUGH:
                return template in (WALK_BEFORE, HAND_OVER)
            case _:
                return False

    return tuple(task for task in record.tasks if task.open and meant(task))


def _line(record: JobRecord, task: Task, catalogue: Catalogue, shut: AbstractSet[str], now: datetime) -> TaskLine:
    template = catalogue.template(task.key.template)
    place = "" if task.where == "house" else upper(task.where)
    hold = NOBODY_GOES_IN if _held(record, task, now) else _hold(task.key.scope.name, shut)
    return TaskLine(title=task.title, place=place, notes=template.notes if template else (), hold=hold)


def _held(record: JobRecord, task: Task, now: datetime) -> bool:
    """Return whether a task is held by something found for which nobody goes in: no place is left for it."""
    return any(one.kind in NOBODY_IN and task.number in held_by(record, one, now) for one in record.findings)


def _not_in_shut(lines: Sequence[TaskLine], shut: AbstractSet[str]) -> Iterator[TaskLine]:
    """Yield the lines, and on those that lead through the house in which rooms nobody goes."""
    for line in lines:
        if shut and line.title in _THROUGH_THE_ROOMS:
            where = listed(sorted(shut), most=len(shut))
            yield replace(line, notes=(*line.notes, f"not in {where}: {NOBODY_GOES_IN}"))
        else:
            yield line


def _hold(place: str, shut: AbstractSet[str]) -> str:
    return NOBODY_GOES_IN if place in shut else ""


def _plain(lines: Sequence[tuple[str, ...]]) -> Iterator[TaskLine]:
    for title, *notes in lines:
        yield TaskLine(title=title, notes=tuple(notes))


def _punch(record: JobRecord) -> Iterator[TaskLine]:
    for item in punch_open(record):
        yield TaskLine(title=f"Punch list: {item}")


def _measuring(record: JobRecord, units: UnitSystem, shut: AbstractSet[str]) -> Iterator[TaskLine]:
    for room in record.job.rooms:
        length, width = room.outline.size
        known = f"in the job so far: {format_length(length, units)} × {format_length(width, units)}"
        yield TaskLine(
            title="Length and width at the floor; closets and bays apart",
            place=upper(room.name),
            notes=(known,),
            hold=_hold(room.name, shut),
        )
    for stairs in record.job.stairs:
        known = f"in the job so far: {stairs.steps} steps"
        yield TaskLine(
            title="Steps, widths, open ends, nosing",
            place=upper(stairs.name),
            notes=(known,),
            hold=_hold(stairs.name, shut),
        )
    for opening in record.job.openings:
        yield TaskLine(
            title="Clear width, floor height on both sides, jambs to undercut",
            place=upper(opening.name),
            hold=next((said for place in opening.between if (said := _hold(place, shut))), ""),
        )
    yield from _plain(_MEASURING)


def _site_check(record: JobRecord, now: datetime) -> Iterator[TaskLine]:
    seen = house(record, now)
    for item, words in READY_WORDS.items():
        said = next((answer for answer in seen.missing if answer.item is item), None)
        open_ = item in seen.unanswered
        note = "answered no so far" if said else "not answered so far" if open_ else "answered yes"
        yield TaskLine(title=upper(words), notes=(note,))
    for waits in still_out(record, now):
        yield TaskLine(title=f"Is it there? {upper(who_words(waits))}: {waits.what}")
    yield TaskLine(title=_SUBFLOOR)
    yield TaskLine(title=_WAY_IN)
