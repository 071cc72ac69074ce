"""What a task has to read in this very house, what is wanted, and what nothing goes into: beside what its template always says."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.domain.found import GOES_WITHOUT, NOTHING_INTO
from crewjobs.domain.house import Room, Subfloor
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import DISH_HOURS
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import INCH, UnitSystem
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.climate.boards import (
    TARGET_POINTS,
    WETTEST_SUBFLOOR,
    boards_wanted,
    points_apart,
    subfloor_wanted,
)
from crewjobs.engines.climate.dew_point import LEAST_MARGIN_F
from crewjobs.engines.climate.slab_tests import PROBE_HOURS, probe_count
from crewjobs.engines.readiness.dew import spreads
from crewjobs.files.catalogue import finding_kinds
from crewjobs.services.findings.found_holds import left_out
from crewjobs.services.findings.found_kinds import HOUSE
from crewjobs.services.wording import told_of


def reading_notes(record: JobRecord, task: Task, wood_target: float, units: UnitSystem) -> tuple[str, ...]:
    """Return how much is read for a task and what is wanted, and what stays there that nothing goes into."""
    return tuple(told_of(record.job, note, units) for note in _notes(record, task, wood_target))


def _notes(record: JobRecord, task: Task, wood_target: float) -> Iterator[str]:
    yield from _nothing_into(record, task)
    match task.key.template:
        case "wood-reading":
            yield from _boards(record, record.job.material(task.key.scope.name), wood_target)
        case "wood-subfloor-reading":
            room = record.job.room(task.key.scope.name)
            yield f"in {room.name} {subfloor_wanted(room.net_ft2)} places; {WETTEST_SUBFLOOR:g} % at most under wood"
        case "slab-test-set":
            yield from _slab_set(record, task)
        case "slab-test-read":
            yield from _slab_read(record)
        case _ if spreads(task):
            yield f"floor and air read first, within a day: the floor at least {LEAST_MARGIN_F:g} °F above the dew point"
        case _:
            pass


def _nothing_into(record: JobRecord, task: Task) -> Iterator[str]:
    """Yield where a floor is glued, a strip set or work agreed in words done, of what nothing goes into there."""
    if task.key.template not in GOES_WITHOUT:
        return
    places = task.key.scope.name.split(" / ")
    for taken in dict.fromkeys((way.kind, way.place) for way in record.ways_taken if way.way == NOTHING_INTO):
        kind, place = taken
        if place == HOUSE or place in places:
            yield f"{kind} stays in {place}: glued or laid on top, nothing drilled, screwed or nailed into it"


def _boards(record: JobRecord, material: Material, wood_target: float) -> Iterator[str]:
    count = boards_wanted(sum(room.net_ft2 for room in record.job.rooms if room.floor == material.name))
    yield (
        f"here {counted(count, 'board')} of {material.name}; wanted {wood_target - TARGET_POINTS:g} to {wood_target + TARGET_POINTS:g} %, "
        f"and at most {points_apart(material.plank_width / INCH):g} points off the subfloor"
    )


def _slab_set(record: JobRecord, task: Task) -> Iterator[str]:
    out = left_out(record, finding_kinds())
    slabs = [room for room in _slabs(record) if room.name not in out]
    places = listed([f"{probe_count(room.outline.area_ft2)} in {room.name}" for room in slabs], most=12)
    low, high = DISH_HOURS
    if slabs:
        yield f"holes, or dishes: {places}; holes are read from {PROBE_HOURS:g} h on, dishes after {low:g} to {high:g} h"
    yield from left_out_notes(record, task)


def left_out_notes(record: JobRecord, task: Task) -> Iterator[str]:
    """Yield which rooms a test of the house's slabs leaves out: those in which a way on lets nothing go into what was found."""
    out = left_out(record, finding_kinds()) if task.key.template == "slab-test-set" else {}
    for room in _slabs(record):
        if room.name in out:
            yield f"{room.name} is left out: {out[room.name]} stays there, nothing is drilled or lifted; the lead decides what is known of that slab"


def _slab_read(record: JobRecord) -> Iterator[str]:
    for name in dict.fromkeys(room.floor for room in _slabs(record) if room.floor is not None):
        limits = record.job.material(name).slab_limits
        yield f"{name}: {limits.rh:g} % RH, {limits.vapor:g} lb/1000 ft²/24 h and pH {limits.ph:g} at most; its sheet decides"


def _slabs(record: JobRecord) -> list[Room]:
    return [room for room in record.job.rooms if room.subfloor is Subfloor.SLAB and room.floor is not None]
