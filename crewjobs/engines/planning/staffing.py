"""The earliest place of a block with the people who are there: with fewer it takes longer, with more it is done sooner.

A block is done by as many as are there on its day of fewest people, the same number from its start to its end. How many
that is depends on the days it touches, and these on how many do it; so every number of people that a crew has on some
day is tried, each from the first slot on, and the place that ends first is taken.
"""

from __future__ import annotations

from bisect import bisect_left
from typing import TYPE_CHECKING

from crewjobs.domain.job import JobRecord
from crewjobs.engines.planning.links import start_to_end_by
from crewjobs.engines.planning.problem import Block
from crewjobs.engines.planning.timeline import Booking

if TYPE_CHECKING:
    from crewjobs.engines.planning.jobwork import Floor


def first_place(
    floor: Floor, record: JobRecord, block: Block, crew: str, earliest: int, unsplit: int, before: int | None = None
) -> Booking | None:
    """Return the place of a block from a slot on that ends first with people and tools there, None where there is none.

    Of places that end at the same time the later start is taken. None of them starts at the slot `before` or later.
    Work under way does not wait for more people: it goes on with whoever is there as soon as it can.
    """
    search = _Search(floor, record, block, crew, unsplit)
    best: Booking | None = None
    begun_here = block.begun is not None and block.crew == crew
    for people in floor.roster.counts(crew):
        if people < block.least_people and not begun_here:
            continue
        if best is not None and floor.as_usual(crew, earliest, best.end):
            break  # more or fewer are there only later
        limit = floor.axis.slots if best is None or begun_here else best.end
        found = search.with_people(people, earliest, limit)
        if found is None or (before is not None and found.start >= before):
            continue
        if best is None or _rank(found, begun_here) < _rank(best, begun_here):
            best = found
    return best


def place_at(
    floor: Floor, record: JobRecord, block: Block, crew: str, start: int, end: int, unsplit: int
) -> Booking | None:
    """Return the booking of a block from one slot to another, None where no number of people there can do it just then."""
    search = _Search(floor, record, block, crew, unsplit)
    found = (search.with_people(people, start, end) for people in floor.roster.counts(crew))
    return next((one for one in found if one is not None and (one.start, one.end) == (start, end)), None)


def _rank(booking: Booking, begun_here: bool) -> tuple[int, int]:
    return (booking.start, booking.end) if begun_here else (booking.end, -booking.start)


class _Search:
    """Where one block can be done by so many people of one crew."""

    def __init__(self, floor: Floor, record: JobRecord, block: Block, crew: str, unsplit: int) -> None:
        self._floor = floor
        self._record = record
        self._block = block
        self._crew = crew
        self._unsplit = unsplit

    def with_people(self, people: int, earliest: int, limit: int) -> Booking | None:
        """Return the earliest place from a slot on that ends by `limit` and has just so many people on its fewest day.

        Work its crew has begun has its tools already.
        """
        floor, record, block, crew = self._floor, self._record, self._block, self._crew
        timeline, usual = floor.timelines[crew], not floor.roster.days(crew)
        starts = floor.starts(record, block, crew, self._unsplit, people)
        while (found := timeline.first(starts, record.job.number, earliest, limit)) is not None:
            there = people if usual else floor.staff(record, block, crew, *found)
            if there == people:
                held = block.tools and not block.crew
                free = floor.toolbox.free_from(block.tools, *found, record.job.number) if held else None
                if free is None:
                    return Booking(block.key, crew, found[0], found[1], people, block.tools)
                earliest = free
            elif there < people:
                earliest = self._past(people, *found)
            else:
                more = self._reach(people, starts.work, *found)
                if more is None:
                    return None
                earliest = more
        return None

    def _past(self, people: int, start: int, end: int) -> int:
        """Return the slot after the first day of a stretch on which too few are there, or after the first errand in it."""
        floor, block, crew = self._floor, self._block, self._crew
        calendar = floor.calendar(self._record, crew, block)
        first, last = calendar.window(calendar.count(start)), calendar.window(calendar.count(end) - 1)
        for i in range(first, last + 1):
            there = floor.roster.on(crew, calendar.days[i])
            if len(there) < people or not floor.can(block, crew, there):
                index = calendar.day_end[i]
                return calendar.slot(index) if index < calendar.total else floor.axis.slots
        back = floor.roster.back(crew, floor.axis.at(start), floor.axis.at(end))
        return end if back is None else max(start + 1, floor.axis.up(back))

    def _reach(self, people: int, work: int, start: int, end: int) -> int | None:
        """Return the slot from which so much work reaches the next day on which, or errand in which, fewer may be there.

        All days of the stretch have more people than that, and so has whatever starts before.
        """
        floor, crew, roster = self._floor, self._crew, self._floor.roster
        calendar = floor.calendar(self._record, crew, self._block)
        last = calendar.day_end[calendar.window(calendar.count(end) - 1)]
        if people != floor.crews[crew].people and last < calendar.total:
            day = roster.next_unusual(crew, calendar.days[calendar.window(last)])
            window = len(calendar.days) if day is None else bisect_left(calendar.days, day)
            last = calendar.day_begin[window] if window < len(calendar.days) else calendar.total
        reached = [calendar.slot(last)] if last < calendar.total else []
        errand = roster.next_errand(crew, floor.axis.at(end))
        reached += [max(end, floor.axis.down(errand))] if errand is not None else []
        slots = [start_to_end_by(calendar, work, slot + 1) for slot in reached if slot < floor.axis.slots]
        return max(start + 1, min(slots)) if slots else None
