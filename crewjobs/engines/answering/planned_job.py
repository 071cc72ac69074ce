"""One job of a plan, with what each of its placements waits for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from itertools import takewhile
from typing import Final

from crewjobs.domain.plan import BlockKey, Placement, WeekPlan
from crewjobs.domain.tasks import Link, Pause
from crewjobs.engines.planning.blocks import begun_tasks, by_elevator, open_links
from crewjobs.engines.planning.calendars import Calendar, slots_of
from crewjobs.engines.planning.critical_path import neighbors, reached
from crewjobs.engines.planning.jobwork import OPENING_SLOTS, UNSPLIT_SLOTS, Floor
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.problem import Block, Earliest, PlanProblem
from crewjobs.engines.planning.starts import StartTables
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.readiness.holds import is_carry_in

MOST_HOUSES: Final = 4
"""Of a crew that comes from house after house, no more are looked at."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """One thing a start waits for, until `slot`; `source` is the job's own work it comes from, `job` another job."""

    binding: Binding
    slot: int
    source: BlockKey | None = None
    link: Link | None = None
    facts: tuple[Earliest, ...] = ()
    job: int | None = None
    also: tuple[int, ...] = ()
    """Other jobs at which its crew is right before that one."""
    tool: str = ""
    done: int = 0
    """When the crew ends, or the tool is done with, at the other job; it is on its way until `slot`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A placement of a job with what it waits for; `start` and `end` are slots, where the job is walked."""

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


class PlannedJob:
    """A job of a plan on the plan's floor.

    `mine` are its placements by block, `of` the block each task lies in, `links` those among what is still open, `ahead`
    what carries in or is needed for it, `on_one_day` what must end on the day on which it begins. `as_planned` are the
    bookings of the plan and `work` the slots each works, `at` those the job stands at now and `places` what is asked of
    them: `stand` has it stand elsewhere.
    """

    def __init__(self, problem: PlanProblem, plan: WeekPlan, job: int, before: WeekPlan | None = None) -> None:
        self.floor = floor_of(problem, plan)
        self.problem = problem
        self.plan = plan
        self.before = before
        self.record = next(record for record in problem.jobs if record.job.number == job)
        known = {task.number for task in self.record.tasks}
        self.mine = {p.key: p for p in plan.placements if p.key.job == job and known.issuperset(p.tasks)}
        self.of = {number: key for key, placed in self.mine.items() for number in placed.tasks}
        begun = begun_tasks(self.record, problem.shop, plan.made_at, None)
        self._begun = frozenset(begun)
        self.links = open_links(self.record, begun, among=sorted(self.of))
        carried = [task.number for task in self.record.tasks if is_carry_in(task) and task.number in self.of]
        self.ahead = frozenset(self.of[number] for number in reached(carried, neighbors(self.links)[0]))
        self._carried = frozenset(self.record.task(number).key.scope.name for number in carried)
        self._wished = self._wish()
        self.on_one_day = self._one_day()
        self.as_planned = {key: _booking(self.floor, placed) for key, placed in self.mine.items()}
        self.at = dict(self.as_planned)
        self.places = {key: self._place(placed) for key, placed in self.mine.items()}
        self.work = {key: place.work for key, place in self.places.items()}

    def finish(self) -> datetime:
        """Return when the last work of the job ends, to the minute as on the crew's page."""
        last = max(self.mine.values(), key=lambda placed: (placed.end, placed.key))
        crew = self.floor.crews.get(last.crew)
        if crew is None:
            return last.end
        times = task_times(last, self.record, self.floor.problem.shop, crew, self.plan.made_at)
        return max((time.end for time in times), default=last.end)

    def stand(self, bookings: dict[BlockKey, Booking]) -> None:
        """Walk other bookings of the job than those of the plan."""
        self.rebook(self.at, bookings)
        self.at = dict(bookings)
        self.places = {key: self._place(placed) for key, placed in self.mine.items()}

    def rebook(self, old: dict[BlockKey, Booking], new: dict[BlockKey, Booking]) -> None:
        for booking in old.values():
            if booking.crew in self.floor.timelines:
                self.floor.timelines[booking.crew].remove(booking)
        for booking in new.values():
            if booking.crew in self.floor.timelines:
                self.floor.timelines[booking.crew].add(booking)

    def soon(self, place: Place) -> Link | None:
        """Return the link after which something must start at most so long after a placement, None where there is none."""
        tight = [link for link in self.links if link.before in place.placement.tasks and link.most_min is not None]
        return min(tight, key=lambda link: link.most_min or 0, default=None)

    def date_of(self, slot: int) -> date:
        """Return the date of a slot at the job."""
        return self.floor.date_of(self.record, slot)

    def open_days(self, bookings: Mapping[BlockKey, Booking]) -> int:
        """Return the days from the first work on the floors to the job's end."""
        floors = [booking.start for key, booking in bookings.items() if key not in self.ahead]
        if not floors:
            return 0
        end = max(booking.end for booking in bookings.values())
        first, last = (self.date_of(slot) for slot in (min(floors), end - 1))
        return (last - first).days + 1

    def enough(self, place: Place, start: int, end: int) -> bool:
        """Return whether as many people as planned are there."""
        crew = place.placement.crew
        if not self.floor.roster.days(crew):
            return True
        return self.floor.staff(self.record, place.block, crew, start, end) >= max(1, place.placement.people)

    def _one_day(self) -> frozenset[BlockKey]:
        """Return what lies between two tasks of which the second must end on the day the first begins."""
        keys: set[BlockKey] = set()
        into, out = neighbors(self.links)
        for pair in self.problem.same_day:
            if pair.job == self.record.job.number and {pair.first, pair.last} <= self.of.keys():
                between = reached([pair.first], out) & reached([pair.last], into)
                keys |= {self.of[number] for number in {*between, pair.first, pair.last}}
        return frozenset(keys)

    def _wish(self) -> int:
        """Return the slot of the wished start if the plan kept it, else 0."""
        day = self.record.job.wished
        if day is None:
            return 0
        slot = self.floor.day(self.record, day)[0]
        starts = [self.floor.axis.down(p.start) for key, p in self.mine.items() if key not in self.ahead]
        return slot if slot > 0 and starts and min(starts) >= slot else 0

    def _place(self, placed: Placement) -> Place:
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
        booking = self.at[placed.key]
        return Place(
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
        facts = [fact for n in placed.tasks for fact in self.problem.earliest.get((placed.key.job, n), ())]
        facts = [fact for fact in dict.fromkeys(facts) if fact.at > self.plan.made_at]
        # How soon hours could have run at the least says nothing where it is planned when what they run for is carried in.
        facts = [fact for fact in facts if fact.of not in self._carried]
        for fact in facts:
            slot = floor.axis.up(fact.at)
            if slot <= booking.start:
                yield Bound(binding=Binding.FACT, slot=slot, facts=(fact, *(f for f in facts if f.at < fact.at)))
        for link in self.links:
            if link.after in placed.tasks and link.before not in placed.tasks:
                source = self.of[link.before]
                slot = self.at[source].end + slots_of(link.wait_min)
                binding = Binding.WAIT if link.wait_min else Binding.FOLLOWS
                if slot <= booking.start:
                    yield Bound(binding=binding, slot=slot, source=source, link=link)
        pins = [pin for pin in self.problem.pins if pin.job == placed.key.job and pin.task in placed.tasks]
        for pin in pins:
            day = floor.day(self.record, pin.day)
            if pin.crew == placed.crew and day[0] <= booking.start < day[1]:
                yield Bound(binding=Binding.PIN, slot=max(0, day[0]))
        yield from self._crew_bound(placed, booking)
        yield from self._tool_bounds(placed, booking)
        if self._wished and placed.key not in self.ahead:
            yield Bound(binding=Binding.WISHED, slot=self._wished)

    def _crew_bound(self, placed: Placement, booking: Booking) -> Iterator[Bound]:
        timeline = self.floor.timelines.get(placed.crew)
        previous = timeline.before(booking.start) if timeline else None
        if timeline is None or previous is None:
            return
        if previous.key.job == placed.key.job:
            if previous.key in self.mine and previous.end <= booking.start:
                yield Bound(binding=Binding.FOLLOWS, slot=previous.end, source=previous.key)
            return
        slot = timeline.free_from(previous, placed.key.job)
        if slot <= booking.start:
            before = [one.key.job for one in timeline.bookings if one.start < previous.start][::-1]
            jobs = tuple(takewhile(lambda job: job != placed.key.job, dict.fromkeys([previous.key.job, *before])))
            for count in range(1, min(len(jobs), MOST_HOUSES) + 1):
                yield Bound(binding=Binding.CREW, slot=slot, job=jobs[0], also=jobs[1:count], done=previous.end)
        mine = [one for one in self.at.values() if one.crew == placed.crew and one.end <= previous.start]
        if mine:  # it may have left for another house in a gap
            own = max(mine, key=lambda one: one.end)
            yield Bound(binding=Binding.FOLLOWS, slot=own.end, source=own.key)

    def _tool_bounds(self, placed: Placement, booking: Booking) -> Iterator[Bound]:
        """Yield until when all of each shared tool it needs were at other work, where they were."""
        counts = {tool.name: tool.count for tool in self.problem.shop.tools}
        others = [_booking(self.floor, p) for p in self.plan.placements if p.key not in self.mine]
        for tool in sorted(booking.tools):
            out = [one for one in (*others, *self.at.values()) if one.key != placed.key and tool in one.tools]
            back = [one for one in out if one.end <= booking.start]
            last = max(back, key=lambda one: (one.end, one.key), default=None)
            if last is None or sum(one.start < last.end <= one.end for one in out) < counts[tool]:
                continue
            source = last.key if last.key in self.mine else None
            job = None if source else last.key.job
            here = min(booking.start, self.floor.toolbox.back_at(last, placed.key.job))
            yield Bound(binding=Binding.TOOL, slot=here, source=source, job=job, tool=tool, done=last.end)


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
