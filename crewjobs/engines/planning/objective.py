"""What a whole plan is judged by: one tuple, its first difference decides; sums over all jobs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import NamedTuple

from crewjobs.domain.plan import BlockKey, WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.buffers import short_slots
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS, Floor, JobWork
from crewjobs.engines.planning.packing import comings, open_days
from crewjobs.engines.planning.timeline import Booking

MOVED_SLOTS = 16
"""A block that starts no more than four hours away from where it was has not moved."""
OPEN = 2
"""A day a family lives beside open floors weighs as much as a job that ends two days later (`common practice`)."""
SHORT = 2
"""So does half a day of the time kept before a promise: a house is not opened weeks ahead to have all of it."""
QUARTERS = 4
"""Parts of a day that days are counted in: work that moves weighs one of them a block, so that a job which ends a day
sooner is worth four blocks elsewhere and no more (`common practice`)."""


class PlanCost(NamedTuple):
    """What a plan costs, or one job's part of it: parts add up."""

    missing: int = 0
    """Blocks without a place."""
    late: int = 0
    """Days after promises, by the jobs' weights."""
    crews: int = 0
    """Crews that come to a house beyond the first."""
    told: int = 0
    """Days by which finishes differ from the days customers were told, and blocks of today and the next day that move."""
    days: int = 0
    """In quarters: days to the jobs' ends, days houses are open twice, half days lost before promises twice by weight, and
    a quarter for each block that moves."""
    moved: int = 0
    """Blocks with another crew or at another time than in the plan before."""
    comings: int = 0
    """Visits, and days that work in houses that stand open waits (`packing.comings`)."""
    short: int = 0
    """Half days of the time kept before promises that are lost, by the jobs' weights."""
    end: int = 0
    """Slots at which the jobs end, added up."""

    def plus(self, other: PlanCost) -> PlanCost:
        """Return the sum, part by part."""
        return PlanCost(*map(int.__add__, self, other))

    def minus(self, other: PlanCost) -> PlanCost:
        """Return the difference, part by part."""
        return PlanCost(*map(int.__sub__, self, other))


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """What a unit of each part of the cost weighs in one sum, for the solver, which adds where the plan compares.

    A day late by weight, a slot late by weight, a crew that comes, what was told moved, half a day of kept time lost,
    a day a house is open or a job ends later, a slot a house is open, a block moved, a slot a job ends later.
    """

    late_day: int = 100_000
    late_slot: int = 0
    crew: int = 20_000
    told: int = 10_000
    short: int = 400
    day: int = 200
    open: int = 0
    moved: int = 50
    end: int = 1


def frozen_until(floor: Floor, crew: str) -> int:
    """Return the slot to which a crew's page is out: the end of the next day on which it works after today.

    What lies before that moves last, and only where it is hit itself (`common practice`).
    """
    calendar, zone = floor.calendars.crew(crew), floor.problem.shop.zone
    today = to_wall(zone, floor.problem.now).date()
    ahead = [day for day in calendar.days if day > today]
    return max((end for day, end in zip(calendar.days, calendar.ends, strict=True) if ahead and day == ahead[0]),
               default=floor.axis.up(floor.problem.now + timedelta(days=1)))  # fmt: skip


def _just_made(floor: Floor, known: WeekPlan | None) -> bool:
    """Return whether a plan is the shop's very first, made today: what is better may change its first days, too."""
    zone = floor.problem.shop.zone
    return (
        known is not None
        and known.number == 1
        and to_wall(zone, known.made_at).date() == to_wall(zone, floor.problem.now).date()
    )


class Objective:
    """Judges jobs as booked, against `previous`, the plan people know (the problem's own), and what they were told."""

    def __init__(self, floor: Floor, previous: WeekPlan | None = None) -> None:
        self._floor = floor
        problem = floor.problem
        known = previous or problem.previous
        before = known.placements if known else ()
        self._was: dict[tuple[int, int], tuple[str, int]] = {
            (placed.key.job, task): (placed.crew, floor.axis.down(placed.start))
            for placed in before
            for task in placed.tasks
        }
        self._soon = {} if _just_made(floor, known) else {crew: frozen_until(floor, crew) for crew in floor.crews}

    def soon(self, crew: str, slot: int) -> bool:
        """Return whether a slot lies in what is left of today or on the next day a crew works: people have its page."""
        return slot < self._soon.get(crew, 0)

    def of_job(self, work: JobWork, bookings: Mapping[BlockKey, Booking], missing: int) -> PlanCost:
        """Return one job's part; `bookings` hold its work under way too."""
        floor, record = self._floor, work.record
        if not bookings:
            return PlanCost(missing=missing)
        end = max(booking.end for booking in bookings.values())
        last = floor.date_of(record, end - 1)
        promised, weight = record.job.promised, record.job.weight
        crews = {booking.crew for booking in bookings.values()}.union(work.crews_seen)
        told, moved = self._moves(work, bookings)
        known = max(record.told, key=lambda one: one.at).finish if record.told else None
        # Counted by half days: a quarter of an hour less of a buffer moves nothing.
        short = 0 if promised is None else weight * -(-short_slots(work, floor, bookings) // HALF_DAY_SLOTS)
        days = (last - floor.date_of(record, 0)).days + OPEN * open_days(work, floor, bookings) + SHORT * short
        return PlanCost(
            missing=missing,
            late=0 if promised is None else weight * max(0, (last - promised).days),
            crews=len(crews) - 1,
            told=told + (abs((last - known).days) if known else 0),
            short=short,
            days=QUARTERS * days + moved,
            moved=moved,
            comings=comings(work, floor, bookings),
            end=end,
        )

    def was(self, key: BlockKey) -> tuple[str, int] | None:
        """Return the crew and start slot the plan before had for a block, None where it had none."""
        return self._was.get((key.job, key.task))

    def _moves(self, work: JobWork, bookings: Mapping[BlockKey, Booking]) -> tuple[int, int]:
        """Return how many blocks of today and the next day, and of all, are not where the plan before had them."""
        soon = moved = 0
        for key, booking in bookings.items():
            was = self.was(key)
            if was is None or work.blocks[key].begun:
                continue
            if was[0] != booking.crew or abs(was[1] - booking.start) > MOVED_SLOTS:
                moved += 1
                soon += self.soon(was[0], was[1]) or self.soon(booking.crew, booking.start)
        return soon, moved
