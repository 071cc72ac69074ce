"""What ends on a day: cures, acclimation, readings that are due."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from datetime import date, datetime, time

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import upper
from crewjobs.paper.directions import whole
from crewjobs.paper.model import WaitEnd
from crewjobs.services.jobs.known import WOOD_READING
from crewjobs.services.weeks.job_waits import JobWait, WaitKind, crew_of, job_waits
from crewjobs.services.weeks.visits import Planned, Stretch

LOOK = "by the clock only: look and touch before anyone relies on it; the product's own sheet decides"
OPEN = "read the room first: temperature and humidity in the range of the carton's sheet"
CALL = "what it holds back waits until somebody has seen it done: call before anyone drives there for it"
READ = "at most 4 points apart for strips under 3 in, 2 points for planks from 3 in; else it stays stacked"


def waits_today(
    found: Planned, crew: str, stretches: Sequence[Stretch], day: date, now: datetime
) -> tuple[WaitEnd, ...]:
    """Return what ends on a day in the houses a crew visits, and elsewhere what is its to wait for, as the week has it.

    By the time it ends; of one thing in several rooms at once one line.
    """
    ends: dict[tuple[str, str, int], WaitEnd] = {}
    for number, stretch in enumerate(stretches, start=1):
        job = stretch.record.job.number
        read = {t.where for one in stretches if one.record.job.number == job for t in one.tasks if _is_reading(t)}
        for end in (*_clocks(found, stretch.record, day, now, number, read), *_readings(found, stretch, number)):
            ends.setdefault((end.what, end.place, stretch.record.job.number), end)
    same: dict[tuple[WaitEnd, int], list[str]] = {}
    for (_, _, job), end in ends.items():
        same.setdefault((replace(end, place=""), job), []).append(end.place)
    there = [replace(end, place=", ".join(filter(None, dict.fromkeys(places)))) for (end, _), places in same.items()]
    visited = {stretch.record.job.number for stretch in stretches}
    away = [end for record in _away(found, crew, visited) for end in _elsewhere(found, crew, record, day, now)]
    return tuple(sorted((*there, *away), key=lambda end: (end.at or time.max, end.house or 99, end.what, end.place)))


def _away(found: Planned, crew: str, visited: AbstractSet[int]) -> Iterator[JobRecord]:
    """Yield the booked jobs a crew has work of in the plan and does not visit that day."""
    mine = {placed.key.job for placed in found.plan.placements if placed.crew == crew} - visited
    for number, record in found.records.items():
        if number in mine and record.job.state is JobState.BOOKED:
            yield record


def _elsewhere(found: Planned, crew: str, record: JobRecord, day: date, now: datetime) -> Iterator[WaitEnd]:
    """Yield what is still to end that day at a house where the crew is not then, what is inside a day's work left out."""
    same: dict[WaitEnd, list[str]] = {}
    for wait in _telling(found, record, now):
        mine = wait.end > now and not wait.short and crew_of(found, record.job.number, wait.end) == crew
        if mine and to_wall(found.shop.zone, wait.end).date() == day:
            end = _end(found, record, wait)
            same.setdefault(replace(end, place=""), []).append(end.place)
    for end, places in same.items():
        where = ", ".join(filter(None, dict.fromkeys(places)))
        job = f"Job {record.job.number}, {whole(record.job.site.address)}"
        yield replace(end, place=f"{job}: {where}" if where else job)


def _clocks(
    found: Planned, record: JobRecord, day: date, now: datetime, house: int, read: AbstractSet[str]
) -> Iterator[WaitEnd]:
    """Yield what ends that day at a house that is visited, but the hours of wood that is `read` there that day as a task."""
    for wait in _telling(found, record, now):
        if to_wall(found.shop.zone, wait.end).date() == day and not (wait.by_reading and wait.what in read):
            yield replace(_end(found, record, wait), house=house)


def _telling(found: Planned, record: JobRecord, now: datetime) -> Iterator[JobWait]:
    """Yield a job's waits, the hours of wood only as long as its reading is open."""
    open_readings = {task.where for task in record.tasks if task.open and _is_reading(task)}
    for wait in job_waits(found, record, now):
        if not wait.by_reading or wait.what in open_readings:
            yield wait


def _is_reading(task: Task) -> bool:
    return task.key.template == WOOD_READING


def _end(found: Planned, record: JobRecord, wait: JobWait) -> WaitEnd:
    """Return a wait as the page tells its end; of wood a reading is due then."""
    at = _clock(to_wall(found.shop.zone, wait.end))
    if wait.kind is WaitKind.OTHERS:
        what = f"{upper(wait.what)}, {'expected, promised by nobody' if wait.unpromised else 'promised'}"
        return WaitEnd(at=at, what=what, place="", check=CALL)
    if wait.kind is WaitKind.WORK:
        return WaitEnd(at=at, what=f"{upper(wait.what)}: hours over", place=wait.where, check=LOOK)
    place = _rooms(record, wait.what)
    if wait.by_reading:
        what = f"{wait.what}, boards against subfloor"
        return WaitEnd(kind="reading", at=at, what=what, place=place, check=READ)
    what = f"{wait.what}: acclimation hours over{', as carried in by the plan' if wait.planned else ''}"
    return WaitEnd(at=at, what=what, place=place, check=OPEN)


def _readings(found: Planned, stretch: Stretch, house: int) -> Iterator[WaitEnd]:
    for task in stretch.tasks:
        if task.open and _is_reading(task):
            start = min(piece.start for piece in stretch.pieces if piece.task == task.number)
            what = f"{task.where}, boards against subfloor"
            yield WaitEnd(
                kind="reading",
                at=_clock(to_wall(found.shop.zone, start)),
                what=what,
                place=_rooms(stretch.record, task.where),
                house=house,
                check=READ,
            )


def _clock(wall: datetime) -> time:
    return wall.time().replace(second=0, microsecond=0, tzinfo=None)


def _rooms(record: JobRecord, material: str) -> str:
    return ", ".join(room.name for room in record.job.rooms if room.floor == material) or material
