"""Some blocks set free while all others stand: the best places for them, as a model for the solver.

What stands becomes holes in the start tables of the free blocks, so the model holds these alone. It knows the terms of
`PlanCost` but visits, as one weighted sum; people who are out make it leave out starts. Its answer is only where to
look: the blocks are booked again by the rules of the board, and the exact cost decides.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from crewjobs.domain.plan import BlockKey
from crewjobs.domain.wall import to_utc
from crewjobs.engines.planning.board import Board, Settled
from crewjobs.engines.planning.buffers import kept_slots, promise_instant
from crewjobs.engines.planning.calendars import SLOTS_A_DAY, slots_of
from crewjobs.engines.planning.jobwork import HALF_DAY_SLOTS, Floor, JobWork
from crewjobs.engines.planning.links import most_slots
from crewjobs.engines.planning.objective import MOVED_SLOTS, OPEN, Objective, Weights
from crewjobs.engines.planning.packing import latest_slot, link_slot, pack, rebook, stands_open
from crewjobs.engines.planning.placing import carton_slot
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.scheduling import solver
from crewjobs.engines.scheduling.model import EMPTY, Activity, Lag, Mode, Placed, Problem, Schedule, StartTable


@dataclass(slots=True, kw_only=True)
class Freed:
    """Blocks set free on a board: a problem of their own, and which crew each mode stands for.

    `stands` are the bookings of the same jobs that stay where they are.
    """

    problem: Problem
    keys: tuple[BlockKey, ...]
    crews: tuple[tuple[str, ...], ...]
    stands: dict[int, dict[BlockKey, Booking]] = field(default_factory=dict)
    hint: Schedule = ()


def freed(
    board: Board, floor: Floor, keys: Collection[BlockKey], until: Mapping[int, int] | None = None
) -> Freed | None:
    """Return blocks that are booked on a board set free, None where one of them would have no place at all.

    `until` names for jobs the slot by which all of their free blocks must have ended. The board is as before when this
    returns.
    """
    lifted = [board.bookings_of(key.job)[key] for key in keys]
    for booking in lifted:
        floor.timelines[booking.crew].remove(booking)
    try:
        return _freed(board, floor, {booking.key: booking for booking in lifted}, until or {})
    finally:
        for booking in lifted:
            floor.timelines[booking.crew].add(booking)


def _freed(board: Board, floor: Floor, lifted: Mapping[BlockKey, Booking], until: Mapping[int, int]) -> Freed | None:
    machines = {crew: i for i, crew in enumerate(floor.crews)}
    shared = floor.problem.shop.tools
    pools = {tool.name: i for i, tool in enumerate(shared)}
    order = sorted(lifted, key=lambda key: (lifted[key].start, key))
    index = {key: i for i, key in enumerate(order)}
    stands: dict[int, dict[BlockKey, Booking]] = {}
    activities, crews, hints = [], [], []
    for key in order:
        work = board.works[key.job]
        if key.job not in stands:
            stands[key.job] = {k: b for k, b in board.bookings_of(key.job).items() if k not in lifted}
        within = _bounds(board, floor, work, key, stands[key.job])
        within = within._replace(high=min(within.high, until.get(key.job, within.high)))
        modes, names = [], []
        for crew in floor.crews:
            table = _table(floor, work, key, crew, within)
            if table.starts:
                modes.append(Mode(machine=machines[crew], table=table))
                names.append(crew)
        if not modes:
            return None
        uses = tuple((pools[tool], 1) for tool in sorted(work.blocks[key].tools))
        activities.append(Activity(modes=tuple(modes), group=key.job, uses=uses))
        crews.append(tuple(names))
        was = lifted[key]
        hints.append(Placed(names.index(was.crew) if was.crew in names else 0, was.start, was.end))
    lags = [
        Lag(
            before=index[link.before],
            after=index[key],
            least=slots_of(link.wait_min),
            most=None
            if link.most_min is None
            else most_slots(link, floor.least_spare(board.works[key.job].blocks[link.before])),
        )
        for key in order
        for link in board.works[key.job].into[key]
        if link.before in index
    ]
    jobs = sorted(stands)
    setups = {(a, b): floor.roads.slots(a, b) for a in jobs for b in jobs if a != b}
    return Freed(
        problem=Problem(
            activities=tuple(activities),
            lags=tuple(lags),
            machines=len(machines),
            pools=tuple(tool.count for tool in shared),
            setups=setups,
        ),
        keys=tuple(order),
        crews=tuple(crews),
        stands=stands,
        hint=tuple(hints),
    )


class _Within(NamedTuple):
    """The slots a block's start may not be before, its end not after, its start not after, and its end not before."""

    low: int
    high: int
    start_by: int
    end_from: int


def _bounds(board: Board, floor: Floor, work: JobWork, key: BlockKey, stands: Mapping[BlockKey, Booking]) -> _Within:
    """Return between which slots a block has to lie, by its facts, its job's wish and what stands around it."""
    fact, wished = work.ready.get(key), board.settled[key.job].wished
    low = max(0, link_slot(work, key, stands), 0 if fact is None else floor.axis.up(fact.at))
    low = max(low, carton_slot(work, wished) if key in work.ahead else wished)
    limits = [stands[link.after].start - slots_of(link.wait_min) for link in work.out[key] if link.after in stands]
    by = latest_slot(work, floor, key, stands)
    tight, spare = work.tight_out.get(key, ()), floor.least_spare(work.blocks[key]) if key in work.tight_out else 0
    ends = [stands[link.after].start - most_slots(link, spare) for link in tight if link.after in stands]
    end = floor.axis.slots
    return _Within(low, min([end, *limits]), end if by is None else by, max([0, *ends]))


def _table(floor: Floor, work: JobWork, key: BlockKey, crew: str, within: _Within) -> StartTable:
    """Return the starts of a block with a crew between two slots, without those where something stands in its way."""
    block, record = work.blocks[key], work.record
    pins = work.pins.get(key)
    if (pins and pins[0].crew != crew) or (block.crew and block.crew != crew) or not floor.able(block, crew):
        return EMPTY
    pairs = [
        (start, end)
        for start, end in _starts(floor, work, key, crew, within)
        if start <= within.start_by and end >= within.end_from
    ]
    if pins:
        day = floor.day(record, pins[0].day)
        pairs = [(start, end) for start, end in pairs if day[0] <= start < day[1]]
    if block.tools and not block.crew:
        pairs = [
            (start, end) for start, end in pairs if floor.toolbox.free_from(block.tools, start, end, key.job) is None
        ]
    return StartTable(starts=tuple(start for start, _ in pairs), ends=tuple(end for _, end in pairs))


def _starts(floor: Floor, work: JobWork, key: BlockKey, crew: str, within: _Within) -> list[tuple[int, int]]:
    """Return the starts of a block in the gaps of a crew, with their ends by as many people as are there then.

    Where more and fewer people may begin at one slot, fewer because they reach a day with no more, the end by most counts.
    """
    block, record = work.blocks[key], work.record
    usual = not floor.roster.days(crew)
    found: dict[int, int] = {}
    for people in floor.roster.counts(crew):
        starts = floor.starts(record, block, crew, people=people)
        for a, b in floor.timelines[crew].gaps(key.job, within.low, within.high, starts.work):
            part = starts.table(a, b)
            for start, end in zip(part.starts, part.ends, strict=True):
                if usual or (
                    end < found.get(start, end + 1) and floor.staff(record, block, crew, start, end) == people
                ):
                    found[start] = end
    return sorted(found.items())


def model_of(found: Freed, board: Board, floor: Floor, objective: Objective, weights: Weights) -> solver.Model:
    """Return the solver's model of freed blocks with the weighted cost of their jobs to make least, hinted."""
    model = solver.build(found.problem)
    terms: list[Any] = []
    for job, stands in found.stands.items():
        mine = [i for i, key in enumerate(found.keys) if key.job == job]
        terms += _Terms(model, found, board.works[job], floor, weights).of(mine, stands, objective)
    model.cp.minimize(sum(terms))
    solver.hint(model, found.hint)
    return model


class _Terms:
    """The cost of one job's blocks as terms of a model."""

    def __init__(self, model: solver.Model, found: Freed, work: JobWork, floor: Floor, weights: Weights) -> None:
        self._model, self._cp = model, model.cp
        self._found = found
        self._work = work
        self._floor = floor
        self._weights = weights
        self._slots = floor.axis.slots
        # Where the site's midnight lies on the axis; an hour more or less after a change of the clocks.
        record = work.record
        self._shift = -floor.axis.up(to_utc(record.job.site.zone, floor.date_of(record, 0), 0))

    def of(self, mine: list[int], stands: Mapping[BlockKey, Booking], objective: Objective) -> list[Any]:
        cp, model, work, weights = self._cp, self._model, self._work, self._weights
        end = cp.new_int_var(0, self._slots, "")
        cp.add_max_equality(end, [*(model.end[i] for i in mine), *(booking.end for booking in stands.values())])
        terms = [weights.end * end]
        if weights.day:
            terms.append(weights.day * self._day(end - 1))
        floors = [model.start[i] for i in mine if self._found.keys[i] not in work.ahead]
        floors += [booking.start for key, booking in stands.items() if key not in work.ahead]
        if floors:
            first = cp.new_int_var(0, self._slots, "")
            keys = [key for key in (*(self._found.keys[i] for i in mine), *stands) if key not in work.ahead]
            cp.add_min_equality(first, [*floors, 0] if stands_open(work, keys) else floors)
            if weights.day:
                terms.append(weights.day * OPEN * (self._day(end - 1) - self._day(first)))
            if weights.open:
                terms.append(weights.open * (end - first))
        terms += self._promise(end)
        terms += self._crews(mine, stands)
        terms += self._moves(mine, objective)
        self._same_day(mine, stands)
        return terms

    def _day(self, slot: Any) -> Any:
        day = self._cp.new_int_var(0, self._slots // SLOTS_A_DAY + 2, "")
        self._cp.add_division_equality(day, slot + self._shift, SLOTS_A_DAY)
        return day

    def _promise(self, end: Any) -> list[Any]:
        cp, weights, record = self._cp, self._weights, self._work.record
        promise = promise_instant(record)
        if promise is None:
            return []
        due, weight = self._floor.axis.down(promise), record.job.weight
        terms = []
        over = cp.new_int_var(0, self._slots + abs(due), "")
        cp.add(over >= end - due)
        if weights.late_slot:
            terms.append(weights.late_slot * weight * over)
        if weights.late_day:
            late = cp.new_int_var(0, self._slots // SLOTS_A_DAY + abs(due) // SLOTS_A_DAY + 2, "")
            cp.add(late * SLOTS_A_DAY >= over)
            terms.append(weights.late_day * weight * late)
        if weights.short:
            terms += [weights.short * weight * self._after(end, slot) for slot in self._kept(due)]
        return terms

    def _kept(self, due: int) -> list[int]:
        """Return the slots after which another half day of what is kept before the promise is lost."""
        floor, work = self._floor, self._work
        crew = next(iter(self._found.crews[0]))
        for key, names in zip(self._found.keys, self._found.crews, strict=True):
            if key.job == work.number:
                crew = names[0]
        calendar, kept = floor.calendar(work.record, crew), kept_slots(work, floor, crew)
        done = calendar.count(due)
        marks = range(done - kept, done, HALF_DAY_SLOTS)
        return [calendar.slot(mark - 1) + 1 for mark in marks if mark > 0]

    def _after(self, end: Any, slot: int) -> Any:
        after = self._cp.new_bool_var("")
        self._cp.add(end <= slot).only_enforce_if(~after)
        return after

    def _crews(self, mine: list[int], stands: Mapping[BlockKey, Booking]) -> list[Any]:
        here = {booking.crew for booking in stands.values()}.union(self._work.crews_seen)
        by_crew: dict[str, list[Any]] = {}
        for i in mine:
            for name, literal in zip(self._found.crews[i], self._model.on[i], strict=True):
                by_crew.setdefault(name, []).append(literal)
        terms = []
        for name, literals in by_crew.items():
            if name in here:
                continue
            comes = self._cp.new_bool_var("")
            self._cp.add_max_equality(comes, literals)
            terms.append(self._weights.crew * comes)
        return terms

    def _moves(self, mine: list[int], objective: Objective) -> list[Any]:
        """Return what it costs that blocks are not where the plan before had them."""
        cp, model, terms = self._cp, self._model, []
        for i in mine:
            was = objective.was(self._found.keys[i])
            if was is None or not self._weights.moved:
                continue
            crew, slot = was
            stays = cp.new_bool_var("")
            if crew in self._found.crews[i]:
                cp.add_implication(stays, model.on[i][self._found.crews[i].index(crew)])
                cp.add_linear_constraint(model.start[i], slot - MOVED_SLOTS, slot + MOVED_SLOTS).only_enforce_if(stays)
            else:
                cp.add(stays == 0)
            soon = objective.soon(crew, slot)
            terms.append((self._weights.moved + (self._weights.told if soon else 0)) * (1 - stays))
        return terms

    def _same_day(self, mine: list[int], stands: Mapping[BlockKey, Booking]) -> None:
        """Keep what must end on the day it begins there: the only toilet."""
        index = {self._found.keys[i]: i for i in mine}
        for first, last, _ in self._work.same_day:
            begin = self._model.start[index[first]] if first in index else None
            end = self._model.end[index[last]] if last in index else None
            begin = stands[first].start if begin is None and first in stands else begin
            end = stands[last].end if end is None and last in stands else end
            if begin is not None and end is not None and (first in index or last in index):
                self._cp.add(self._day(begin) == self._day(end - 1))


def booked(found: Freed, schedule: Schedule, board: Board, floor: Floor) -> dict[int, Settled] | None:
    """Return the jobs as a schedule of their freed blocks would settle them, by the rules of the board; None if not.

    The blocks are booked in the order of their starts, each there or as soon as it can be after, then every job is packed. The
    board is as before when this returns.
    """
    lifted = [board.bookings_of(key.job)[key] for key in found.keys]
    for one in lifted:
        floor.timelines[one.crew].remove(one)
    places = sorted(zip(schedule, range(len(found.keys)), strict=True), key=lambda one: (one[0].start, one[1]))
    made: dict[BlockKey, Booking] = {}
    try:
        for place, i in places:
            key = found.keys[i]
            booking = _book(board, floor, key, found.crews[i][place.mode], place, found.stands, made)
            if booking is None:
                return None
            floor.timelines[booking.crew].add(booking)
            made[key] = booking
        return _packed(found, made, board, floor)
    finally:
        for one in made.values():
            floor.timelines[one.crew].remove(one)
        for booking in lifted:
            floor.timelines[booking.crew].add(booking)


def _book(
    board: Board,
    floor: Floor,
    key: BlockKey,
    crew: str,
    place: Placed,
    stands: Mapping[int, Mapping[BlockKey, Booking]],
    made: Mapping[BlockKey, Booking],
) -> Booking | None:
    work = board.works[key.job]
    mine = {**stands[key.job], **{k: b for k, b in made.items() if k.job == key.job}}
    if any(link.before not in mine for link in work.into[key]):
        return None
    block, links, latest = work.blocks[key], link_slot(work, key, mine), latest_slot(work, floor, key, mine)
    booking = floor.at(work.record, block, crew, place.start, place.end) if place.start >= links else None
    booking = booking or floor.first(work.record, block, crew, max(place.start, links))
    if booking is None or any(
        link.after in mine and mine[link.after].start - slots_of(link.wait_min) < booking.end for link in work.out[key]
    ):
        return None
    if (latest is not None and booking.start > latest) or any(
        link.after in mine and mine[link.after].start > floor.starts_by(work, link, booking)
        for link in work.tight_out.get(key, ())
    ):
        return None
    pins = work.pins.get(key)
    if pins and not floor.day(work.record, pins[0].day)[0] <= booking.start < floor.day(work.record, pins[0].day)[1]:
        return None
    return booking


def _packed(found: Freed, made: Mapping[BlockKey, Booking], board: Board, floor: Floor) -> dict[int, Settled] | None:
    """Return the jobs packed one after the other; their bookings stay on the timelines only while this runs."""
    settled: dict[int, Settled] = {}
    now: dict[BlockKey, Booking] = dict(made)
    for job, stands in found.stands.items():
        work = board.works[job]
        bookings = {**stands, **{key: booking for key, booking in made.items() if key.job == job}}
        packed = pack(work, floor, bookings)
        if not _may_lie(board, work, packed):
            rebook(floor, packed, bookings)
            packed = bookings
        now.update(packed)
        if not _may_lie(board, work, packed):
            settled.clear()
            _again(floor, now, made, found)
            return None
        fixed = board.bookings_of(job).keys() - board.settled[job].bookings.keys()
        loose = {key: booking for key, booking in packed.items() if key not in fixed}
        settled[job] = replace(board.settled[job], bookings=loose)
    _again(floor, now, made, found)
    return settled


def _may_lie(board: Board, work: JobWork, bookings: Mapping[BlockKey, Booking]) -> bool:
    """Return whether a house is opened before the plan ends, or no later than it is now, with nothing out over night."""
    was = board.bookings_of(work.number)
    now = min((booking.start for booking in was.values()), default=0)
    no_later = min((booking.start for booking in bookings.values()), default=0) <= now
    return not board.chooser.over_night(work, bookings) and (no_later or board.opens_in_time(work, bookings))


def _again(floor: Floor, now: Mapping[BlockKey, Booking], made: Mapping[BlockKey, Booking], found: Freed) -> None:
    """Put the timelines back to the bookings as made, before packing moved them."""
    before = {key: booking for stands in found.stands.values() for key, booking in stands.items()} | dict(made)
    for key, booking in now.items():
        if before[key] != booking:
            floor.timelines[booking.crew].remove(booking)
            floor.timelines[before[key].crew].add(before[key])
