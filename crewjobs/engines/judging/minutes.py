"""Minutes simulated one by one for the plan's judge: what the wall clocks show, who works, which site is open.

This shares nothing with the planner's calendars on purpose: it walks every minute and asks the time zone.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from itertools import accumulate
from typing import NamedTuple

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.job import Job
from crewjobs.domain.wall import QUARTER, WeekHours, zone_of

MINUTE = timedelta(minutes=1)


def whole_quarters(minutes: int) -> int:
    """Return minutes rounded up to quarter hours: drive and work are counted in them."""
    return (minutes + QUARTER - 1) // QUARTER * QUARTER


class _AtWork(NamedTuple):
    minute: int
    passed: int  # minutes of the crew's day before this one
    left: int  # minutes of the crew's day from this one on


class Presence:
    """The minutes a crew can work at a site; `flags[m]` is 1 for the m-th minute."""

    def __init__(self, flags: bytearray) -> None:
        self.flags = flags
        self._sums = [0, *accumulate(flags)]

    def count(self, start: int, end: int) -> int:
        """Return how many of the minutes from `start` until `end` can be worked."""
        return self._sums[end] - self._sums[start]


class Minutes:
    """The minutes between two instants, with what crews and sites do in each."""

    def __init__(self, shop: Shop, start: datetime, end: datetime) -> None:
        midnight = start.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
        self._shop = shop
        self._origin = midnight - timedelta(days=2)
        self._length = (end - self._origin) // MINUTE + 2 * 24 * 60
        self._at_work: dict[str, list[_AtWork]] = {}
        self._there: dict[tuple[str, int, bool], Presence] = {}

    def of(self, instant: datetime) -> int:
        """Return the number of the minute an instant lies in."""
        return (instant - self._origin) // MINUTE

    def walls(self, zone: str) -> list[tuple[date, int]]:
        """Return the date and the minute of the day a zone's clocks show in every minute."""
        return _walls(zone, int(self._origin.timestamp()), self._length)

    def day(self, minute: int) -> date:
        """Return the shop's date in a minute."""
        return self.walls(self._shop.zone)[minute][0]

    def _working(self, crew: Crew) -> list[_AtWork]:
        """Return the minutes a crew works, with how far its day is in each."""
        if crew.name not in self._at_work:
            days: dict[date, list[int]] = {}
            single = dict(crew.hours.but)
            for m, (day, minute) in enumerate(self.walls(self._shop.zone)):
                own = day in crew.days_off and day not in single
                off = own or day in self._shop.holidays or (crew.only and day not in crew.only)
                if not off and _covers(crew.hours, day, minute):
                    days.setdefault(day, []).append(m)
            self._at_work[crew.name] = [
                _AtWork(minute=m, passed=i, left=len(found) - i) for found in days.values() for i, m in enumerate(found)
            ]
        return self._at_work[crew.name]

    def hours(self, crew: Crew, start: int, end: int) -> int:
        """Return how many minutes a crew works between two minutes, wherever it is."""
        return sum(start <= at.minute < end for at in self._working(crew))

    def there(self, crew: Crew, job: Job, *, elevator: bool = False) -> Presence:
        """Return when a crew can work at a job's site: after the drive there, before the drive back, while it is open.

        With `elevator` also while the elevator is booked.
        """
        key = (crew.name, job.number, elevator)
        if key not in self._there:
            drive, site = whole_quarters(job.site.drive_min), self.walls(job.site.zone)
            flags = bytearray(self._length)
            for at in self._working(crew):
                day, minute = site[at.minute]
                is_open = day not in job.blocked and (job.site.hours is None or _covers(job.site.hours, day, minute))
                if elevator and job.site.elevator is not None:
                    is_open = is_open and _covers(job.site.elevator, day, minute)
                flags[at.minute] = is_open and at.passed >= drive and at.left > drive
            self._there[key] = Presence(flags)
        return self._there[key]


@lru_cache(maxsize=8)
def _walls(zone: str, first: int, length: int) -> list[tuple[date, int]]:
    info = zone_of(zone)
    shown = (datetime.fromtimestamp(first + 60 * m, info) for m in range(length))
    return [(wall.date(), wall.hour * 60 + wall.minute) for wall in shown]


def _covers(hours: WeekHours, day: date, minute: int) -> bool:
    return any(span.start <= minute < span.end for span in hours.on(day))
