"""Minutes simulated one by one for the plan's judge: what the wall clocks show, who works, which site is open.

This shares nothing with the planner's calendars on purpose: it walks every minute and asks the time zone.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left
from datetime import UTC, date, datetime, timedelta
from functools import cached_property, lru_cache
from itertools import accumulate
from typing import NamedTuple

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.job import Job
from crewjobs.domain.wall import QUARTER, WeekHours, zone_of

MINUTE = timedelta(minutes=1)
WEEK = 7 * 24 * 60
"""Minutes; whole weeks are simulated, from a week's begin on, so that plans of a few days share what was simulated."""


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
        self._sums = array("l", [0, *accumulate(flags)])

    def count(self, start: int, end: int) -> int:
        """Return how many of the minutes from `start` until `end` can be worked."""
        return self._sums[end] - self._sums[start]


class Minutes:
    """The minutes between two instants, with what crews and sites do in each."""

    def __init__(self, shop: Shop, start: datetime, end: datetime) -> None:
        before = int((start - timedelta(days=2)).timestamp()) // 60
        self._shop = shop
        self._origin = datetime.fromtimestamp((before - before % WEEK) * 60, UTC)
        self._first = int(self._origin.timestamp())
        self._length = -(-((end - self._origin) // MINUTE + 2 * 24 * 60) // WEEK) * WEEK
        self._worked: dict[int, tuple[Crew, tuple[_AtWork, ...]]] = {}  # a crew is kept, so that no other gets its id

    def of(self, instant: datetime) -> int:
        """Return the number of the minute an instant lies in."""
        return (instant - self._origin) // MINUTE

    def at(self, minute: int) -> datetime:
        """Return the instant at which a minute begins."""
        return self._origin + minute * MINUTE

    def walls(self, zone: str) -> list[tuple[date, int]]:
        """Return the date and the minute of the day a zone's clocks show in every minute."""
        return _walls(zone, self._first, self._length)

    def day(self, minute: int) -> date:
        """Return the shop's date in a minute."""
        return self._own_walls[minute][0]

    @cached_property
    def _own_walls(self) -> list[tuple[date, int]]:
        return self.walls(self._shop.zone)

    def _working(self, crew: Crew) -> tuple[_AtWork, ...]:
        """Return the minutes a crew works, with how far its day is in each."""
        if id(crew) not in self._worked:
            self._worked[id(crew)] = crew, _at_work(self._first, self._length, self._rhythm(crew))
        return self._worked[id(crew)][1]

    def _rhythm(self, crew: Crew) -> _Rhythm:
        shop = self._shop
        return _Rhythm(shop.zone, crew.hours, crew.days_off, shop.holidays, crew.only)

    def hours(self, crew: Crew, start: int, end: int) -> int:
        """Return how many minutes a crew works between two minutes, wherever it is."""
        working = self._working(crew)
        return bisect_left(working, (end,)) - bisect_left(working, (start,))

    def there(self, crew: Crew, job: Job, *, elevator: bool = False) -> Presence:
        """Return when a crew can work at a job's site: after the drive there, before the drive back, while it is open.

        With `elevator` also while the elevator is booked.
        """
        site = job.site
        door = _Door(site.zone, site.hours, job.blocked, site.elevator if elevator else None, site.drive_min)
        return _there(self._first, self._length, self._rhythm(crew), door)


class _Rhythm(NamedTuple):
    """All that says in which minutes a crew works."""

    zone: str
    hours: WeekHours
    days_off: frozenset[date]
    holidays: frozenset[date]
    only: frozenset[date]


class _Door(NamedTuple):
    """All that says in which minutes of its day a crew can work at a site."""

    zone: str
    hours: WeekHours | None
    blocked: frozenset[date]
    elevator: WeekHours | None
    drive_min: int


@lru_cache(maxsize=32)
def _at_work(first: int, length: int, crew: _Rhythm) -> tuple[_AtWork, ...]:
    days: dict[date, list[int]] = {}
    covers = _Covers(crew.hours)
    single = dict(crew.hours.but)
    for m, (day, minute) in enumerate(_walls(crew.zone, first, length)):
        if minute in covers[day]:
            own = day in crew.days_off and day not in single
            if not (own or day in crew.holidays or (crew.only and day not in crew.only)):
                days.setdefault(day, []).append(m)
    return tuple(
        sorted(_AtWork(minute=m, passed=i, left=len(found) - i) for found in days.values() for i, m in enumerate(found))
    )


@lru_cache(maxsize=128)
def _there(first: int, length: int, crew: _Rhythm, door: _Door) -> Presence:
    drive, site = whole_quarters(door.drive_min), _walls(door.zone, first, length)
    opens = _Covers(door.hours) if door.hours is not None else None
    moves = _Covers(door.elevator) if door.elevator is not None else None
    flags = bytearray(length)
    for m, passed, left in _at_work(first, length, crew):
        day, minute = site[m]
        is_open = day not in door.blocked and (opens is None or minute in opens[day])
        is_open = is_open and (moves is None or minute in moves[day])
        flags[m] = is_open and passed >= drive and left > drive
    return Presence(flags)


class _Covers(dict[date, frozenset[int]]):
    """The minutes of the day that hours cover, by date."""

    def __init__(self, hours: WeekHours) -> None:
        super().__init__()
        self._hours = hours

    def __missing__(self, day: date) -> frozenset[int]:
        self[day] = frozenset(m for span in self._hours.on(day) for m in range(span.start, span.end))
        return self[day]


@lru_cache(maxsize=8)
def _walls(zone: str, first: int, length: int) -> list[tuple[date, int]]:
    info = zone_of(zone)
    shown = (datetime.fromtimestamp(first + 60 * m, info) for m in range(length))
    return [(wall.date(), wall.hour * 60 + wall.minute) for wall in shown]
