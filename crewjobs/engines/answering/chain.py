"""What fixes the day a job is finished: walked back from its last work through what binds each start.

Only what binds is named: of all that a start waits for, what ends last, and of what ends equally late the one that
could not have ended sooner itself. Where a start is later than all of it allows, the chain says that too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.domain.tasks import Link, Pause
from crewjobs.domain.wording import day_words
from crewjobs.engines.planning.blocks import begun_tasks, by_elevator, open_links
from crewjobs.engines.planning.calendars import Calendar, slots_of
from crewjobs.engines.planning.critical_path import neighbors, reached
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS, OPENING_SLOTS, UNSPLIT_SLOTS, Floor
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.problem import Block, Earliest, PlanProblem
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A placement in the chain with what binds its start, and why it begins later than that allows, if it does."""

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
    return Booking(key=placed.key, crew=placed.crew, start=start, end=end, people=placed.people)


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
        self._places = {key: self._place(placed) for key, placed in self._mine.items()}
        self._tight: dict[BlockKey, bool] = {}

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
        key: BlockKey | None = max(self._places, key=lambda key: (self._places[key].end, key))
        found: list[Spot] = []
        while key is not None:
            spot = self._spot(self._places[key])
            found.append(spot)
            key = spot.bound.source
        return tuple(reversed(found))

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
        booking = _booking(self.floor, placed)
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
                slot = floor.axis.up(self._mine[source].end) + slots_of(link.wait_min)
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
            yield Bound(binding=Binding.CREW, slot=slot, job=previous.key.job)

    def _tool_bounds(self, placed: Placement, booking: Booking) -> Iterator[Bound]:
        """Yield until when all of each shared tool it needs were at other work, where they were."""
        counts = {tool.name: tool.count for tool in self._problem.shop.tools}
        for tool in sorted(self._tools_of(placed)):
            out = [p for p in self._plan.placements if p.key != placed.key and tool in self._tools_of(p)]
            back = [p for p in out if self.floor.axis.up(p.end) <= booking.start]
            last = max(back, key=lambda p: (p.end, p.key), default=None)
            if last is None or sum(p.start < last.end <= p.end for p in out) < counts.get(tool, 1):
                continue
            source = last.key if last.key in self._mine else None
            job = None if source else last.key.job
            slot = self.floor.axis.up(last.end)
            yield Bound(binding=Binding.TOOL, slot=slot, source=source, job=job, tool=tool)

    def _tools_of(self, placed: Placement) -> frozenset[str]:
        tools = self._problem.tools
        return frozenset(tool for n in placed.tasks for tool in tools.get((placed.key.job, n), ()))

    # -- what binds

    def _reaching(self, place: _Place) -> list[Bound]:
        """Return the bounds of which each alone has the work begin where it does."""
        limit = self.floor.axis.slots
        return [bound for bound in place.bounds if place.fit(bound.slot, limit) == place.start]

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
        if later in (
            Later.TOGETHER,
            Later.KEPT,
            Later.AT_MOST,
        ):  # it could begin sooner, so what it waits for does not bind
            best = self._fact_of_next(place) if later is Later.AT_MOST else Bound(binding=Binding.PLAN, slot=0)
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
        )

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
        was = [p for p in self._before.placements if p.key.job == self.record.job.number] if self._before else []
        if any(p.start == place.placement.start and set(p.tasks) & set(place.placement.tasks) for p in was):
            return Later.KEPT, ""
        return Later.TOGETHER, ""

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
        """Return who is missing on a day between what binds a start and the start, with the day; empty if nobody."""
        calendar, crew = place.calendar, place.placement.crew
        if calendar is None:
            return ""
        index = calendar.count(max(0, bound.slot))
        if index >= calendar.total or calendar.slot(index) >= place.start:
            return ""
        days = calendar.days[calendar.window(index) : calendar.window(calendar.count(place.start)) + 1]
        irregular = self.floor.roster.days(crew)
        lacking = [day for day in dict.fromkeys(days) if day in irregular and self.floor.lacks(place.block, crew, day)]
        if not lacking:
            return ""
        return f"{self.floor.lacks(place.block, crew, lacking[-1])} on {day_words(lacking[-1])}"


def promised_until(record: JobRecord, floor: Floor) -> int | None:
    """Return the slot at which a job's promised day is over, None where nothing is promised."""
    day = record.job.promised
    return None if day is None else floor.day(record, day)[1]
