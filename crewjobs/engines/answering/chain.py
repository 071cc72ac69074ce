"""What fixes the day a job is finished: walked back from its last work through what binds each start.

Only what binds is named: of all that a start waits for, what ends last, and of what ends equally late the one that
could not have ended sooner itself. A plan puts work later where that costs no time, so that a house is open on fewer
days; such a place is no cause of the end. So the walk goes through the job as it would stand with every piece of work
as early as its crew and all it waits for allow (`sooner`), wherever that ends when the plan does. Where that would end
sooner, the plan itself is walked, and the chain says why it is not sooner.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.domain.tasks import Link, Pause
from crewjobs.domain.wall import QUARTER
from crewjobs.domain.wording import day_words, listed
from crewjobs.engines.planning.blocks import begun_tasks, by_elevator, open_links
from crewjobs.engines.planning.buffers import spare
from crewjobs.engines.planning.calendars import Calendar, slots_of
from crewjobs.engines.planning.critical_path import neighbors, reached
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS, OPENING_SLOTS, UNSPLIT_SLOTS, Floor
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.problem import Block, Earliest, PlanProblem
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.planning.starts import StartTables
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.readiness.holds import is_carry_in


class Binding(StrEnum):
    """What a start waits for."""

    FACT = "fact"
    WAIT = "wait"
    PIN = "pin"
    WISHED = "wished start"
    TOOL = "shared tool"
    CREW = "crew on another job"
    FOLLOWS = "follows"
    BEGUN = "under way"
    PLAN = "start of the plan"


class Later(StrEnum):
    """Why a start is later than all it waits for."""

    PEOPLE = "people or cards missing"
    ELEVATOR = "elevator"
    STRETCH = "no stretch long enough"
    AT_MOST = "longest wait"
    KEPT = "kept from the plan before"
    TOGETHER = "days kept together"
    ONE_DAY = "begun and ended on one day"
    CHOSEN = "left there by the plan"


NO_CAUSE: Final = frozenset({Later.KEPT, Later.TOGETHER, Later.ONE_DAY, Later.CHOSEN})
"""Where the plan put work though nothing it waits for says so: a chain begins there."""
HOUR: Final = 60 // QUARTER
"""What costs a crew fewer slots than this is not worth naming."""


_NOT_BY_PLACE: Final = (Binding.FACT, Binding.PIN, Binding.WISHED)
"""What a start waits for wherever the rest of the plan stands."""
RANK: Final = tuple(Binding)
"""Of what ends equally late the first is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """One thing a start waits for, until `slot`; `source` is the job's own work it comes from, `job` another job."""

    binding: Binding
    slot: int
    source: BlockKey | None = None
    link: Link | None = None
    facts: tuple[Earliest, ...] = ()
    job: int | None = None
    tool: str = ""
    done: int = 0
    """When the crew ends at the other job; it is on its way until `slot`."""


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
    return Chain(job=job, end=walk.finish(), spots=spots) if spots else None


def floor_of(problem: PlanProblem, plan: WeekPlan) -> Floor:
    """Return the floor a plan was made on, with all of its bookings."""
    days = max(1, -(-(plan.until - plan.made_at) // timedelta(days=1)))
    floor = Floor(replace(problem, now=plan.made_at, days=days))
    known = {record.job.number for record in problem.jobs}
    for placed in plan.placements:
        if placed.key.job in known and placed.crew in floor.timelines:
            floor.timelines[placed.crew].add(_booking(floor, placed))
    return floor


def _booking(floor: Floor, placed: Placement) -> Booking:
    start, end = floor.axis.down(placed.start), floor.axis.up(placed.end)
    tools = tools_of(floor.problem, placed)
    return Booking(key=placed.key, crew=placed.crew, start=start, end=end, people=placed.people, tools=tools)


def tools_of(problem: PlanProblem, placed: Placement) -> frozenset[str]:
    """Return the shared tools a placement needs."""
    known = {tool.name for tool in problem.shop.tools}
    needs = (problem.tools.get((placed.key.job, number), frozenset()) for number in placed.tasks)
    return frozenset(tool for tools in needs for tool in tools if tool in known)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """A placement with what the walk asks of it again and again."""

    placement: Placement
    block: Block
    start: int
    end: int
    calendar: Calendar | None
    bounds: tuple[Bound, ...]

    @property
    def work(self) -> int:
        return 0 if self.calendar is None else self.calendar.count(self.end) - self.calendar.count(self.start)

    @property
    def opening(self) -> int:
        if self.block.begun:
            return 1
        return self.work if self.work <= UNSPLIT_SLOTS else OPENING_SLOTS

    def fit(self, slot: int, limit: int, opening: int | None = None) -> int | None:
        """Return the slot at which it would begin if nothing but hours bound it from a slot on."""
        if self.calendar is None or self.work <= 0:
            return None
        least = self.opening if opening is None else opening
        found = StartTables().of(self.calendar, self.work, self.block.pause, least).first(max(0, slot), limit)
        return None if found is None else found[0]


class Walk:
    """Walks through one job of a plan."""

    def __init__(self, problem: PlanProblem, plan: WeekPlan, job: int, before: WeekPlan | None = None) -> None:
        self.floor = floor_of(problem, plan)
        self._problem = problem
        self._plan = plan
        self._before = before
        self.record = next(record for record in problem.jobs if record.job.number == job)
        self._known = {task.number for task in self.record.tasks}
        self._mine = {p.key: p for p in plan.placements if p.key.job == job and self._known.issuperset(p.tasks)}
        self._of = {number: key for key, placed in self._mine.items() for number in placed.tasks}
        begun = begun_tasks(self.record, problem.shop, plan.made_at, None)
        self._begun = frozenset(begun)
        self._links = open_links(self.record, begun, among=sorted(self._of))
        carried = [task.number for task in self.record.tasks if is_carry_in(task) and task.number in self._of]
        self._ahead = {self._of[number] for number in reached(carried, neighbors(self._links)[0])}
        self._wished = self._wish()
        self._on_one_day = self._one_day()
        self._as_planned = {key: _booking(self.floor, placed) for key, placed in self._mine.items()}
        self._at = dict(self._as_planned)
        self._places = {key: self._place(placed) for key, placed in self._mine.items()}
        self._tight: dict[BlockKey, bool] = {}
        self._soonest = self._sooner()

    def finish(self) -> datetime:
        """Return when the last work of the job ends, to the minute as on the crew's page."""
        last = max(self._mine.values(), key=lambda placed: (placed.end, placed.key))
        crew = self.floor.crews.get(last.crew)
        if crew is None:
            return last.end
        times = task_times(last, self.record, self.floor.problem.shop, crew, self._plan.made_at)
        return max((time.end for time in times), default=last.end)

    def spots(self) -> tuple[Spot, ...]:
        """Return the chain, from its beginning to the job's last work."""
        if not self._places:
            return ()
        found = self._chain()
        # What was merely left where it stood is no cause where people are missing after it: these are.
        missing = [i for i, spot in enumerate(found) if spot.later is Later.PEOPLE]
        if found[0].later not in NO_CAUSE or missing:
            return tuple(found[missing[0] if found[0].later in NO_CAUSE else 0 :])
        if self._places_cost_nothing():
            self._stand(self._soonest)
            found = self._chain()
            found[0] = self._left_later(found[0])
        return tuple(found)

    def _chain(self) -> list[Spot]:
        """Return the way back from the job's last work, the first of it first."""
        key: BlockKey | None = self._last()
        found: list[Spot] = []
        while key is not None:
            spot = self._spot(self._places[key])
            found.append(spot)
            key = spot.bound.source
        return found[::-1]

    def _left_later(self, spot: Spot) -> Spot:
        """Return the first spot with why the plan has it on a later day than it could be, if it has."""
        key = spot.placement.key
        could, planned = self._soonest[key].start, self._as_planned[key].start
        if spot.later is not None or self.floor.date_of(self.record, could) == self.floor.date_of(self.record, planned):
            return spot
        return replace(spot, later=self._why_left(self._places[key]))

    def _last(self) -> BlockKey:
        """Return the job's last work; of what ends last in the plan, that which could do so least sooner."""
        end = max(booking.end for booking in self._as_planned.values())
        ending = [key for key, booking in self._as_planned.items() if booking.end == end]
        return max(ending, key=lambda key: (self._soonest[key].end, key))

    # -- as early as it can be

    def _sooner(self) -> dict[BlockKey, Booking]:
        """Return the job's bookings, each as early as its crew and all it waits for allow, with the people it has.

        One after the other in the order of the plan, so none is later than planned. What must start soon after other
        work, or end on the day it begins, stands where the plan has it.
        """
        for booking in self._at.values():
            if booking.crew in self.floor.timelines:
                self.floor.timelines[booking.crew].remove(booking)
        found: dict[BlockKey, Booking] = {}
        for key in sorted(self._at, key=lambda key: (self._at[key].start, self._at[key].end, key)):
            found[key] = self._soon_as_can(self._places[key], found)
            if found[key].crew in self.floor.timelines:
                self.floor.timelines[found[key].crew].add(found[key])
        self._rebook(found, self._at)
        return found

    def _soon_as_can(self, place: _Place, done: dict[BlockKey, Booking]) -> Booking:
        planned, calendar = self._as_planned[place.placement.key], place.calendar
        fixed = place.block.begun is not None or planned.key in self._on_one_day or self._soon(place) is not None
        if calendar is None or place.work <= 0 or fixed:
            return planned
        slots = [bound.slot for bound in place.bounds if bound.binding in _NOT_BY_PLACE]
        for link in self._links:
            if link.after in place.placement.tasks and link.before not in place.placement.tasks:
                source = self._of[link.before]
                slots.append(done.get(source, self._as_planned[source]).end + slots_of(link.wait_min))
        starts = self.floor.tables.of(calendar, place.work, place.block.pause, place.opening)
        timeline, earliest = self.floor.timelines[planned.crew], max(slots, default=0)
        while earliest < planned.start:
            found = timeline.first(starts, planned.key.job, earliest, planned.end)
            if found is None or found[0] >= planned.start:
                return planned
            free = self.floor.toolbox.free_from(planned.tools, *found) if planned.tools else None
            if free is None and self._enough(place, *found):
                return planned._replace(start=found[0], end=found[1])
            earliest = free if free is not None else found[0] + 1
        return planned

    def _enough(self, place: _Place, start: int, end: int) -> bool:
        """Return whether as many people as planned are there."""
        crew = place.placement.crew
        if not self.floor.roster.days(crew):
            return True
        return self.floor.staff(self.record, place.block, crew, start, end) >= max(1, place.placement.people)

    def _places_cost_nothing(self) -> bool:
        """Return whether what binds the work binds the end: as early as all of it can be, the job ends hardly sooner.

        That is on the same day, or less than an hour of work sooner. Where the promise is broken or has little time to
        spare, what binds the work is what is asked, not where the planner likes it best.
        """
        last = self._last()
        calendar, soonest, planned = self._places[last].calendar, self._soonest[last], self._as_planned[last]
        days = {self.floor.date_of(self.record, booking.end - 1) for booking in (soonest, planned)}
        if len(days) == 1 or calendar is None or self._pressed():
            return True
        return calendar.count(planned.end) - calendar.count(soonest.end) < HOUR

    def _pressed(self) -> bool:
        """Return whether the promise is broken, or holds with less time to spare than is to be kept."""
        if self.record.job.promised is None:
            return False
        shop = with_parts(self._problem.shop, self._problem.away)
        found = spare(shop, self._problem.away, self._problem.errands, self.record, self._plan, self.finish())
        return found is None or found.tight

    def _stand(self, bookings: dict[BlockKey, Booking]) -> None:
        """Walk other bookings of the job than those of the plan."""
        self._rebook(self._at, bookings)
        self._at = dict(bookings)
        self._places = {key: self._place(placed) for key, placed in self._mine.items()}

    def _rebook(self, old: dict[BlockKey, Booking], new: dict[BlockKey, Booking]) -> None:
        for booking in old.values():
            if booking.crew in self.floor.timelines:
                self.floor.timelines[booking.crew].remove(booking)
        for booking in new.values():
            if booking.crew in self.floor.timelines:
                self.floor.timelines[booking.crew].add(booking)

    def _one_day(self) -> frozenset[BlockKey]:
        """Return what lies between two tasks of which the second must end on the day the first begins."""
        keys: set[BlockKey] = set()
        into, out = neighbors(self._links)
        for pair in self._problem.same_day:
            if pair.job == self.record.job.number and {pair.first, pair.last} <= self._of.keys():
                between = reached([pair.first], out) & reached([pair.last], into)
                keys |= {self._of[number] for number in {*between, pair.first, pair.last}}
        return frozenset(keys)

    def _open_days(self, bookings: dict[BlockKey, Booking]) -> int:
        """Return the days from the first work on the floors to the job's end."""
        floors = [booking.start for key, booking in bookings.items() if key not in self._ahead]
        if not floors:
            return 0
        end = max(booking.end for booking in bookings.values())
        first, last = (self.floor.date_of(self.record, slot) for slot in (min(floors), end - 1))
        return (last - first).days + 1

    def _wish(self) -> int:
        """Return the slot of the wished start if the plan kept it, else 0."""
        day = self.record.job.wished
        if day is None:
            return 0
        slot = self.floor.day(self.record, day)[0]
        starts = [self.floor.axis.down(p.start) for key, p in self._mine.items() if key not in self._ahead]
        return slot if slot > 0 and starts and min(starts) >= slot else 0

    def _place(self, placed: Placement) -> _Place:
        record, tasks = self.record, tuple(self.record.task(number) for number in placed.tasks)
        started = [task.started_at for task in tasks if task.number in self._begun and task.started_at]
        block = Block(
            key=placed.key,
            phase=placed.phase,
            stage=placed.stage,
            tasks=tasks,
            labor=(),
            inner=(),
            skills=frozenset(task.skill for task in tasks if task.skill is not None),
            pause=min((task.pause for task in tasks), key=tuple(reversed(Pause)).index),
            least_people=max(task.least_people for task in tasks),
            cards=frozenset(task.card for task in tasks if task.card),
            begun=min(started, default=None),
            crew=placed.crew if started else "",
            carry_in=any(is_carry_in(task) for task in tasks),
            elevator=any(by_elevator(record, task) for task in tasks),
        )
        calendar = self.floor.calendar(record, placed.crew, block) if placed.crew in self.floor.crews else None
        booking = self._at[placed.key]
        return _Place(
            placement=placed,
            block=block,
            start=booking.start,
            end=booking.end,
            calendar=calendar,
            bounds=tuple(self._bounds(placed, block, booking)),
        )

    def _bounds(self, placed: Placement, block: Block, booking: Booking) -> Iterator[Bound]:
        """Yield all that a placement waited for."""
        floor = self.floor
        if block.begun is not None:
            yield Bound(binding=Binding.BEGUN, slot=0)
            return
        yield Bound(binding=Binding.PLAN, slot=0)
        facts = [fact for n in placed.tasks for fact in self._problem.earliest.get((placed.key.job, n), ())]
        facts = [fact for fact in dict.fromkeys(facts) if fact.at > self._plan.made_at]
        for fact in facts:
            slot = floor.axis.up(fact.at)
            if slot <= booking.start:
                yield Bound(binding=Binding.FACT, slot=slot, facts=(fact, *(f for f in facts if f.at < fact.at)))
        for link in self._links:
            if link.after in placed.tasks and link.before not in placed.tasks:
                source = self._of[link.before]
                slot = self._at[source].end + slots_of(link.wait_min)
                binding = Binding.WAIT if link.wait_min else Binding.FOLLOWS
                if slot <= booking.start:
                    yield Bound(binding=binding, slot=slot, source=source, link=link)
        pins = [pin for pin in self._problem.pins if pin.job == placed.key.job and pin.task in placed.tasks]
        for pin in pins:
            day = floor.day(self.record, pin.day)
            if pin.crew == placed.crew and day[0] <= booking.start < day[1]:
                yield Bound(binding=Binding.PIN, slot=max(0, day[0]))
        yield from self._crew_bound(placed, booking)
        yield from self._tool_bounds(placed, booking)
        if self._wished and placed.key not in self._ahead:
            yield Bound(binding=Binding.WISHED, slot=self._wished)

    def _crew_bound(self, placed: Placement, booking: Booking) -> Iterator[Bound]:
        timeline = self.floor.timelines.get(placed.crew)
        previous = timeline.before(booking.start) if timeline else None
        if timeline is None or previous is None:
            return
        if previous.key.job == placed.key.job:
            if previous.key in self._mine and previous.end <= booking.start:
                yield Bound(binding=Binding.FOLLOWS, slot=previous.end, source=previous.key)
            return
        slot = timeline.free_from(previous, placed.key.job)
        if slot <= booking.start:
            yield Bound(binding=Binding.CREW, slot=slot, job=previous.key.job, done=previous.end)

    def _tool_bounds(self, placed: Placement, booking: Booking) -> Iterator[Bound]:
        """Yield until when all of each shared tool it needs were at other work, where they were."""
        counts = {tool.name: tool.count for tool in self._problem.shop.tools}
        others = [_booking(self.floor, p) for p in self._plan.placements if p.key not in self._mine]
        for tool in sorted(booking.tools):
            out = [one for one in (*others, *self._at.values()) if one.key != placed.key and tool in one.tools]
            back = [one for one in out if one.end <= booking.start]
            last = max(back, key=lambda one: (one.end, one.key), default=None)
            if last is None or sum(one.start < last.end <= one.end for one in out) < counts[tool]:
                continue
            source = last.key if last.key in self._mine else None
            job = None if source else last.key.job
            yield Bound(binding=Binding.TOOL, slot=last.end, source=source, job=job, tool=tool)

    # -- what binds

    def _reaching(self, place: _Place) -> list[Bound]:
        """Return the bounds of which each alone has the work begin where it does, or less than an hour of work before."""
        return [bound for bound in place.bounds if self._reaches(place, bound, HOUR - 1)]

    def _reaches(self, place: _Place, bound: Bound, sooner: int = 0) -> bool:
        """Return whether a bound alone has the work begin where it does, or at most so many slots of work sooner."""
        fit = place.fit(bound.slot, self.floor.axis.slots)
        if fit is None or place.calendar is None or fit > place.start:
            return False
        return fit == place.start or place.calendar.count(place.start) - place.calendar.count(fit) <= sooner

    def _is_tight(self, key: BlockKey) -> bool:
        """Return whether a placement could not begin sooner, and nor could what it waits for."""
        if key not in self._tight:
            self._tight[key] = False  # times only grow along a chain, so nothing is met twice
            place = self._places[key]
            bounds = self._reaching(place)
            if not bounds:
                latest = self._latest(place)
                bounds = [latest] if self._why_later(place, latest)[0] in (Later.PEOPLE, Later.STRETCH) else []
            self._tight[key] = any(bound.source is None or self._is_tight(bound.source) for bound in bounds)
        return self._tight[key]

    def _latest(self, place: _Place) -> Bound:
        return max(place.bounds, key=lambda bound: (bound.slot, -RANK.index(bound.binding)))

    def _spot(self, place: _Place) -> Spot:
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
            return self._as_spot(place, best, *self._held_up(place, best))
        best = self._latest(place)
        later, lacks = self._why_later(place, best)
        if later is Later.AT_MOST:
            best = self._fact_of_next(place)
        elif later in NO_CAUSE:  # it could begin sooner, so what it waits for does not bind
            best = Bound(binding=Binding.PLAN, slot=0)
        return self._as_spot(place, best, later, lacks)

    def _as_spot(self, place: _Place, bound: Bound, later: Later | None, lacks: str) -> Spot:
        return Spot(
            placement=place.placement,
            block=place.block,
            start=place.start,
            end=place.end,
            work=place.work,
            bound=bound,
            later=later,
            lacks=lacks,
            soon=self._soon(place) if later is Later.AT_MOST else None,
            ahead=place.placement.key in self._ahead,
            apart=self._is_apart(place),
        )

    def _is_apart(self, place: _Place) -> bool:
        timeline = self.floor.timelines.get(place.placement.crew)
        before = timeline.before(place.start) if timeline is not None and place.work else None
        return before is not None and before.key.job != self.record.job.number

    def _held_up(self, place: _Place, bound: Bound) -> tuple[Later | None, str]:
        """Return what beside nights and days off lies between what binds a start and the start itself."""
        calendar = self.floor.calendar(self.record, place.placement.crew)
        if place.block.elevator and place.calendar is not None:
            starts = self.floor.tables.of(calendar, place.work, place.block.pause, 1)
            opens = starts.first(max(0, bound.slot), self.floor.axis.slots)
            if opens is not None and opens[0] < place.start:
                return Later.ELEVATOR, ""
        first = calendar.count(max(0, bound.slot))
        if place.block.pause is not Pause.NIGHT and first < calendar.total:
            day = self.floor.date_of(self.record, calendar.slot(first))
            if day < self.floor.date_of(self.record, place.start):
                return Later.STRETCH, ""
        return None, ""

    def _why_later(self, place: _Place, bound: Bound) -> tuple[Later, str]:
        """Return why work begins later than anything it waits for and its hours say."""
        lacks = self._who_is_missing(place, bound)
        if lacks:
            return Later.PEOPLE, lacks
        whole = min(place.work, HALF_DAY_SLOTS)
        if place.fit(bound.slot, self.floor.axis.slots, whole) == place.start:
            return Later.STRETCH, ""
        if self._soon(place) is not None:
            return Later.AT_MOST, ""
        if place.placement.key in self._on_one_day:
            return Later.ONE_DAY, ""
        return self._why_left(place), ""

    def _why_left(self, place: _Place) -> Later:
        """Return why the plan has work later than it could be, though nothing it waits for says so."""
        if self._open_days(self._as_planned) < self._open_days(self._soonest) and not self._pressed():
            return Later.TOGETHER
        was = [p for p in self._before.placements if p.key.job == self.record.job.number] if self._before else []
        if any(p.start == place.placement.start and set(p.tasks) & set(place.placement.tasks) for p in was):
            return Later.KEPT
        return Later.CHOSEN

    def _soon(self, place: _Place) -> Link | None:
        """Return the link after which something must start at most so long after a placement, None where there is none."""
        tight = [link for link in self._links if link.before in place.placement.tasks and link.most_min is not None]
        return min(tight, key=lambda link: link.most_min or 0, default=None)

    def _fact_of_next(self, place: _Place) -> Bound:
        """Return the last fact that what must start soon after a placement waits for itself, else the plan's start."""
        soon = self._soon(place)
        next_one = self._places[self._of[soon.after]] if soon is not None else place
        facts = [bound for bound in next_one.bounds if bound.binding is Binding.FACT]
        return max(facts, key=lambda bound: bound.slot, default=Bound(binding=Binding.PLAN, slot=0))

    def _who_is_missing(self, place: _Place, bound: Bound) -> str:
        """Return who is missing on the last day on which the work could have begun but for that; empty if none.

        Only a day on which its crew has the time counts: one on which nothing was missing, or which was booked, does
        not make what was missing on another day the cause.
        """
        calendar, crew, floor = place.calendar, place.placement.crew, self.floor
        if calendar is None or place.work <= 0 or not floor.roster.days(crew):
            return ""
        starts = floor.tables.of(calendar, place.work, place.block.pause, place.opening)
        missing, earliest, timeline = "", max(0, bound.slot), floor.timelines[crew]
        mine = self._at[place.placement.key]
        timeline.remove(mine)
        while (found := timeline.first(starts, self.record.job.number, earliest, mine.end)) and found[0] < mine.start:
            first, last = calendar.window(calendar.count(found[0])), calendar.window(calendar.count(found[1]) - 1)
            days = [d for d in dict.fromkeys(calendar.days[first : last + 1]) if d in floor.roster.days(crew)]
            lacking = [(day, why) for day in days if (why := floor.lacks(place.block, crew, day))]
            if lacking:
                missing = self._missing_words(crew, *lacking[-1])
            elif self._enough(place, *found):
                missing = ""  # there was a place with everybody there, so nobody missing is the cause
                break
            earliest = found[0] + 1
        timeline.add(mine)
        return missing

    def _missing_words(self, crew: str, day: date, lacks: str) -> str:
        away = [one for one in self._problem.away if one.crew == crew and one.day == day]
        out = [one.worker for one in away if one.worker not in lacks and not one.to]
        lent = [f"{one.worker} is with {one.to}" for one in away if one.worker not in lacks and one.to]
        named = [*([f"{listed(out)} {'is' if len(out) == 1 else 'are'} out"] if out else []), *lent]
        return f"{lacks} on {day_words(day)}" + (f" ({', '.join(named)})" if named else "")


def promised_until(record: JobRecord, floor: Floor) -> int | None:
    """Return the slot at which a job's promised day is over, None where nothing is promised."""
    day = record.job.promised
    return None if day is None else floor.day(record, day)[1]
