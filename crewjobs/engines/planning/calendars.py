"""When a crew can work at a site: hours, days off, holidays, blocked days and the drive, on one axis.

The axis counts slots of a quarter hour in UTC from the start of the plan, so a wait by the clock is a plain
number of slots, also across a change of daylight saving time. Planner and day plan both read it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import chain

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.house import Site
from crewjobs.domain.job import Job
from crewjobs.domain.tasks import Pause
from crewjobs.domain.wall import QUARTER, Span, WeekHours, days_from, to_utc, to_wall, wall_minute

SLOT = timedelta(minutes=QUARTER)
SLOTS_A_DAY = 24 * 60 // QUARTER
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
Window = tuple[int, int]
"""First slot and the slot after the last."""
CrewDay = tuple[date, tuple[Window, ...]]
"""A day of the shop with the windows its crew works."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Slots of a quarter hour from `origin`, an instant on the quarter hour in UTC."""

    origin: datetime
    slots: int

    def at(self, slot: int) -> datetime:
        """Return the instant at which a slot starts."""
        return self.origin + slot * SLOT

    def up(self, instant: datetime) -> int:
        """Return the first slot that starts no earlier than an instant."""
        return -((self.origin - instant) // SLOT)

    def down(self, instant: datetime) -> int:
        """Return the last slot that starts no later than an instant."""
        return (instant - self.origin) // SLOT

    @property
    def end(self) -> datetime:
        """Return the instant after the last slot."""
        return self.at(self.slots)


def axis_from(instant: datetime, days: int) -> Axis:
    """Return the axis that starts at the next full quarter hour."""
    quarters = -((EPOCH - instant) // SLOT)
    return Axis(origin=EPOCH + quarters * SLOT, slots=days * SLOTS_A_DAY)


def slots_of(minutes: int) -> int:
    """Return minutes as slots, rounded up."""
    return -(-minutes // QUARTER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """The slots somebody can work, in order, as windows; the n-th of them is found by bisection.

    `before[i]` counts the working slots ahead of window i; `day_begin[i]` and `day_end[i]` those ahead of
    the first and up to the last of the windows of its day.
    """

    days: tuple[date, ...]
    starts: tuple[int, ...]
    ends: tuple[int, ...]
    before: tuple[int, ...]
    day_begin: tuple[int, ...]
    day_end: tuple[int, ...]
    longest_day: int
    total: int
    at: tuple[int, ...]
    """The working slots, one after the other."""

    def count(self, slot: int) -> int:
        """Return how many working slots lie before a slot."""
        return bisect_left(self.at, slot)

    def slot(self, index: int) -> int:
        """Return the slot of the working slot with this index."""
        return self.at[index]

    def window(self, index: int) -> int:
        """Return the number of the window that holds a working slot."""
        return bisect_right(self.before, index) - 1

    def finish(self, start: int, work: int) -> int | None:
        """Return the slot after the last of `work` working slots from `start` on, None past the end."""
        index = self.count(start) + work - 1
        return self.slot(index) + 1 if index < self.total else None

    def windows_from(self, start: int, work: int) -> tuple[Window, ...]:
        """Return the windows in which `work` slots from `start` on are worked; fewer at the calendar's end."""
        index, found = self.count(start), []
        while work > 0 and index < self.total:
            i, first = self.window(index), self.slot(index)
            taken = min(work, self.ends[i] - first)
            found.append((first, first + taken))
            index, work = index + taken, work - taken
        return tuple(found)

    def longest(self, pause: Pause) -> int:
        """Return the most slots that can be worked in one stretch under a pause rule."""
        if pause is Pause.NIGHT:
            return self.total
        if pause is Pause.LUNCH:
            return self.longest_day
        return max((end - start for start, end in zip(self.starts, self.ends, strict=True)), default=0)


def calendar_of(crew_days: Iterable[CrewDay], slots: int) -> Calendar:
    """Return the calendar of windows in order, cut to the axis."""
    days, starts, ends, before, begins, finishes = [], [], [], [], [], []
    total = 0
    for day, windows in crew_days:
        cut = [(max(0, a), min(slots, b)) for a, b in windows if b > 0 and a < slots]
        begin, finish = total, total + sum(b - a for a, b in cut)
        for a, b in cut:
            days.append(day)
            starts.append(a)
            ends.append(b)
            before.append(total)
            begins.append(begin)
            finishes.append(finish)
            total += b - a
    return Calendar(
        days=tuple(days),
        starts=tuple(starts),
        ends=tuple(ends),
        before=tuple(before),
        day_begin=tuple(begins),
        day_end=tuple(finishes),
        longest_day=max((end - begin for begin, end in zip(begins, finishes, strict=True)), default=0),
        total=total,
        at=tuple(chain.from_iterable(map(range, starts, ends))),
    )


def crew_days(axis: Axis, shop: Shop, crew: Crew) -> tuple[CrewDay, ...]:
    """Return a crew's working windows by day of the shop, days off and holidays left out.

    The windows of the first and last day may reach beyond the axis: the drive is measured from where
    the day really starts and ends.
    """
    return tuple(
        (day, windows)
        for day in _days(axis, shop.zone)
        if day not in shop.holidays and crew.comes(day) and (windows := _on(axis, shop.zone, day, crew.hours))
    )


def site_windows(axis: Axis, site: Site, blocked: frozenset[date], *, elevator: bool = False) -> tuple[Window, ...]:
    """Return when a site is open: its hours in its own zone (any, where it has none), without blocked days.

    With `elevator` only while the site's elevator is booked (site hours hold then too).
    """
    booked = site.elevator if elevator else None
    if site.hours is None and booked is None and not blocked:
        return ((-SLOTS_A_DAY * 2, axis.slots + SLOTS_A_DAY * 2),)
    hours = booked or site.hours or ALWAYS  # an elevator is booked inside the site's hours
    return _joined(
        window for day in _days(axis, site.zone) if day not in blocked for window in _on(axis, site.zone, day, hours)
    )


def site_calendar(axis: Axis, days: Sequence[CrewDay], site: Site, open_at: Sequence[Window]) -> Calendar:
    """Return when a crew can work at a site: it drives there first and back last, both inside its own hours."""
    drive = slots_of(site.drive_min)
    starts = [start for start, _ in open_at]
    return calendar_of(
        ((day, _meet(_without_ends(windows, drive), open_at, starts)) for day, windows in days), axis.slots
    )


ALWAYS = WeekHours(days=((Span(start=0, end=24 * 60),),) * 7)


def worked_minutes(
    shop: Shop, crew: Crew, job: Job, since: datetime, until: datetime, *, elevator: bool = False
) -> int:
    """Return the minutes a crew could work at a job's site between two instants, with `elevator` while it is booked."""
    windows = worked_windows(shop, crew, job, since, until, elevator=elevator)
    return sum((end - start) // timedelta(minutes=1) for _, start, end in windows)


def worked_windows(
    shop: Shop, crew: Crew, job: Job, since: datetime, until: datetime, *, elevator: bool = False
) -> tuple[tuple[date, datetime, datetime], ...]:
    """Return when a crew could work at a job's site between two instants: the shop's day, from when and until when (UTC)."""
    if until <= since:
        return ()
    quarters = (since - EPOCH) // SLOT
    origin = EPOCH + quarters * SLOT
    axis = Axis(origin=origin, slots=-((origin - until) // SLOT))
    open_at = site_windows(axis, job.site, job.blocked, elevator=elevator)
    calendar = site_calendar(axis, crew_days(axis, shop, crew), job.site, open_at)
    return tuple(
        (day, max(since, axis.at(start)), min(until, axis.at(end)))
        for day, start, end in zip(calendar.days, calendar.starts, calendar.ends, strict=True)
        if axis.at(start) < until and since < axis.at(end)
    )


class Calendars:
    """The calendars of one plan, each compiled once."""

    def __init__(self, axis: Axis, shop: Shop) -> None:
        self.axis = axis
        self._shop = shop
        self._days = {crew.name: crew_days(axis, shop, crew) for crew in shop.crews}
        self._crews = {name: calendar_of(days, axis.slots) for name, days in self._days.items()}
        self._open: dict[tuple[int, bool], tuple[Window, ...]] = {}
        self._sites: dict[tuple[str, int, bool], Calendar] = {}
        self._alike: dict[
            tuple[str, int, tuple[Window, ...]], Calendar
        ] = {}  # houses with one drive and the same hours

    def crew(self, name: str) -> Calendar:
        """Return a crew's own hours, wherever it works."""
        return self._crews[name]

    @property
    def names(self) -> tuple[str, ...]:
        """Return the crews, in the shop's order."""
        return tuple(self._days)

    def into_its_day(self, name: str) -> int:
        """Return how many slots ago a crew's day began, lunch included; 0 where the axis starts in none of its days."""
        return next((-w[0][0] for _, w in self._days[name] if w[0][0] < 0 < w[-1][1]), 0)

    def at(self, name: str, job: Job, *, elevator: bool = False) -> Calendar:
        """Return when a crew can work at a job's site, with `elevator` only while it is booked."""
        key = (name, job.number, elevator)
        if key not in self._sites:
            if (job.number, elevator) not in self._open:
                self._open[job.number, elevator] = site_windows(self.axis, job.site, job.blocked, elevator=elevator)
            open_at = self._open[job.number, elevator]
            alike = (name, slots_of(job.site.drive_min), open_at)
            if alike not in self._alike:
                self._alike[alike] = site_calendar(self.axis, self._days[name], job.site, open_at)
            self._sites[key] = self._alike[alike]
        return self._sites[key]


def _days(axis: Axis, zone: str) -> Iterable[date]:
    """Yield the dates of a zone that touch the axis, with one more at each end."""
    first = to_wall(zone, axis.origin).date() - timedelta(days=1)
    return days_from(first, axis.slots // SLOTS_A_DAY + 4)


def _on(axis: Axis, zone: str, day: date, hours: WeekHours) -> tuple[Window, ...]:
    """Return the windows of one wall-clock day; slot by slot where the clocks change that day."""
    spans = hours.on(day)
    if not spans:
        return ()
    midnight, next_midnight = to_utc(zone, day, 0), to_utc(zone, day + timedelta(days=1), 0)
    base = axis.down(midnight)
    if next_midnight - midnight == timedelta(days=1):
        return _joined((base + span.start // QUARTER, base + span.end // QUARTER) for span in spans)
    found = []
    for slot in range(base, axis.down(next_midnight)):
        wall = to_wall(zone, axis.at(slot))
        if wall.date() == day and any(span.start <= wall_minute(wall) < span.end for span in spans):
            found.append((slot, slot + 1))
    return _joined(found)


def _joined(windows: Iterable[Window]) -> tuple[Window, ...]:
    """Return windows in order with those that touch made one, so that work in one go may cross the seam."""
    joined: list[Window] = []
    for start, end in windows:
        if joined and joined[-1][1] == start:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return tuple(joined)


def _without_ends(windows: Sequence[Window], drive: int) -> tuple[Window, ...]:
    """Return a day's windows without its first and last `drive` slots."""
    if not drive:
        return tuple(windows)
    last = sum(end - start for start, end in windows) - drive
    kept, passed = [], 0
    for start, end in windows:
        first, until = max(start, start + drive - passed), min(end, start + last - passed)
        if first < until:
            kept.append((first, until))
        passed += end - start
    return tuple(kept)


def _meet(windows: Sequence[Window], open_at: Sequence[Window], starts: Sequence[int]) -> tuple[Window, ...]:
    """Return what lies in both; `starts` are those of `open_at`."""
    both = []
    for start, end in windows:
        i = max(0, bisect_right(starts, start) - 1)
        while i < len(open_at) and open_at[i][0] < end:
            a, b = max(start, open_at[i][0]), min(end, open_at[i][1])
            if a < b:
                both.append((a, b))
            i += 1
    return tuple(both)
