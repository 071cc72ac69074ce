"""Time at a site: wall clock and UTC, and hours by weekday.

Facts are instants in UTC. People speak of site dates and wall minutes (minutes after the site's midnight).
Waits run by the clock, so 48 h stay 48 h across a change of daylight saving time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted

WEEKDAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
DAY: Final = 24 * 60
QUARTER: Final = 15
"""The planner's step in minutes; hours of crews and sites start and end on it."""


class HouseZone(str):
    """The name of a house's time zone where it is not the shop's: a wall time of it knows whose clock it is told by."""

    __slots__ = ("shop",)
    shop: str

    def __new__(cls, name: str, shop: str) -> HouseZone:
        """Return the name of a house's zone, beside that of its shop."""
        made = super().__new__(cls, name)
        made.shop = shop
        return made

    def __reduce__(self) -> tuple[type[HouseZone], tuple[str, str]]:
        """Return what makes it again: records are copied, and handed to processes that search."""
        return HouseZone, (str(self), self.shop)


class _HouseClock(ZoneInfo):
    """The clock of a house that keeps a zone of its own."""

    shop: str

    def __reduce__(self) -> tuple[Callable[[str], ZoneInfo], tuple[HouseZone]]:
        """Return what makes it again, as for the zone's name."""
        return zone_of, (HouseZone(self.key, self.shop),)


def house_zone(name: str, shop: str) -> str:
    """Return the name of a house's zone, marked as its own where the shop's is another."""
    return name if name == shop else HouseZone(name, shop)


def clock_name(wall: datetime) -> str:
    """Return whose clock a wall time is told by, such as ``New York time``; empty where the shop's shows the same."""
    zone = wall.tzinfo
    if not isinstance(zone, _HouseClock) or wall.utcoffset() == wall.astimezone(zone_of(zone.shop)).utcoffset():
        return ""
    return f"{zone.key.rpartition('/')[2].replace('_', ' ')} time"


def clock_beside(zone: str, at: datetime) -> str:
    """Return how a house's own clock stands beside the shop's at an instant: ``New York time, 1 h ahead of the shop's``.

    Empty where the shop's shows the same.
    """
    name = clock_name(wall := to_wall(zone, at))
    if not name or not isinstance(zone, HouseZone):
        return ""
    ahead = ((wall.utcoffset() or timedelta()) - (to_wall(zone.shop, at).utcoffset() or timedelta())) // timedelta(
        minutes=1
    )
    hours, minutes = divmod(abs(ahead), 60)
    by = " ".join(filter(None, (f"{hours} h" if hours else "", f"{minutes} min" if minutes else "")))
    return f"{name}, {by} {'ahead of' if ahead > 0 else 'behind'} the shop's"


def hour_words(wall: datetime) -> str:
    """Return a wall time's hour as ``14:30``, with whose clock it is where the shop's shows another."""
    return " ".join(filter(None, (f"{wall:%H:%M}", clock_name(wall))))


def zone_of(name: str) -> ZoneInfo:
    """Return the time zone of an IANA name such as ``America/Chicago``.

    Raises:
        Refused: there is no such zone.
    """
    return _house_clock(str(name), name.shop) if isinstance(name, HouseZone) else _zone_named(name)


@lru_cache(maxsize=64)
def _house_clock(name: str, shop: str) -> _HouseClock:
    _zone_named(name)
    made = _HouseClock.no_cache(name)
    made.shop = shop
    return made


@lru_cache(maxsize=64)
def _zone_named(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise Refused(f"{quoted(name)} is not a time zone: use an IANA name such as America/Chicago.") from None


def to_utc(zone: str, day: date, minute: int) -> datetime:
    """Return the instant of a site's wall minute on a day; `minute` may run past midnight.

    A wall time skipped by the clock change becomes the instant the clocks jump over it;
    one that happens twice means its first.
    """
    days, minute = divmod(minute, DAY)
    wall = datetime.combine(day + timedelta(days=days), time(minute // 60, minute % 60), zone_of(zone))
    instant = wall.astimezone(UTC)
    return instant if _shows(instant, wall) else _jump(wall)


def exists(zone: str, day: date, minute: int) -> bool:
    """Return whether the clocks of a zone ever show a wall minute of a day (the change to summer skips some)."""
    wall = datetime.combine(day, time(minute // 60, minute % 60), zone_of(zone))
    return _shows(wall.astimezone(UTC), wall)


def _shows(instant: datetime, wall: datetime) -> bool:
    return instant.astimezone(wall.tzinfo).replace(tzinfo=None) == wall.replace(tzinfo=None)


def _jump(wall: datetime) -> datetime:
    """Return the instant at which the clocks jump over a skipped wall time."""
    after = wall.astimezone(UTC)  # read with the offset before the jump, so it lies behind it
    before = wall.replace(fold=1).astimezone(UTC)
    offset = wall.utcoffset()
    while after - before > timedelta(minutes=1):
        middle = before + timedelta(minutes=(after - before) // timedelta(minutes=2))
        if middle.astimezone(wall.tzinfo).utcoffset() == offset:
            before = middle
        else:
            after = middle
    return after


def to_wall(zone: str, instant: datetime) -> datetime:
    """Return an instant as the aware wall time of a zone."""
    return instant.astimezone(zone_of(zone))


def wall_minute(moment: datetime) -> int:
    """Return the minutes after midnight of a wall time."""
    return moment.hour * 60 + moment.minute


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Span:
    """A stretch of one day in wall minutes, half open: ``[start, end)``."""

    start: int
    end: int

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end <= DAY:
            raise Refused(
                f"{clock(self.start)}-{clock(self.end)} is not a stretch of a day: the end comes after the start."
            )

    @property
    def minutes(self) -> int:
        """Return its length in minutes."""
        return self.end - self.start


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekHours:
    """Hours by weekday, Monday first; a day without spans is a day off. A gap between spans is a break.

    `but` are single days with hours of their own in the place of the weekday's (no span: off), each once, in order.
    """

    days: tuple[tuple[Span, ...], ...]
    but: tuple[tuple[date, tuple[Span, ...]], ...] = ()

    def __post_init__(self) -> None:
        if len(self.days) != 7:
            raise Refused("hours need seven days, Monday first.")
        given = [day for day, _ in self.but]
        twice = next((day for day in given if given.count(day) > 1), None)
        if twice is not None:
            raise Refused(f"the hours of {twice.isoformat()} are given twice: name each day once.")
        object.__setattr__(self, "but", tuple(sorted(self.but, key=lambda one: one[0])))  # equal hours are equal values
        single = ((f"{day:%a} {day.day} {day:%b}", spans) for day, spans in self.but)
        for name, spans in (*zip(WEEKDAYS, self.days, strict=True), *single):
            for before, after in pairwise(spans):
                if after.start < before.end:
                    raise Refused(f"the hours of {name} overlap or are out of order.")
            if any(edge % QUARTER for span in spans for edge in (span.start, span.end)):
                raise Refused(f"the hours of {name} do not start and end on a quarter hour.")

    def on(self, day: date) -> tuple[Span, ...]:
        """Return the spans of a calendar day."""
        single = self.single(day)
        return self.usual(day) if single is None else single

    def usual(self, day: date) -> tuple[Span, ...]:
        """Return the spans of such a weekday, single days aside."""
        return self.days[day.weekday()]

    def single(self, day: date) -> tuple[Span, ...] | None:
        """Return the spans of a single day with hours of its own (none: off), None where it is as every week."""
        return next((spans for one, spans in self.but if one == day), None)

    def with_single(self, day: date, spans: tuple[Span, ...] | None) -> WeekHours:
        """Return the hours with other ones on a single day; None: as every week again.

        Raises:
            Refused: the hours overlap or do not start and end on a quarter hour.
        """
        others = tuple(one for one in self.but if one[0] != day)
        return replace(self, but=others if spans is None else (*others, (day, spans)))

    @property
    def every(self) -> tuple[tuple[Span, ...], ...]:
        """Return the spans of all days with hours: those of the week, then single ones."""
        return tuple(spans for spans in (*self.days, *(spans for _, spans in self.but)) if spans)


def clock(minute: int) -> str:
    """Return wall minutes as ``07:30``."""
    return f"{minute // 60:02d}:{minute % 60:02d}"


def spans_words(spans: Iterable[Span]) -> str:
    """Return the spans of a day as ``07:00-12:00, 12:30-15:30``."""
    return ", ".join(f"{clock(span.start)}-{clock(span.end)}" for span in spans)


def days_from(first: date, count: int) -> Iterator[date]:
    """Yield `count` days from `first` on."""
    return (first + timedelta(days=n) for n in range(count))
