"""A job made ready for planning: its blocks, what they wait for, their order, and what is fixed beforehand."""

from __future__ import annotations

import heapq
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from crewjobs.domain.crew import Crew, Worker
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, Pin
from crewjobs.domain.wall import QUARTER, days_from, to_utc, to_wall
from crewjobs.domain.wording import listed
from crewjobs.engines.planning.blocks import Begun, begun_tasks, blocks_of, holds_cards, open_links, opened
from crewjobs.engines.planning.buffers import promise_instant
from crewjobs.engines.planning.calendars import Axis, Calendar, Calendars, axis_from, slots_of
from crewjobs.engines.planning.critical_path import critical_path
from crewjobs.engines.planning.layout import block_minutes
from crewjobs.engines.planning.links import most_slots
from crewjobs.engines.planning.problem import Block, BlockLink, Earliest, PlanProblem
from crewjobs.engines.planning.roster import Roster, with_parts
from crewjobs.engines.planning.staffing import first_place, place_at
from crewjobs.engines.planning.starts import Starts, StartTables
from crewjobs.engines.planning.subs import labor_with, manned
from crewjobs.engines.planning.timeline import Booking, Piece, Roads, Timeline
from crewjobs.engines.planning.tools import Toolbox
from crewjobs.engines.planning.trips import left_for_later, second_trip
from crewjobs.engines.planning.whereabouts import whereabouts
from crewjobs.engines.planning.words import cards_words
from crewjobs.engines.readiness.at_most import MustStart, must_start

SPARE_DAYS = 14
"""A house opened before the plan ends is planned to its end, up to this many days later."""
CLOCK_PER_WORK = 3
"""A day of 24 hours holds about 8 of work: turns work into time by the clock where no calendar is asked."""
OPENING_SLOTS = 2
"""Nobody starts something with less than half an hour of the day left, unless it is done by then."""
UNSPLIT_SLOTS = 8
"""Nobody comes back in the morning for the rest of two hours' work: up to that it is done on one day."""
HALF_DAY_SLOTS = 16
"""Up to four hours are not split over a night either where the job is done as well that way."""


class Floor:
    """What all jobs share while a plan is made: the axis, calendars, crews' bookings and the roads."""

    def __init__(self, problem: PlanProblem) -> None:
        self.problem = problem
        self.axis: Axis = axis_from(problem.now, problem.days + SPARE_DAYS)
        self.until = axis_from(problem.now, problem.days).slots
        shop = with_parts(problem.shop, problem.away)
        self.calendars = Calendars(self.axis, shop)
        self.crews: dict[str, Crew] = {crew.name: crew for crew in shop.crews}
        self.roster = Roster(shop, problem.away, problem.errands)
        self._jobs = {record.job.number: record.job for record in problem.jobs}
        self.roads = Roads([record.job for record in problem.jobs], problem.drive)
        self.stands = whereabouts(problem, self.axis, self.calendars, self.roads)
        self.toolbox = Toolbox(problem.shop, self.roads)
        self.timelines = self._timelines()
        self.tables = StartTables()
        self._starts: dict[tuple[BlockKey, str, int, int], Starts] = {}
        self._unusual: dict[str, list[tuple[int, int]]] = {}
        self._minutes: dict[tuple[BlockKey, str, int], int] = {}
        self._dates: dict[tuple[str, int], date] = {}

    def emptied(self) -> Floor:
        """Return a floor of the same problem with nothing booked, which shares what was computed about starts and work."""
        floor = copy(self)
        floor.toolbox = Toolbox(self.problem.shop, self.roads)
        floor.timelines = floor._timelines()
        return floor

    def anywhere(self) -> Floor:
        """Return an empty floor on which every crew stands ready at the door of whatever house it is asked for."""
        floor = copy(self)
        floor.stands, floor.toolbox = {}, Toolbox(self.problem.shop, self.roads)
        floor.timelines = floor._timelines()
        return floor

    def _timelines(self) -> dict[str, Timeline]:
        return {
            name: Timeline(name, self.calendars.crew(name), self.roads, self.toolbox, self.stands.get(name))
            for name in self.crews
        }

    def able(self, block: Block, crew: str) -> bool:
        """Return whether a crew can do a block: its floors are laid, its people and cards are enough, or it began it."""
        found = self.crews[crew]
        if block.crew == crew:
            return True
        enough = block.skills <= found.skills and block.least_people <= self.roster.most(crew)
        return enough and holds_cards(self.roster.anyone(crew), block.cards)

    def slots(self, block: Block, crew: str, people: int = 0) -> int:
        """Return the quarter hours a block takes a crew, or so many of its people."""
        return slots_of(self._takes(block, crew, people))

    def spare(self, block: Block, crew: str, people: int = 0) -> int:
        """Return the minutes by which a crew, or so many of its people, are done before a block's last slot is over."""
        takes = self._takes(block, crew, people)
        return slots_of(takes) * QUARTER - takes

    def least_spare(self, block: Block) -> int:
        """Return the least minutes by which any number of people of a crew that can do a block are done before its end."""
        able = [crew for crew in self.crews if self.able(block, crew)]
        return min((self.spare(block, crew, n) for crew in able for n in self.roster.counts(crew)), default=0)

    def starts_by(self, work: JobWork, link: BlockLink, before: Booking) -> int:
        """Return the slot by which the second block of a link with an at most must start, where the first is booked."""
        return before.end + most_slots(link, self.spare(work.blocks[link.before], before.crew, before.people))

    def _takes(self, block: Block, crew: str, people: int) -> int:
        """Return the minutes of work a block takes a crew, or so many of its people."""
        found = self.crews[crew]
        own = found.sub is not None or bool(self.problem.paces.times)
        key = (block.key, crew if own else "", people or found.people)
        if key not in self._minutes:
            self._minutes[key] = block_minutes(self._as_done_by(found, block) if own else block, key[2])
        return self._minutes[key]

    def _as_done_by(self, crew: Crew, block: Block) -> Block:
        """Return a block as a crew does it: by its pace, a sub's laying by its capacity."""
        return replace(block, tasks=manned(crew, block.tasks), labor=self.labor(block, crew.name))

    def labor(self, block: Block, crew: str) -> tuple[int, ...]:
        """Return the labor minutes a crew takes for each task of a block; what is left of work under way is known."""
        if block.begun:
            return block.labor
        job, found = self._jobs[block.key.job], self.crews[crew]
        return tuple(labor_with(found, job, task, self.problem.paces) for task in block.tasks)

    def piece(self, block: Block, crew: str, unsplit: int = UNSPLIT_SLOTS, people: int = 0) -> Piece:
        """Return a block as work to find a place for; up to `unsplit` slots are worked on one day.

        Work under way goes on whatever is left of the day.
        """
        work = self.slots(block, crew, people)
        opening = 1 if block.begun else work if work <= unsplit else OPENING_SLOTS
        return Piece(work=work, pause=block.pause, opening=opening)

    def starts(
        self, record: JobRecord, block: Block, crew: str, unsplit: int = UNSPLIT_SLOTS, people: int = 0
    ) -> Starts:
        """Return when a crew, or so many of its people, may start a block; up to `unsplit` slots are worked on one day."""
        key = (block.key, crew, unsplit, people)
        found = self._starts.get(key)
        if found is None:
            piece = self.piece(block, crew, unsplit, people)
            calendar = self.calendar(record, crew, block)
            found = self._starts[key] = self.tables.of(calendar, piece.work, piece.pause, piece.opening)
        return found

    def calendar(self, record: JobRecord, crew: str, block: Block | None = None) -> Calendar:
        """Return when a crew can work at a job's site: on anything there, or on a block that may need the elevator."""
        return self.calendars.at(crew, record.job, elevator=block is not None and block.elevator)

    def staff(self, record: JobRecord, block: Block, crew: str, start: int, end: int) -> int:
        """Return how many of a crew are there on the day of fewest people that a block would touch.

        0 where too few are there on one of the days, or nobody who holds a card it needs.
        """
        if self.as_usual(crew, start, end):
            return self.crews[crew].people if self.can(block, crew, self.crews[crew].workers) else 0
        calendar = self.calendar(record, crew, block)
        first, last = calendar.window(calendar.count(start)), calendar.window(calendar.count(end) - 1)
        days = dict.fromkeys(calendar.days[first : last + 1])
        began, ended = self.axis.at(start), self.axis.at(end)
        there = [self.roster.between(crew, day, began, ended) for day in days]
        return min(len(workers) if self.can(block, crew, workers) else 0 for workers in there)

    def as_usual(self, crew: str, start: int, end: int) -> bool:
        """Return whether on all days of the shop that a stretch of slots touches a crew is as it usually is."""
        unusual = self._unusual.get(crew)
        if unusual is None:
            zone = self.problem.shop.zone
            unusual = self._unusual[crew] = [
                (self.axis.down(to_utc(zone, day, 0)), self.axis.up(to_utc(zone, day + timedelta(days=1), 0)))
                for day in sorted(self.roster.days(crew))
            ]
        i = bisect_left(unusual, (end,))  # days do not overlap: the last that begins before the end is the one that may
        return i == 0 or unusual[i - 1][1] <= start

    def lacks(self, block: Block, crew: str, day: date) -> str:
        """Return what a crew lacks for a block on a day, empty if nothing."""
        there = self.roster.on(crew, day)
        missing = block.cards - {card for worker in there for card in worker.cards}
        if missing:
            holders = [w.name for w in self.crews[crew].workers if missing & w.cards and w not in there]
            who = (
                f"{listed(holders)} {'hold' if len(holders) > 1 else 'holds'} the card"
                if holders
                else "nobody holds the card"
            )
            return f"{who} {cards_words(missing)} and is not there" if holders else f"{who} {cards_words(missing)}"
        if len(there) < block.least_people:
            people = "1 person" if block.least_people == 1 else f"{block.least_people} people"
            return f"takes {people}, {crew} has {len(there) or 'nobody'}"
        return ""

    def can(self, block: Block, crew: str, workers: Sequence[Worker]) -> bool:
        """Return whether these people of a crew are enough for a block, cards and all; work they began goes on with any."""
        if block.begun and block.crew == crew:
            return bool(workers)
        return len(workers) >= block.least_people and holds_cards(workers, block.cards)

    def first(
        self,
        record: JobRecord,
        block: Block,
        crew: str,
        earliest: int,
        unsplit: int = UNSPLIT_SLOTS,
        before: int | None = None,
    ) -> Booking | None:
        """Return the place of a block from a slot on that ends first with people and tools there, None if there is none.

        It starts before the slot `before` where one is named.
        """
        return first_place(self, record, block, crew, earliest, unsplit, before)

    def at(self, record: JobRecord, block: Block, crew: str, start: int, end: int) -> Booking | None:
        """Return a block booked from one slot to another with people and tools there, None where it cannot lie there."""
        return place_at(self, record, block, crew, start, end, UNSPLIT_SLOTS)

    def day(self, record: JobRecord, day: date) -> tuple[int, int]:
        """Return the slots of a site's day."""
        zone = record.job.site.zone
        return self.axis.up(to_utc(zone, day, 0)), self.axis.up(to_utc(zone, day + timedelta(days=1), 0))

    def date_of(self, record: JobRecord, slot: int) -> date:
        """Return the site's date of a slot."""
        zone = record.job.site.zone
        found = self._dates.get((zone, slot))
        if found is None:
            found = self._dates[zone, slot] = to_wall(zone, self.axis.at(slot)).date()
        return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JobWork:
    """The open work of one booked job.

    `order` is the order in which blocks are placed: each after all it waits for, the longest way to the end
    first. `ready` holds the latest fact ahead that a block waits for, `ahead` the blocks of carrying in and
    what they need, `crews_seen` those who worked on the job already, `same_day` a block that must not begin on
    another day of the site than a second one ends, with the sentence where it would. `later` are blocks without
    a date that may be left out of an opened house: what they would leave bare is left out with them. `shut`
    says that the house is not even carried into. `tight` are the links with an at most into a block, `tight_out` those
    out of one; `must` says by when a block must start because of what is done, or since when it is too late for that.
    """

    record: JobRecord
    blocks: Mapping[BlockKey, Block]
    into: Mapping[BlockKey, tuple[BlockLink, ...]]
    out: Mapping[BlockKey, tuple[BlockLink, ...]]
    order: tuple[BlockKey, ...]
    tail_min: int
    ready: Mapping[BlockKey, Earliest]
    barred: Mapping[BlockKey, str]
    pins: Mapping[BlockKey, tuple[Pin, ...]]
    ahead: frozenset[BlockKey]
    opened: bool
    crews_seen: tuple[str, ...]
    same_day: tuple[tuple[BlockKey, BlockKey, str], ...] = ()
    later: frozenset[BlockKey] = frozenset()
    shut: bool = False
    tight: Mapping[BlockKey, tuple[BlockLink, ...]] = field(default_factory=dict)
    tight_out: Mapping[BlockKey, tuple[BlockLink, ...]] = field(default_factory=dict)
    must: Mapping[BlockKey, MustStart] = field(default_factory=dict)

    @property
    def number(self) -> int:
        """Return the job's number."""
        return self.record.job.number

    @property
    def under_way(self) -> bool:
        """Return whether work on it has begun."""
        return self.opened or any(block.begun for block in self.blocks.values())


def job_work(record: JobRecord, floor: Floor) -> JobWork:
    """Return the open work of a booked job.

    Raises:
        Refused: the links of its tasks go in a circle.
    """
    problem, number = floor.problem, record.job.number
    begun = begun_tasks(record, problem.shop, problem.now, problem.previous, problem.paces)
    facts = {
        task: max(ahead, key=lambda fact: fact.at)
        for (job, task), known in problem.earliest.items()
        if job == number and (ahead := [fact for fact in known if fact.at > problem.now])
    }
    impossible = {task: why for (job, task), why in problem.impossible.items() if job == number}
    still_open = open_links(record, begun)
    waiting = {link.after for link in record.links if link.most_min is not None} - set(begun)
    must = {n: found for n in sorted(waiting) if (found := must_start(record, record.task(n), problem.now, ahead=True))}
    one_day = [(pair.first, pair.last) for pair in floor.problem.same_day if pair.job == record.job.number]
    no_date = {task: why for task, why in impossible.items() if task not in begun}
    later = left_for_later(record, still_open, no_date, one_day)
    impossible = {**later, **impossible}
    known = {task: fact.at for task, fact in facts.items()}
    blocks, links = blocks_of(
        record,
        floor.roster.hands,
        same_day=[(pair.first, pair.last) for pair in problem.same_day if pair.job == number],
        begun=begun,
        earliest=known,
        was=_places(problem, number),
        impossible=impossible,
        scarce=floor.roster.scarce(_planned_days(record, problem)),
        fewer=_for_fewer(record, problem, floor.roster),
        second=second_trip(record, still_open, known, problem.now),
        urgent=must,
        tools={task: tools for (job, task), tools in problem.tools.items() if job == number},
    )
    into = {block.key: tuple(link for link in links if link.after == block.key) for block in blocks}
    out = {block.key: tuple(link for link in links if link.before == block.key) for block in blocks}
    tails = _tails(blocks, links, floor)
    close = [link for link in links if link.most_min is not None]
    return JobWork(
        record=record,
        blocks={block.key: block for block in blocks},
        into=into,
        out=out,
        order=_order(blocks, into, out, tails),
        tail_min=max(tails.values(), default=0),
        ready={block.key: fact for block in blocks if (fact := _latest(block, facts))},
        barred=_barred(blocks, begun, impossible),
        pins={
            block.key: held
            for block in blocks
            if not block.begun and (held := _pins_of(block, [pin for pin in problem.pins if pin.job == number]))
        },
        ahead=_ahead(blocks, out),
        opened=opened(record),
        crews_seen=_crews_seen(record, begun, floor),
        same_day=tuple(_same_day(record, blocks, problem)),
        later=frozenset(block.key for block in blocks if any(task.number in later for task in block.tasks)),
        tight={after: tuple(link for link in close if link.after == after) for after in {link.after for link in close}},
        tight_out={one: tuple(link for link in close if link.before == one) for one in {link.before for link in close}},
        must={block.key: must[block.tasks[0].number] for block in blocks if block.tasks[0].number in must},
    )


def _places(problem: PlanProblem, job: int) -> dict[int, tuple[int, datetime]]:
    """Return in which block the plan before has each task of a job, and when that begins."""
    before = problem.previous.placements if problem.previous is not None else ()
    return {task: (one.key.task, one.start) for one in before if one.key.job == job for task in one.tasks}


def _for_fewer(record: JobRecord, problem: PlanProblem, roster: Roster) -> frozenset[int]:
    """Return what those who are there can do of blocks that the plan before has on a day with too few people for all.

    Who is left of a crew does not stand idle because one piece of the visit takes two.
    """
    zone, found = problem.shop.zone, set[int]()
    still = {task.number: task for task in record.tasks if task.open}
    crews = {crew.name for crew in problem.shop.crews}
    for placed in problem.previous.placements if problem.previous is not None else ():
        tasks = [still[n] for n in placed.tasks if n in still] if placed.key.job == record.job.number else []
        least = max((task.least_people for task in tasks), default=1)
        if least == 1 or placed.crew not in crews or placed.end <= problem.now:
            continue
        first, last = (to_wall(zone, moment).date() for moment in (placed.start, placed.end))
        there = min(len(roster.on(placed.crew, day)) for day in days_from(first, (last - first).days + 1))
        if there < least:
            found |= {task.number for task in tasks if task.least_people <= there}
    return frozenset(found)


def _same_day(
    record: JobRecord, blocks: Sequence[Block], problem: PlanProblem
) -> Iterator[tuple[BlockKey, BlockKey, str]]:
    of = {task.number: block.key for block in blocks for task in block.tasks}
    for pair in problem.same_day:
        if pair.job == record.job.number and pair.first in of and pair.last in of:
            yield of[pair.first], of[pair.last], pair.why


def _planned_days(record: JobRecord, problem: PlanProblem) -> frozenset[date]:
    """Return the dates of the shop on which the plan before has open work of a job; none where it has no place for it."""
    zone, still = problem.shop.zone, {task.number for task in record.tasks if task.open}
    spans = [
        (to_wall(zone, placed.start).date(), to_wall(zone, placed.end).date())
        for placed in (problem.previous.placements if problem.previous else ())
        if placed.key.job == record.job.number and still & set(placed.tasks)
    ]
    return frozenset(day for first, last in spans for day in days_from(first, (last - first).days + 1))


def _latest(block: Block, facts: Mapping[int, Earliest]) -> Earliest | None:
    if block.begun:
        return None
    known = [facts[task.number] for task in block.tasks if task.number in facts]
    return max(known, key=lambda fact: fact.at, default=None)


def _pins_of(block: Block, pins: Sequence[Pin]) -> tuple[Pin, ...]:
    numbers = [task.number for task in block.tasks]
    return tuple(sorted((pin for pin in pins if pin.task in numbers), key=lambda pin: pin.task))


def _barred(blocks: Sequence[Block], begun: Mapping[int, Begun], impossible: Mapping[int, str]) -> dict[BlockKey, str]:
    barred = {}
    for block in blocks:
        whys = [impossible[t.number] for t in block.tasks if t.number in impossible and t.number not in begun]
        if whys:
            barred[block.key] = whys[0]
    return barred


def _ahead(blocks: Sequence[Block], out: Mapping[BlockKey, tuple[BlockLink, ...]]) -> frozenset[BlockKey]:
    ahead: set[BlockKey] = set()
    for block in reversed(blocks):
        if block.carry_in or any(link.after in ahead for link in out[block.key]):
            ahead.add(block.key)
    return frozenset(ahead)


def _crews_seen(record: JobRecord, begun: Mapping[int, Begun], floor: Floor) -> tuple[str, ...]:
    names = [task.crew for task in record.tasks if task.started_at or task.done_at]
    names += [work.crew for work in begun.values()]
    return tuple(name for name in floor.crews if name in names)


def _tails(blocks: Sequence[Block], links: Sequence[BlockLink], floor: Floor) -> dict[BlockKey, int]:
    """Return the minutes by the clock from each block's start to the job's end, without calendars."""
    place = {block.key: i for i, block in enumerate(blocks)}
    minutes = {}
    for block in blocks:
        able = [floor.slots(block, crew) for crew in floor.crews if floor.able(block, crew)]
        minutes[place[block.key]] = min(able, default=slots_of(sum(block.labor))) * QUARTER * CLOCK_PER_WORK
    times = critical_path(minutes, [(place[link.before], place[link.after], link.wait_min) for link in links])
    return {key: times[i].tail for key, i in place.items()}


def _order(
    blocks: Sequence[Block],
    into: Mapping[BlockKey, tuple[BlockLink, ...]],
    out: Mapping[BlockKey, tuple[BlockLink, ...]],
    tails: Mapping[BlockKey, int],
) -> tuple[BlockKey, ...]:
    waiting = {block.key: len(into[block.key]) for block in blocks}
    free = [(-tails[key], key) for key, count in waiting.items() if count == 0]
    heapq.heapify(free)
    order = []
    while free:
        _, key = heapq.heappop(free)
        order.append(key)
        for link in out[key]:
            waiting[link.after] -= 1
            if waiting[link.after] == 0:
                heapq.heappush(free, (-tails[link.after], link.after))
    return tuple(order)


Rank = tuple[int, int, int, date, int]


def rank(work: JobWork, floor: Floor) -> Rank:
    """Return a job's place in the order of planning, the smallest first.

    Work begun and pinned first; then promises, by the time left before the job must be under way (the
    promise less the longest way through its work and waits), divided by the job's weight; then jobs without
    a promise by the wished start; then the job's number.
    """
    job = work.record.job
    first = 0 if work.under_way or work.pins else 1
    wished = job.wished or date.max
    promise = promise_instant(work.record)
    if promise is None:
        return first, 1, 0, wished, job.number
    left = (promise - floor.axis.origin) // timedelta(minutes=1) - work.tail_min
    return first, 0, left * 100 // job.weight if left >= 0 else left * 100 * job.weight, wished, job.number
