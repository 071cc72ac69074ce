"""A job's bookings moved together under its fixed end, so that the house is open as few days as it can be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from crewjobs.domain.plan import BlockKey
from crewjobs.engines.planning.calendars import slots_of
from crewjobs.engines.planning.jobwork import Floor, JobWork
from crewjobs.engines.planning.timeline import Booking


def link_slot(work: JobWork, key: BlockKey, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return the slot from which the links of a block let it start."""
    return max(
        (bookings[link.before].end + slots_of(link.wait_min) for link in work.into[key] if link.before in bookings),
        default=0,
    )


def pack(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> dict[BlockKey, Booking]:
    """Return a job's bookings packed, and book them so.

    First every block goes as late as what follows it allows, the last ones as late as the job's end; then
    each goes back to the earliest place of the same day. Work under way, pins and carry-ins stay: cartons
    go in as early as they can, since their hours must run. A house that is open already is not packed:
    its work is done as soon as it can be.
    """
    packed = dict(bookings)
    if work.opened or not packed:
        return packed
    end = max(booking.end for booking in packed.values())
    loose = [key for key in packed if not (work.blocks[key].begun or work.blocks[key].carry_in or key in work.pins)]
    for key in sorted(loose, key=lambda key: (-packed[key].end, -packed[key].start, key)):
        _later(work, floor, packed, key, end)
    for key in sorted(loose, key=lambda key: (packed[key].start, packed[key].end, key)):
        _sooner(work, floor, packed, key)
    return packed


def _later(work: JobWork, floor: Floor, packed: dict[BlockKey, Booking], key: BlockKey, end: int) -> None:
    old = packed[key]
    limit = min(
        (packed[link.after].start - slots_of(link.wait_min) for link in work.out[key] if link.after in packed),
        default=end,
    )
    timeline = floor.timelines[old.crew]
    timeline.remove(old)
    piece = floor.piece(work.blocks[key], old.crew)
    found = timeline.last(floor.calendar(work.record, old.crew), work.number, piece, old.start, limit)
    packed[key] = old if found is None else replace(old, start=found[0], end=found[1])
    timeline.add(packed[key])


def _sooner(work: JobWork, floor: Floor, packed: dict[BlockKey, Booking], key: BlockKey) -> None:
    old = packed[key]
    hours = floor.calendars.crew(old.crew)
    day = hours.slot(hours.day_begin[hours.window(hours.count(old.start))])
    fact = work.ready.get(key)
    earliest = max(day, link_slot(work, key, packed), 0 if fact is None else floor.axis.up(fact.at))
    timeline = floor.timelines[old.crew]
    timeline.remove(old)
    piece = floor.piece(work.blocks[key], old.crew)
    found = timeline.sooner(floor.calendar(work.record, old.crew), work.number, piece, earliest, old)
    packed[key] = old if found is None else replace(old, start=found[0], end=found[1])
    timeline.add(packed[key])
