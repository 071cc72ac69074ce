"""What fixes the day a job is finished: walked back from its last work through what binds each start.

Only what binds is named: of all that a start waits for, what ends last, and of what ends equally late the one that
could not have ended sooner itself. A plan puts work later where that costs no time, so that a house is open on fewer
days; such a place is no cause of the end. So the walk goes through the job as it would stand with every piece of work
as early as its crew and all it waits for allow (`soonest`), wherever that ends when the plan does. Where that would end
sooner, the plan itself is walked, and the chain says why it is not sooner.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from crewjobs.domain.crew import Away
from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.domain.tasks import Link
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.engines.answering.later import NO_CAUSE, Later, held_up, pressed, why_later, why_left
from crewjobs.engines.answering.planned_job import Binding, Bound, Place, PlannedJob
from crewjobs.engines.answering.soonest import HOUR, Cause, Gain, gain, soonest
from crewjobs.engines.planning.problem import Block, PlanProblem

A_DAY: Final = Gain(days=1)
AN_HOUR: Final = Gain(days=0, slots=HOUR)
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
    then: Bound | None = None
    """What its crew went on to before it, where it could have begun sooner by what binds the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """What fixes a job's end (UTC, to the minute), from the first of the spots to the last."""

    job: int
    end: datetime
    spots: tuple[Spot, ...]
    shared: bool = False
    """Whether no single thing is the cause: what the chain begins with holds the job, and so does something else."""
    out: tuple[Away, ...] = ()
    """Who is out, where the job would end sooner with all of the crew there."""
    hours_min: int = 0
    """How many minutes of a crew's work sooner on the same day it would end without the cause, 0 where that is a day."""


def chain_of(problem: PlanProblem, plan: WeekPlan, job: int, before: WeekPlan | None = None) -> Chain | None:
    """Return what fixes the end of a job in a plan, None where the plan has no place for any of it.

    `problem` is what the plan was made from, as far as it is still known; `before` the plan before this one.
    """
    walk = Walk(problem, plan, job, before)
    spots = walk.spots()
    if not spots:
        return None
    nothing = spots[0].later in NO_CAUSE or spots[0].bound.binding in (Binding.PLAN, Binding.BEGUN)
    shared = walk.shared and (not nothing or walk.waits)
    out = walk.out(spots)
    hours = walk.hours(spots, out)
    return Chain(job=job, end=walk.job.finish(), spots=spots, shared=shared, out=out, hours_min=hours)


def _order(bound: Bound) -> tuple[bool, int, bool, int, int]:
    """Return the order in which bounds are looked at: another house last, since a crew may be there in a gap."""
    own_tool = bound.binding is Binding.TOOL and bound.job is None
    return bound.job is not None, len(bound.also), own_tool, -bound.slot, RANK.index(bound.binding)


def _is_wait(spot: Spot) -> bool:
    return spot.bound.binding is Binding.WAIT


def _cause_of(spot: Spot) -> Cause | None:
    """Return what can be taken away of what a way begins with, None where there is nothing."""
    if spot.later is Later.PEOPLE:
        return Cause(crew=spot.placement.crew)
    if spot.later is Later.ELEVATOR:
        return Cause(elevator=True)
    if spot.later in NO_CAUSE or spot.bound.binding in (Binding.PLAN, Binding.BEGUN):
        return None
    return Cause(bound=spot.bound)


Holds = Callable[[Spot], bool]
Ways = dict[BlockKey, list[Spot] | None]


class Walk:
    """Walks back through one job of a plan."""

    def __init__(self, problem: PlanProblem, plan: WeekPlan, job: int, before: WeekPlan | None = None) -> None:
        self.job = PlannedJob(problem, plan, job, before)
        self.soonest = soonest(self.job)
        self._known: dict[Cause, Gain] = {}
        self._every = False
        self._stood = False
        self._past_all = False
        self.shared = False
        self.waits = False

    def spots(self) -> tuple[Spot, ...]:
        """Return the chain, from its beginning to the job's last work."""
        if not self.job.places:
            return ()
        found = self._cause()
        past_all = self._cause(past_all=True) if found is None else None
        if found is None and self._places_cost_nothing():
            self.job.stand(self.soonest)
            self._stood = True
            found = self._cause() or self._else(past_all)
            if found is not past_all:
                found[0] = self._left_later(found[0])
        return tuple(found or self._else(past_all))

    def hours(self, spots: Sequence[Spot], out: Sequence[Away]) -> int:
        """Return the minutes of work of the same day that the cause costs, 0 where it costs a day or there is none."""
        cause = Cause(crew=out[0].crew) if out else _cause_of(spots[0])
        found = self._gain(cause) if cause is not None else Gain(days=0)
        return found.slots * QUARTER if found.counts and not found.days else 0

    def _else(self, past_all: list[Spot] | None) -> list[Spot]:
        """Return the way back where no beginning is the cause: past a wait that costs a day, then whatever explains most."""
        day = self._first_cause(A_DAY, waits=True)
        return day or past_all or self._first_cause(AN_HOUR, waits=True) or self._any_way()

    def out(self, spots: Sequence[Spot]) -> tuple[Away, ...]:
        """Return who is out until the job's end where that costs it an hour or a day, if the spots do not say so.

        What costs more is named in its place: the work then says who is missing.
        """
        if (spots[0].later in NO_CAUSE and not self._stood) or any(spot.later is Later.PEOPLE for spot in spots):
            return ()  # where the plan likes it best, or said already
        zone, end = self.job.record.job.site.zone, self.job.finish()
        first, last = to_wall(zone, self.job.plan.made_at).date(), to_wall(zone, end).date()
        cause = _cause_of(spots[0])
        other = self._gain(cause) if cause is not None else Gain(days=0)
        found: list[Away] = []
        for crew in dict.fromkeys(spot.placement.crew for spot in spots):
            away = [one for one in self.job.problem.away if one.crew == crew and first <= one.day <= last]
            if away and self._binds(Cause(crew=crew)) and self._gain(Cause(crew=crew)) >= other:
                found += away
        return tuple(found)

    def _cause(self, *, past_all: bool = False) -> list[Spot] | None:
        """Return the way back to what is the cause: by what begins each start, else past what its crew went on to.

        What costs a day goes before what costs hours of the same day. Where something else costs the job a day more than
        what that way begins with, or more of the same day, the way back to that. With `past_all` what the plan has later
        than anything binds it is walked past, too: a cause, and no whole explanation.
        """
        self._past_all = past_all
        found = self._first_cause(A_DAY) or self._first_cause(AN_HOUR)
        first = _cause_of(found[0]) if found is not None else None
        if found is None or first is None:
            self._past_all = False
            return found
        self._every = True
        most, now = self._greatest(), self._gain(first)
        if most is not None and (self._gain(most).days > now.days or (not now.days and self._gain(most) > now)):
            found = self._way(self._last(), lambda spot: _cause_of(spot) == most, {}) or found
        self._every = self._past_all = False
        return found

    def _first_cause(self, least: Gain, *, waits: bool = False) -> list[Spot] | None:
        """Return the first way back to a cause that costs no less than `least`, with `waits` also past a wait that does."""

        def is_cause(spot: Spot) -> bool:
            cause = _cause_of(spot)
            return cause is not None and self._gain(cause) >= least

        def is_wait(spot: Spot) -> bool:
            return _is_wait(spot) and self._gain(Cause(bound=spot.bound)) >= least

        found = None
        for every in (False, True):
            self._every = every
            found = found or self._way(self._last(), is_cause, {}, is_wait if waits else None)
        self._every = False
        return found

    def _any_way(self) -> list[Spot]:
        """Return a way where no single thing is the cause: one that begins at this house, else by what dries or cures."""
        self.shared = True
        here = self._way(self._last(), self._is_no_other_house, {}, _is_wait)
        self.waits = here is not None
        return here or self._way_to(self._last())

    def _way_to(self, key: BlockKey) -> list[Spot]:
        """Return a way back whatever it begins with; that the crew was elsewhere before is no cause, so it is not named."""
        found = self._way(key, self._is_no_other_house, {}) or self._way(key, lambda _: True, {}) or []
        first = found[0]
        if first.bound.job is not None:
            found[0] = replace(first, bound=Bound(binding=Binding.PLAN, slot=first.start))
        return found

    def _way(self, key: BlockKey, holds: Holds, known: Ways, waits: Holds | None = None) -> list[Spot] | None:
        """Return the first way back from a placement whose beginning holds, its beginning first; None if none does.

        With `waits` so does one on which a wait does, whatever it begins with.
        """
        if key not in known:
            known[key] = None  # times only grow along a way, so nothing is met twice
            for spot in self._spots(self.job.places[key]):
                source = spot.bound.source
                before = self._way(source, holds, known, waits) if source is not None else []
                if waits is not None and before is None and source is not None and waits(spot):
                    before = self._way_to(source)  # what led to it is told with it, whether it costs time or not
                if before is not None and (before or holds(spot)):
                    known[key] = [*before, spot]
                    break
                if spot.later is Later.PEOPLE and holds(spot):
                    known[key] = [spot]
                    break
        found = known[key]
        return None if found is None else list(found)

    def _greatest(self) -> Cause | None:
        """Return what costs the job most of all that a way can begin with, but for its crew at other houses.

        The more of those are taken away together, the more they cost. Of equal causes the first.
        """
        met: list[Cause] = []

        def look(spot: Spot) -> bool:
            cause = _cause_of(spot)
            if cause is not None and (cause.bound is None or cause.bound.job is None):
                met.append(cause)
            return False

        self._way(self._last(), look, {})
        return max(dict.fromkeys(met), key=self._gain, default=None)

    def _is_no_other_house(self, spot: Spot) -> bool:
        return spot.bound.job is None and spot.later not in NO_CAUSE

    def _binds(self, cause: Cause) -> bool:
        return self._gain(cause).counts

    def _gain(self, cause: Cause) -> Gain:
        if cause not in self._known:
            self._known[cause] = gain(self.job, cause)
        return self._known[cause]

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

    def _spots(self, place: Place) -> Iterator[Spot]:
        """Yield a placement with each thing that binds its start, another house last: a crew may be there in a gap."""
        reaching = sorted(self._reaching(place), key=_order)
        for bound in reaching:
            yield self._as_spot(place, bound, *held_up(self.job, place, bound))
        house = next((bound for bound in reaching if bound.binding is Binding.CREW), None)
        if self._every and (house is not None or self._past_all):  # else nothing says why it stands later than that
            for bound in sorted(place.bounds, key=_order):
                if bound not in reaching and bound.binding is not Binding.PLAN:
                    yield replace(self._as_spot(place, bound, None, ""), then=house)
        if reaching:
            return
        best = max(place.bounds, key=lambda bound: (bound.slot, -RANK.index(bound.binding)))
        later, lacks = why_later(self.job, place, best, self.soonest)
        if later is Later.AT_MOST:
            best = self._fact_of_next(place)
        elif later in NO_CAUSE:  # it could begin sooner, so what it waits for does not bind
            best = Bound(binding=Binding.PLAN, slot=0)
        yield self._as_spot(place, best, later, lacks)

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
