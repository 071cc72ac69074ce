"""Who was missing where that is why work begins no sooner."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from crewjobs.domain.job import JobRecord
from crewjobs.engines.planning.calendars import Window
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.problem import Block
from crewjobs.engines.planning.starts import Starts
from crewjobs.engines.planning.timeline import Booking, Timeline


def last_missing(
    floor: Floor, record: JobRecord, block: Block, booking: Booking, starts: Starts, slot: int
) -> tuple[date, str] | None:
    """Return the last day on which a block could have begun, from a slot on, but for who was missing, and what it lacked.

    None where that is not why it stands where it does: nobody was out on such a day, or there was a sooner place with
    everybody there, which makes what was missing on another day no cause. `starts` are where its hours allow it.
    """
    if not floor.roster.days(booking.crew):
        return None
    missing = None
    for start, end in _places(floor, record, booking, starts, slot):
        days = _unusual_days(floor, record, block, booking.crew, start, end)
        lacking = [(day, what) for day in days if (what := floor.lacks(block, booking.crew, day))]
        if lacking:
            missing = lacking[-1]
        elif floor.staff(record, block, booking.crew, start, end) >= max(1, booking.people):
            return None
    return missing


def _places(floor: Floor, record: JobRecord, booking: Booking, starts: Starts, slot: int) -> Iterator[Window]:
    """Yield where a block could stand sooner than it does, from a slot on, if only its crew's time and tools count.

    The job's other work does not hold it: what comes before it by a link is over by then, and the rest of a visit is
    done in either order.
    """
    job = record.job.number
    mine = floor.timelines[booking.crew]
    others = Timeline(booking.crew, floor.calendars.crew(booking.crew), floor.roads, floor.toolbox, mine.stands)
    for other in mine.bookings:
        if other.key.job != job:
            others.add(other._replace(tools=frozenset()))  # the toolbox knows of these already
    found = others.first(starts, job, slot, booking.end)
    while found is not None and found[0] < booking.start:
        free = floor.toolbox.free_from(booking.tools, *found, job) if booking.tools else None
        if free is None or free >= booking.start:  # what holds them then may be this block itself
            yield found
        found = others.first(starts, job, found[0] + 1, booking.end)


def _unusual_days(floor: Floor, record: JobRecord, block: Block, crew: str, start: int, end: int) -> Iterator[date]:
    """Yield the days of a stretch on which a crew is not as it usually is."""
    calendar = floor.calendar(record, crew, block)
    first, last = calendar.window(calendar.count(start)), calendar.window(calendar.count(end) - 1)
    return (day for day in dict.fromkeys(calendar.days[first : last + 1]) if day in floor.roster.days(crew))
