"""What fixes the day a job is finished: walked back from its last work through what binds each start.

Only what binds is named: of all that a start waits for, what ends last, and of what ends equally late the one that
could not have ended sooner itself. A plan puts work later where that costs no time, so that a house is open on fewer
days; such a place is no cause of the end. So the walk goes through the job as it would stand with every piece of work
as early as its crew and all it waits for allow (`soonest`), wherever that ends when the plan does. Where that would end
sooner, the plan itself is walked, and the chain says why it is not sooner.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.domain.tasks import Link
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.answering.later import NO_CAUSE, Later, held_up, pressed, why_later, why_left
from crewjobs.engines.answering.planned_job import Binding, Bound, Place, PlannedJob
from crewjobs.engines.answering.soonest import soonest
from crewjobs.engines.planning.problem import Block, PlanProblem

HOUR: Final = 60 // QUARTER
"""What costs a crew fewer slots than this is not worth naming."""
RANK: Final = tuple(Binding)
"""Of what ends equally late the first is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A placement in the chain with what binds its start, and why it begins later than that allows, if it does.

    `start` and `end` are slots: of the placement, or sooner where the plan has it later without a cause.
    """

    placement: Placement
    block: Block
    start: int
    end: int
    work: int
    bound: Bound
    later: Later | None = None
    lacks: str = ""
    soon: Link | None = None
    ahead: bool = False
    """Whether it carries in, or is what carrying in needs."""
    apart: bool = False
    """Whether its crew comes from another job."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """What fixes a job's end (UTC, to the minute), from the first of the spots to the last."""

    job: int
    end: datetime
    spots: tuple[Spot, ...]


def chain_of(problem: PlanProblem, plan: WeekPlan, job: int, before: WeekPlan | None = None) -> Chain | None:
    """Return what fixes the end of a job in a plan, None where the plan has no place for any of it.

    `problem` is what the plan was made from, as far as it is still known; `before` the plan before this one.
    """
    walk = Walk(problem, plan, job, before)
    spots = walk.spots()
    return Chain(job=job, end=walk.job.finish(), spots=spots) if spots else None


class Walk:
    """Walks back through one job of a plan."""

    def __init__(self, problem: PlanProblem, plan: WeekPlan, job: int, before: WeekPlan | None = None) -> None:
        self.job = PlannedJob(problem, plan, job, before)
        self.soonest = soonest(self.job)
        self._tight: dict[BlockKey, bool] = {}

    def spots(self) -> tuple[Spot, ...]:
        """Return the chain, from its beginning to the job's last work."""
        if not self.job.places:
            return ()
        found = self._chain()
        # What was merely left where it stood is no cause where people are missing after it: these are.
        missing = [i for i, spot in enumerate(found) if spot.later is Later.PEOPLE]
        if found[0].later not in NO_CAUSE or missing:
            return tuple(found[missing[0] if found[0].later in NO_CAUSE else 0 :])
        if self._places_cost_nothing():
            self.job.stand(self.soonest)
            found = self._chain()
            found[0] = self._left_later(found[0])
        return tuple(found)

    def _chain(self) -> list[Spot]:
        """Return the way back from the job's last work, the first of it first."""
        key: BlockKey | None = self._last()
        found: list[Spot] = []
        while key is not None:
            spot = self._spot(self.job.places[key])
            found.append(spot)
            key = spot.bound.source
        return found[::-1]

    def _left_later(self, spot: Spot) -> Spot:
        """Return the first spot with why the plan has it on a later day than it could be, if it has."""
        key = spot.placement.key
        could, planned = (self.job.date_of(booking.start) for booking in (self.soonest[key], self.job.as_planned[key]))
        if spot.later is not None or could == planned:
            return spot
        return replace(spot, later=why_left(self.job, self.job.places[key], self.soonest))

    def _last(self) -> BlockKey:
        """Return the job's last work; of what ends last in the plan, that which could do so least sooner."""
        end = max(booking.end for booking in self.job.as_planned.values())
        ending = [key for key, booking in self.job.as_planned.items() if booking.end == end]
        return max(ending, key=lambda key: (self.soonest[key].end, key))

    def _places_cost_nothing(self) -> bool:
        """Return whether what binds the work binds the end: as early as all of it can be, the job ends hardly sooner.

        That is on the same day, or less than an hour of work sooner. Where the promise is broken or has little time to
        spare, what binds the work is what is asked, not where the planner likes it best.
        """
        last = self._last()
        calendar, soonest, planned = self.job.places[last].calendar, self.soonest[last], self.job.as_planned[last]
        days = {self.job.date_of(booking.end - 1) for booking in (soonest, planned)}
        if len(days) == 1 or calendar is None or pressed(self.job):
            return True
        return calendar.count(planned.end) - calendar.count(soonest.end) < HOUR

    # -- what binds

    def _reaching(self, place: Place) -> list[Bound]:
        """Return the bounds of which each alone has the work begin where it does, or less than an hour of work before."""
        return [bound for bound in place.bounds if self._reaches(place, bound, HOUR - 1)]

    def _reaches(self, place: Place, bound: Bound, sooner: int = 0) -> bool:
        """Return whether a bound alone has the work begin where it does, or at most so many slots of work sooner."""
        fit = place.fit(bound.slot, self.job.floor.axis.slots)
        if fit is None or place.calendar is None or fit > place.start:
            return False
        return fit == place.start or place.calendar.count(place.start) - place.calendar.count(fit) <= sooner

    def _is_tight(self, key: BlockKey) -> bool:
        """Return whether a placement could not begin sooner, and nor could what it waits for."""
        if key not in self._tight:
            self._tight[key] = False  # times only grow along a chain, so nothing is met twice
            place = self.job.places[key]
            bounds = self._reaching(place)
            if not bounds:
                latest = self._latest(place)
                later, _ = why_later(self.job, place, latest, self.soonest)
                bounds = [latest] if later in (Later.PEOPLE, Later.STRETCH) else []
            self._tight[key] = any(bound.source is None or self._is_tight(bound.source) for bound in bounds)
        return self._tight[key]

    def _latest(self, place: Place) -> Bound:
        return max(place.bounds, key=lambda bound: (bound.slot, -RANK.index(bound.binding)))

    def _spot(self, place: Place) -> Spot:
        reaching = self._reaching(place)
        if reaching:
            # A crew or tool at another house binds only where nothing else does: it may have gone there in a gap.
            best = max(
                reaching,
                key=lambda bound: (
                    bound.source is None or self._is_tight(bound.source),
                    bound.binding not in (Binding.CREW, Binding.TOOL),
                    bound.slot,
                    -RANK.index(bound.binding),
                ),
            )
            return self._as_spot(place, best, *held_up(self.job, place, best))
        best = self._latest(place)
        later, lacks = why_later(self.job, place, best, self.soonest)
        if later is Later.AT_MOST:
            best = self._fact_of_next(place)
        elif later in NO_CAUSE:  # it could begin sooner, so what it waits for does not bind
            best = Bound(binding=Binding.PLAN, slot=0)
        return self._as_spot(place, best, later, lacks)

    def _as_spot(self, place: Place, bound: Bound, later: Later | None, lacks: str) -> Spot:
        return Spot(
            placement=place.placement,
            block=place.block,
            start=place.start,
            end=place.end,
            work=place.work,
            bound=bound,
            later=later,
            lacks=lacks,
            soon=self.job.soon(place) if later is Later.AT_MOST else None,
            ahead=place.placement.key in self.job.ahead,
            apart=self._is_apart(place),
        )

    def _is_apart(self, place: Place) -> bool:
        timeline = self.job.floor.timelines.get(place.placement.crew)
        before = timeline.before(place.start) if timeline is not None and place.work else None
        return before is not None and before.key.job != self.job.record.job.number

    def _fact_of_next(self, place: Place) -> Bound:
        """Return the last fact that what must start soon after a placement waits for itself, else the plan's start."""
        soon = self.job.soon(place)
        next_one = self.job.places[self.job.of[soon.after]] if soon is not None else place
        facts = [bound for bound in next_one.bounds if bound.binding is Binding.FACT]
        return max(facts, key=lambda bound: bound.slot, default=Bound(binding=Binding.PLAN, slot=0))
