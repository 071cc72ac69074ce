"""One job as the plan before had it, as far as that goes, weighed against the job placed anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from crewjobs.engines.planning.calm import as_before
from crewjobs.engines.planning.choosing import Chooser, Found
from crewjobs.engines.planning.jobwork import Floor, JobWork
from crewjobs.engines.planning.objective import QUARTERS, Objective, PlanCost
from crewjobs.engines.planning.placing import Attempt, Placer


class Keeper:
    """Says how a job is as kept, and what of keeping it or placing it anew costs people less; books nothing for good."""

    def __init__(self, floor: Floor, placer: Placer, chooser: Chooser) -> None:
        self._floor = floor
        self._placer = placer
        self._chooser = chooser

    def with_what_goes_on(self, work: JobWork, kept: Found, wished: int) -> Found:
        """Return a job as kept; or its rest after work begun that goes on days sooner than it was to, if that costs less.

        A day given back draws work begun there. The rest follows with its crew, or with another where that wins the
        promise: nobody drives to a house for a quarter of an hour and comes back days later for what could be done then.
        """
        if not self.goes_on_sooner(work):
            return kept
        follows = self._chooser.attempt(work, replace(kept.attempt.way, since=wished, wished=wished))
        free = self._chooser.best(work, wished) if kept.cost.late else kept
        return min((kept, follows, *([] if free.cost.late else [free])), key=lambda one: one.rank)

    def goes_on_sooner(self, work: JobWork) -> bool:
        """Return whether work under way goes on on an earlier day than the plan before had it."""
        floor, previous = self._floor, self._floor.problem.previous
        begun = self._placer.fixed_of(work)
        return previous is not None and any(
            floor.date_of(work.record, begun[placed.key].start)
            < floor.date_of(work.record, floor.axis.down(placed.start))
            for placed in previous.placements
            if placed.key in begun
        )

    def calmer(self, work: JobWork, fresh: Found) -> Found:
        """Return a job as before for what little stays, or anew, whichever costs people less.

        A promise that is lost either way is no reason to move all of a job for a day: that is worth a few blocks.
        """
        attempt = as_before(work, self._floor, self._placer, little=True)
        if attempt is None:
            return fresh
        objective = Objective(self._floor)

        def harm(one: Found) -> tuple[bool, bool, int, bool, int, PlanCost]:
            cost = objective.of_job(work, one.packed, one.cost.missing)
            return (*one.rank[:2], cost.missing, cost.late > 0, QUARTERS * cost.late + cost.moved + cost.told, cost)

        return min((self.kept_as(work, attempt), fresh), key=harm)

    def as_good(self, work: JobWork, kept: Found) -> bool:
        """Return whether a job as kept is whole, and no later after its promise than the plan before had it."""
        previous, promised = self._floor.problem.previous, work.record.job.promised
        places = [p for p in previous.placements if p.key.job == work.number] if previous else []
        placed = {task for place in places for task in place.tasks}
        new = any(task.number in placed for key in kept.attempt.missing for task in work.blocks[key].tasks)
        if kept.refused or kept.over_night or new:
            return False
        if not kept.cost.late:
            return True
        ends = [place.end for place in places]
        if not ends or promised is None:
            return False
        was = self._floor.date_of(work.record, self._floor.axis.up(max(ends)) - 1)
        return kept.cost.late <= work.record.job.weight * (was - promised).days

    def last_day(self, work: JobWork, found: Found) -> date:
        """Return the date on which a job ends as found; what has no place never ends."""
        if found.attempt.missing or not found.packed:
            return date.max
        return self._floor.date_of(work.record, max(booking.end for booking in found.packed.values()) - 1)

    def kept_as(self, work: JobWork, stays: Attempt) -> Found:
        """Return a job as kept: packed already."""
        packed = {**self._placer.fixed_of(work), **stays.placed}
        for booking in stays.placed.values():
            self._floor.timelines[booking.crew].add(booking)
        cost = self._chooser.cost(work, stays, packed)
        for booking in stays.placed.values():
            self._placer.unbook(booking)
        return Found(
            attempt=stays,
            packed=packed,
            refused=self._chooser.stays_shut(work, stays) and (bool(stays.missing) or not self._was_to_open(work)),
            cost=cost,
            over_night=self._chooser.over_night(work, packed),
        )

    def nearest(self, work: JobWork, wished: int) -> Found:
        """Return a job as near to the plan before as it can be, however little of it can still be there."""
        return self.as_before(work, wished, little=True)

    def as_before(self, work: JobWork, wished: int, *, little: bool = False) -> Found:
        """Return a job as the plan before had it, where most of it can still be there; else the best way to do it."""
        attempt = as_before(work, self._floor, self._placer, little=little)
        return self._chooser.best(work, wished) if attempt is None else self.kept_as(work, attempt)

    def _was_to_open(self, work: JobWork) -> bool:
        """Return whether the plan before had work on the floors: packed, a house may be opened after the plan's end."""
        previous = self._floor.problem.previous
        floors = {task.number for key, block in work.blocks.items() if key not in work.ahead for task in block.tasks}
        return previous is not None and any(
            placed.key.job == work.number and floors & set(placed.tasks) for placed in previous.placements
        )
