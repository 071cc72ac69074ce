"""Work under way that the plan in force counts as worked on though nobody said so: the time it has for the rest hangs on that."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.planning.blocks import counted_since
from crewjobs.services.wording import at_site, task_words

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Task
    from crewjobs.services.weeks.visits import Planned

IF_COUNTED: Final = "if what we count as done by now is done"
"""On what days hang, to a customer."""
DAYS_COUNT: Final = f"These times hold only {IF_COUNTED}: we have not looked yet."


@dataclass(frozen=True, slots=True, kw_only=True)
class Untold:
    """Since when nobody said how far a task is (UTC), and the first and last day that count as worked on all the same."""

    since: datetime
    first: date
    last: date


def untold(found: Planned, record: JobRecord) -> dict[int, Untold]:
    """Return the tasks under way that the plan in force counts as worked on on days before its own day for them, with those days.

    On a day whose hours its crew told nobody needs to say so: those count.
    """
    if record.job.state is not JobState.BOOKED:
        return {}
    zone, made = found.shop.zone, found.plan.made_at
    times = found.task_minutes(record)
    counted: dict[int, Untold] = {}
    for task in record.tasks:
        began, said = task.started_at, latest(record.how_far, task.number)
        if not task.open or began is None or began > made or task.number not in times or (said and said.at > made):
            continue
        planned = to_wall(zone, times[task.number][0]).date()
        told = {to_wall(zone, one.start).date() for one in record.crew_hours if one.crew == task.crew}
        spans = [
            (to_wall(zone, start).date(), end - start) for start, end in counted_since(record, found.shop, task, made)
        ]
        days = [(day, length) for day, length in spans if day < planned and day not in told]
        if sum((length for _, length in days), timedelta()) >= timedelta(minutes=QUARTER):
            since = max(began, said.at) if said else began
            dates = [day for day, _ in days]
            counted[task.number] = Untold(since=since, first=min(dates), last=max(dates))
    return counted


def untold_words(found: Planned, record: JobRecord, tasks: Sequence[Task], now: datetime, day: date) -> Iterator[str]:
    """Yield what a crew is told of it at a house, of the tasks it has there on a day; nothing of a day gone by."""
    zone = record.job.site.zone
    if day < to_wall(zone, now).date():
        return
    here = {task.number for task in tasks}
    for number, one in untold(found, record).items():
        if number in here:
            days = day_words(one.first) + ("" if one.first == one.last else f" to {day_words(one.last)}")
            yield (
                f"How far {task_words(record.task(number))} is, nobody has said since {at_site(zone, one.since)}: the plan counts "
                f"{days} as worked on, and has time for what would be left then. Look, say how far it is or tick it, and call the "
                "office where more is left."
            )


def hang_on(record: JobRecord, numbers: Collection[int]) -> frozenset[int]:
    """Return the open tasks among some and behind them."""
    found, look = set(numbers), list(numbers)
    while look:
        number = look.pop()
        more = {link.after for link in record.links if link.before == number} - found
        found |= more
        look += more
    return frozenset(task.number for task in record.tasks if task.open and task.number in found)
