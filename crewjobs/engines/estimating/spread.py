"""What is really known in the evening is a crew's hours at a house; here those at work are spread over the work of that day.

Each task of the day takes a share by its estimate times how much of it was done that day. Such minutes are an
inference, and every face that shows them says so. Whatever knows how fast a crew works knows it from here, so a
callback is left out here: its hours stay with it as they were said. Small visits have no crew hours at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from functools import lru_cache
from math import floor

from crewjobs.domain.evening import CrewHours, latest
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_utc, to_wall


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySpread:
    """One crew's labor minutes at a house on a day, by task number; `rest` is what no task of the day can take.

    What was waited is no labor.
    """

    day: date
    crew: str
    labor: int
    tasks: Mapping[int, int]
    rest: int


def share_out(labor: int, weights: Mapping[int, float]) -> dict[int, int]:
    """Return whole minutes in proportion to the weights, which add up to `labor` exactly; empty without any weight.

    Largest remainders get the minutes that rounding down leaves; of equal ones the lower number goes first.
    """
    parts = {number: Fraction(weight) for number, weight in weights.items() if weight > 0}
    whole = sum(parts.values())
    if not parts:
        return {}
    exact = {number: labor * part / whole for number, part in parts.items()}
    minutes = {number: floor(share) for number, share in exact.items()}
    by_remainder = sorted(exact, key=lambda number: (minutes[number] - exact[number], number))
    left = labor - sum(minutes.values())
    for number in by_remainder[:left]:
        minutes[number] += 1
    return minutes


def spread_hours(record: JobRecord) -> tuple[DaySpread, ...]:
    """Return the crew hours of a job so far, each crew's of a day spread over what was done of its tasks that day.

    A task counts for the crew recorded with it; where none of that day's crews is, for each by its labor. Nothing is
    returned of a callback: putting right what was done is no pace of doing it.
    """
    if record.job.is_callback:
        return ()
    zone = record.job.site.zone
    days: dict[date, dict[str, int]] = {}
    for hours in record.crew_hours:
        crews = days.setdefault(day_of(hours, zone), {})
        crews[hours.crew] = crews.get(hours.crew, 0) + hours.labor
    found = []
    for day, crews in sorted(days.items()):
        done = {task.number: weight for task in record.tasks if (weight := done_on(record, task, day)) > 0}
        for crew, labor in sorted(crews.items()):
            weights = {
                number: weight * part_of(record.task(number).crew, crew, crews) for number, weight in done.items()
            }
            minutes = share_out(labor, weights)
            rest = labor - sum(minutes.values())
            found.append(DaySpread(day=day, crew=crew, labor=labor, tasks=minutes, rest=rest))
    return tuple(found)


def day_of(hours: CrewHours, zone: str) -> date:
    """Return the site's day on which a crew started."""
    return to_wall(zone, hours.start).date()


def done_on(record: JobRecord, task: Task, day: date) -> float:
    """Return the expected labor minutes of what was done of a task on a day of the site."""
    if task.not_needed:
        return 0.0
    start, end = _bounds(record.job.site.zone, day)
    before = latest(record.how_far, task.number, start)
    share = before.share if before is not None else 0.0
    if task.done_at is not None and task.done_at <= end:
        then = 1.0 if task.done_at > start else share
    else:
        last = latest(record.how_far, task.number, end)
        then = last.share if last is not None else 0.0
    return task.estimate.expected * max(0.0, then - share)


@lru_cache(maxsize=1024)
def _bounds(zone: str, day: date) -> tuple[datetime, datetime]:
    """Return the last instant before a day and its own last instant, to the second."""
    second = timedelta(seconds=1)
    return to_utc(zone, day, 0) - second, to_utc(zone, day + timedelta(days=1), 0) - second


def part_of(worked_by: str, crew: str, crews: Mapping[str, int]) -> float:
    """Return a crew's part of a task's minutes on a day: all where it is recorded with it, by labor where none of the day's is."""
    if worked_by in crews:
        return 1.0 if worked_by == crew else 0.0
    labor = sum(crews.values())
    return crews[crew] / labor if labor else 0.0
