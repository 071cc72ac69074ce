"""What a crew is booked for, and the gaps in it with the way between houses."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from crewjobs.domain.job import Job
from crewjobs.domain.plan import BlockKey
from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.calendars import Calendar, Window, slots_of
from crewjobs.engines.planning.starts import Starts
from crewjobs.engines.planning.tools import Toolbox


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Work to find a place for: slots of work, over what it may pause, and slots the first day needs at least."""

    work: int
    pause: Pause
    opening: int


class Booking(NamedTuple):
    """A block on a crew's timeline, from slot `start` to `end`; lunch and nights lie inside.

    `people` is how many of the crew are there on every one of its days, `tools` are the shared tools it holds.
    """

    key: BlockKey
    crew: str
    start: int
    end: int
    people: int
    tools: frozenset[str] = frozenset()


class Roads:
    """The drive between two jobs' sites, in slots of a crew's hours; job 0 is the shop."""

    def __init__(self, jobs: Sequence[Job], known: Mapping[tuple[int, int], int]) -> None:
        self._jobs = {job.number: job for job in jobs}
        self._known = known
        self._slots: dict[tuple[int, int], int] = {}

    def slots(self, one: int, other: int) -> int:
        """Return the drive between two jobs: none at one address, the known minutes, else over the shop."""
        if one == other:
            return 0
        pair = (one, other)
        if pair not in self._slots:
            self._slots[pair] = slots_of(self._minutes(one, other))
        return self._slots[pair]

    def _minutes(self, one: int, other: int) -> int:
        known = self._known.get((one, other), self._known.get((other, one)))
        if known is not None:
            return known
        if 0 in (one, other):
            return self._jobs[one or other].site.drive_min
        a, b = self._jobs[one].site, self._jobs[other].site
        return 0 if a.address == b.address else a.drive_min + b.drive_min


class Timeline:
    """The bookings of one crew in order; they never overlap, and the way between them fits.

    `stands` is where the crew is at the start of the axis, if that is in the middle of its day.
    """

    def __init__(
        self, crew: str, hours: Calendar, roads: Roads, toolbox: Toolbox, stands: Booking | None = None
    ) -> None:
        self.crew = crew
        self.stands = stands
        self.bookings: list[Booking] = []
        self._starts: list[int] = []
        self._ends: list[int] = []
        self._hours = hours
        self._roads = roads
        self._toolbox = toolbox

    def add(self, booking: Booking) -> None:
        """Book a block where a search found a place for it."""
        i = bisect_right(self._starts, booking.start)
        self.bookings.insert(i, booking)
        self._starts.insert(i, booking.start)
        self._ends.insert(i, booking.end)
        if booking.tools:
            self._toolbox.add(booking)

    def remove(self, booking: Booking) -> None:
        """Take a booking off again."""
        i = bisect_right(self._starts, booking.start) - 1
        del self.bookings[i], self._starts[i], self._ends[i]
        if booking.tools:
            self._toolbox.remove(booking)

    def before(self, slot: int) -> Booking | None:
        """Return the last booking that starts before a slot, else the house its crew stands at."""
        i = bisect_right(self._starts, slot - 1) - 1
        if i >= 0:
            return self.bookings[i]
        return self.stands if self.stands is not None and self.stands.key.job else None

    def free_from(self, booking: Booking, job: int) -> int:
        """Return the slot from which a crew that ends a booking can be at a job.

        The drive runs in the crew's hours. If the day has no room for it, the crew goes home and the next
        morning's drive, which the site's calendar holds, counts instead.
        """
        drive = self._roads.slots(booking.key.job, job)
        if drive == 0:
            return booking.end
        done = self._hours.count(booking.end)
        day_end = self._hours.day_end[self._hours.window(max(0, done - 1))]
        return self._hours.slot(min(done + drive, day_end) - 1) + 1

    def free_until(self, booking: Booking, job: int) -> int:
        """Return the slot by which a crew must leave a job to start a booking on time."""
        drive = self._roads.slots(job, booking.key.job)
        if drive == 0:
            return booking.start
        done = self._hours.count(booking.start)
        day_begin = self._hours.day_begin[self._hours.window(done)]
        return self._hours.slot(max(done - drive, day_begin))

    def _gap(self, i: int, job: int, earliest: int, limit: int) -> Window:
        """Return the gap before booking i, as a job sees it."""
        before = self.bookings[i - 1] if i > 0 else self.stands
        if before is not None:
            earliest = max(earliest, self.free_from(before, job))
        if i < len(self.bookings):
            limit = min(limit, self.free_until(self.bookings[i], job))
        return earliest, limit

    def gaps(self, job: int, earliest: int, limit: int, least: int) -> Iterator[Window]:
        """Yield the gaps of at least so many slots between two slots, as a job sees them with its drives."""
        i = max(0, bisect_right(self._starts, earliest) - 1)
        for gap in range(i, len(self.bookings) + 1):
            low, high = self._gap(gap, job, earliest, limit)
            if low >= limit:
                return
            if high - low >= least:
                yield low, high

    def first(self, starts: Starts, job: int, earliest: int, limit: int) -> Window | None:
        """Return the earliest place from `earliest` on that ends by `limit`; `starts` are the crew's at the site."""
        i = max(0, bisect_right(self._starts, earliest) - 1)
        work, count = starts.work, len(self.bookings)
        for gap in range(i, count + 1):
            done = self._ends[gap - 1] if gap > 0 else earliest
            if done >= limit:
                return None
            if (self._starts[gap] if gap < count else limit) - max(done, earliest) < work:
                continue  # too short even without a drive
            low, high = self._gap(gap, job, earliest, limit)
            if high - low >= work:
                found = starts.first(low, high)
                if found:
                    return found
        return None

    def last(self, starts: Starts, job: int, earliest: int, limit: int) -> Window | None:
        """Return the latest place from `earliest` on that ends by `limit`."""
        i = bisect_right(self._starts, limit)
        work, count = starts.work, len(self.bookings)
        for gap in range(i, -1, -1):
            done = self._ends[gap - 1] if gap > 0 else earliest
            until = min(limit, self._starts[gap]) if gap < count else limit
            if until > earliest and until - max(done, earliest) < work:
                continue  # too short even without a drive
            low, high = self._gap(gap, job, earliest, limit)
            if high <= earliest:
                return None
            if high - low >= work:
                found = starts.last(low, high)
                if found:
                    return found
        return None

    def sooner(self, starts: Starts, job: int, earliest: int, booked: Booking) -> Window | None:
        """Return the earliest place for a booking taken off, without passing the one before it."""
        i = bisect_right(self._starts, booked.start)
        low, high = self._gap(i, job, earliest, booked.end)
        return starts.first(low, high)
