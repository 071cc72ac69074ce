"""What ends on a day: cures, acclimation, readings that are due."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.clocks import counted_by_lots, material_clock
from crewjobs.engines.readiness.lots import is_carry_in
from crewjobs.paper.model import WaitEnd
from crewjobs.services.jobs.known import WOOD_READING
from crewjobs.services.weeks.gone_by import unsure
from crewjobs.services.weeks.ready_planned import as_planned
from crewjobs.services.weeks.visits import Planned, Stretch

LOOK = "by the clock only: look and touch before anyone relies on it; the product's own sheet decides"
OPEN = "read the room first: temperature and humidity in the range of the carton's sheet"
READ = "at most 4 points apart for strips under 3 in, 2 points for planks from 3 in; else it stays stacked"


def waits_today(found: Planned, stretches: Sequence[Stretch], day: date, now: datetime) -> tuple[WaitEnd, ...]:
    """Return what ends on a day in the houses a crew visits, by the time it ends; of one thing in several rooms at once one line."""
    ends: dict[tuple[str, str, int], WaitEnd] = {}
    for number, stretch in enumerate(stretches, start=1):
        for end in (*_clocks(found, stretch.record, day, now, number), *_readings(found, stretch, number)):
            ends.setdefault((end.what, end.place, stretch.record.job.number), end)
    same: dict[WaitEnd, list[str]] = {}
    for end in ends.values():
        same.setdefault(replace(end, place=""), []).append(end.place)
    told = [replace(end, place=", ".join(dict.fromkeys(places))) for end, places in same.items()]
    return tuple(sorted(told, key=lambda end: (end.at or time.max, end.house or 0, end.what)))


def _clocks(found: Planned, record: JobRecord, day: date, now: datetime, house: int) -> Iterator[WaitEnd]:
    zone = found.shop.zone
    late = unsure(found.task_minutes(record), record, now)
    for material in record.job.materials:
        clock = as_planned(found, record, material_clock(record, material, now))
        laying = any(task.needs_material == material.name and task.open for task in record.tasks)
        runs = clock.since and not clock.due
        planned = clock.by_plan and not any(_carries(record, number, material.name) for number in late)
        if laying and clock.ready_at and (runs or planned) and not material.by_reading:
            wall = to_wall(zone, clock.ready_at)
            if wall.date() == day:
                what = f"{material.name}: acclimation hours over{', as carried in by the plan' if planned else ''}"
                yield WaitEnd(at=_clock(wall), what=what, place=_rooms(record, material.name), house=house, check=OPEN)
    for link in record.links:
        before, after = record.task(link.before), record.task(link.after)
        if not link.wait_min or not after.open or before.not_needed or counted_by_lots(link, after):
            continue
        if before.number in late:  # nobody knows when it was done: what holds until then stands on its task
            continue
        start = found.waits_from(record, before)
        if start is not None:
            wall = to_wall(zone, start + timedelta(minutes=link.wait_min))
            if wall.date() == day:
                yield WaitEnd(
                    at=_clock(wall), what=f"{upper(link.name)}: hours over", place=before.where, house=house, check=LOOK
                )


def _carries(record: JobRecord, number: int, material: str) -> bool:
    task = record.task(number)
    return is_carry_in(task) and task.key.scope.name == material


def _readings(found: Planned, stretch: Stretch, house: int) -> Iterator[WaitEnd]:
    for task in stretch.tasks:
        if task.open and task.key.template == WOOD_READING:
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
