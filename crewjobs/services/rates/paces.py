"""What the records tell of the crews' pace, at an instant."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from crewjobs.domain.crew import Shop
from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import WorkedDay
from crewjobs.domain.wall import to_wall
from crewjobs.engines.estimating.worked import worked_days


def days_worked(records: Iterable[JobRecord], shop: Shop, now: datetime) -> tuple[WorkedDay, ...]:
    """Return the crews' hours by job and day up to today; a sub has capacity, so none of its days is among them."""
    today, subs = to_wall(shop.zone, now).date(), {crew.name for crew in shop.crews if crew.sub is not None}
    days = (day for record in records for day in worked_days(record))
    return tuple(day for day in days if day.day <= today and day.crew not in subs)


def jobs_told(days: Sequence[WorkedDay]) -> int:
    """Return of how many jobs the hours tell a pace."""
    return len({day.job for day in days if day.tells_pace})
