"""What the week benchmark compares plans by: one sum, so that a ratio means something.

The sum is ``100 w T + 400 (crews - 1) + 10 open + end`` over the jobs, all in slots of a quarter hour: T is how long
after the end of its promised day a job ends, w its weight, crews how many ever come, open the time from the first work
on its floors to its end (`common practice, no source` for the weights). The product itself compares
`objective.PlanCost` part by part, without weights.
"""

from __future__ import annotations

from collections.abc import Mapping

from crewjobs.domain.plan import BlockKey, WeekPlan
from crewjobs.engines.planning.buffers import promise_instant
from crewjobs.engines.planning.calendars import axis_from
from crewjobs.engines.planning.jobwork import SPARE_DAYS, JobWork
from crewjobs.engines.planning.objective import Objective, PlanCost, Weights
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.timeline import Booking

SUM = Weights(late_day=0, late_slot=100, crew=400, told=0, short=0, day=0, open=10, moved=0, end=1)
LATENESS = Weights(late_day=0, late_slot=1, crew=0, told=0, short=0, day=0, open=0, moved=0, end=0)
"""Lateness alone, as the peer is told to make it small."""


class Sum(Objective):
    """Judges jobs by one sum alone; it stands where days late stand."""

    weights = SUM

    def of_job(self, work: JobWork, bookings: Mapping[BlockKey, Booking], missing: int) -> PlanCost:
        """Return one job's part."""
        if not bookings:
            return PlanCost(missing=missing)
        weights = self.weights
        end = max(booking.end for booking in bookings.values())
        floors = [booking.start for key, booking in bookings.items() if key not in work.ahead]
        promise = promise_instant(work.record)
        late = 0 if promise is None else max(0, end - self._floor.axis.down(promise)) * work.record.job.weight
        crews = len({booking.crew for booking in bookings.values()}.union(work.crews_seen))
        opened = end - min(floors) if floors else 0
        cost = weights.late_slot * late + weights.crew * (crews - 1) + weights.open * opened + weights.end * end
        return PlanCost(missing=missing, late=cost)


class Lateness(Sum):
    """Judges jobs by weighted lateness alone, then by their ends."""

    weights = LATENESS

    def of_job(self, work: JobWork, bookings: Mapping[BlockKey, Booking], missing: int) -> PlanCost:
        """Return one job's part."""
        cost = super().of_job(work, bookings, missing)
        return cost._replace(end=max((booking.end for booking in bookings.values()), default=0))


def lateness(problem: PlanProblem, plan: WeekPlan) -> int:
    """Return the slots that jobs end after their promised days, by weight."""
    axis = axis_from(problem.now, problem.days + SPARE_DAYS)
    late = 0
    for record in problem.jobs:
        due = promise_instant(record)
        ends = [placed.end for placed in plan.placements if placed.key.job == record.job.number]
        if due is not None and ends:
            late += record.job.weight * max(0, axis.up(max(ends)) - axis.down(due))
    return late
