"""The time kept before a promise, because tasks take longer or shorter than they are planned.

A plan that ends just in time on paper is a bad promise: where one task of a day runs over, the whole chain behind it
does. A job's spread is how much longer its crew would work if every open task took its high time (`common practice,
no source`); a share of it, which the shop sets, is to lie between the planned end and the end of the promised day, in
hours its crew works there.
"""

from __future__ import annotations

from collections.abc import Mapping

from crewjobs.domain.plan import BlockKey
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.planning.jobwork import Floor, JobWork, promise_instant
from crewjobs.engines.planning.timeline import Booking


def spread_min(work: JobWork, people: int) -> float:
    """Return the minutes longer a job's open work takes so many people if every task takes its high time."""
    more = 0.0
    for block in work.blocks.values():
        for task, labor in zip(block.tasks, block.labor, strict=True):
            expected = max(1.0, task.estimate.expected)
            more += (task.estimate.high - expected) * labor / expected / min(people, max(1, task.people))
    return more


def kept_slots(work: JobWork, floor: Floor, crew: str) -> int:
    """Return the slots of a crew's work that are kept between a job's planned end and its promise."""
    share = floor.problem.shop.kept_percent
    return round(spread_min(work, floor.crews[crew].people) * share / 100 / QUARTER)


def slack_slots(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int | None:
    """Return the slots the crew of a job's last block could still work there before its promise ends.

    Negative where the job ends after it; None without a promise or without bookings.
    """
    promise = promise_instant(work.record)
    last = max(bookings.values(), key=lambda booking: (booking.end, booking.key), default=None)
    if promise is None or last is None:
        return None
    calendar = floor.calendar(work.record, last.crew)
    return calendar.count(floor.axis.down(promise)) - calendar.count(last.end)


def short_slots(work: JobWork, floor: Floor, bookings: Mapping[BlockKey, Booking]) -> int:
    """Return by how many slots the time kept before a job's promise is short; nothing where there is no promise."""
    slack = slack_slots(work, floor, bookings)
    if slack is None:
        return 0
    last = max(bookings.values(), key=lambda booking: (booking.end, booking.key))
    kept = kept_slots(work, floor, last.crew)
    return min(kept, max(0, kept - slack))
