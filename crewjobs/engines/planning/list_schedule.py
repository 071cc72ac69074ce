"""Serial schedule generation: one job after the other, each with the crew that serves its promise best.

The order of jobs is `jobwork.rank`: work begun and pins, then promises by the time left, then wished starts.
A job goes to one crew wherever that crew can do its blocks; a block only another crew can do goes to that
one. Every block takes the earliest gap its links, waits and facts allow, then the job is packed towards its
end so that the house is open as few days as it can be. The same problem always gives the same plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import BlockKey, LeftOut, Placement, WeekPlan
from crewjobs.engines.planning.calendars import SLOTS_A_DAY, slots_of
from crewjobs.engines.planning.jobwork import Floor, JobWork, job_work, rank
from crewjobs.engines.planning.packing import link_slot, open_days, pack, visits
from crewjobs.engines.planning.problem import Block, PlanProblem, Progress, Stop
from crewjobs.engines.planning.reasons import start_reason
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.planning.whys import NoPlace, pin_fault, too_late, why_no_place, why_whole

CARTONS_AHEAD_DAYS = 2
"""Where a start is wished for, cartons come in no more than their own hours and this many days before it."""


def plan_week(problem: PlanProblem, progress: Progress | None = None, stop: Stop | None = None) -> WeekPlan:
    """Return a plan of all open work of booked jobs, with a reason for every place and a why for all left out.

    `progress` is told after every job; `stop` is asked before every job and ends the planning with the
    jobs planned so far. Jobs that cannot be planned never stop the others.
    """
    floor = Floor(problem)
    left_out: list[LeftOut] = []
    works = []
    for record in sorted(problem.jobs, key=lambda record: record.job.number):
        work = _taken_up(record, floor, left_out)
        if work is not None:
            works.append(work)
    works.sort(key=lambda work: rank(work, floor))
    planner = _Planner(floor, works)
    for done, work in enumerate(works):
        if stop is not None and stop():
            left_out.extend(planner.stopped(work))
            continue
        left_out.extend(planner.place(work))
        if progress is not None:
            progress(done + 1, len(works), f"job {work.number}")
    return WeekPlan(
        made_at=problem.now,
        until=problem.now + timedelta(days=problem.days),
        placements=planner.placements(),
        left_out=tuple(sorted(left_out, key=lambda left: (left.job, left.tasks))),
    )


def _taken_up(record: JobRecord, floor: Floor, left_out: list[LeftOut]) -> JobWork | None:
    """Return the work of a booked job; note why another is left out."""
    job = record.job
    open_tasks = tuple(task.number for task in record.tasks if task.open)
    if job.state in (JobState.ASKED, JobState.QUOTED):
        left_out.append(LeftOut(job=job.number, tasks=open_tasks, why=f"{job.state.value}, not booked"))
    if job.state is not JobState.BOOKED or not open_tasks:
        return None
    try:
        return job_work(record, floor)
    except Refused as refused:
        left_out.append(LeftOut(job=job.number, tasks=open_tasks, why=str(refused)))
        return None


@dataclass(slots=True, kw_only=True)
class _Attempt:
    """A job as one main crew would do it from a wished slot on.

    `missing` leads from a block without a place to the block that is the cause.
    """

    main: str
    wished: int
    placed: dict[BlockKey, Booking] = field(default_factory=dict)
    missing: dict[BlockKey, BlockKey] = field(default_factory=dict)
    causes: dict[BlockKey, NoPlace] = field(default_factory=dict)


LATER_DAYS = 7
"""How many days later than it could a house is opened at most, to have it open fewer days."""

Score = tuple[int, int, int, int, int]
"""Blocks without a place, days late, crews involved, slots worked by others than the main crew, end; small is good."""


class _Planner:
    """Books the jobs one after the other."""

    def __init__(self, floor: Floor, works: Sequence[JobWork]) -> None:
        self._floor = floor
        self._works = works
        self._fixed: dict[BlockKey, Booking] = {}  # work under way
        self._held: dict[BlockKey, Booking] = {}  # places kept free for pins until their job is planned
        self._kept: dict[BlockKey, Booking] = {}
        self._wished: dict[int, int] = {}  # the slot no block of a job starts before, where a wish was kept
        self._begin()
        self._hold()

    def _begin(self) -> None:
        """Let work under way go on first, on every crew in the order in which it was begun."""
        begun = [(block.begun, key, work) for work in self._works for key, block in work.blocks.items() if block.begun]
        for _, key, work in sorted(begun, key=lambda entry: entry[:2]):
            block = work.blocks[key]
            booking = self._book(work, block, block.crew, 0) if block.crew else None
            if booking:
                self._fixed[key] = booking

    def _hold(self) -> None:
        for work in self._works:
            for key in work.pins:
                if key not in work.barred and not pin_fault(work, key, self._floor):
                    booking = self._book_pinned(work, key, 0)
                    if booking:
                        self._held[key] = booking

    def _book(self, work: JobWork, block: Block, crew: str, earliest: int, before: int | None = None) -> Booking | None:
        """Book the earliest place of a block with a crew, if it starts before a slot."""
        floor = self._floor
        timeline, calendar = floor.timelines[crew], floor.calendar(work.record, crew)
        found = timeline.first(calendar, work.number, floor.piece(block, crew), earliest, floor.axis.slots)
        if found is None or (before is not None and found[0] >= before):
            return None
        booking = Booking(key=block.key, crew=crew, start=found[0], end=found[1])
        timeline.add(booking)
        return booking

    def _book_pinned(self, work: JobWork, key: BlockKey, earliest: int) -> Booking | None:
        pin = work.pins[key][0]
        day, next_day = self._floor.day(work.record, pin.day)
        return self._book(work, work.blocks[key], pin.crew, max(earliest, day, self._fact_slot(work, key)), next_day)

    def _unbook(self, booking: Booking) -> None:
        self._floor.timelines[booking.crew].remove(booking)

    def _fact_slot(self, work: JobWork, key: BlockKey) -> int:
        fact = work.ready.get(key)
        return 0 if fact is None else self._floor.axis.up(fact.at)

    def place(self, work: JobWork) -> tuple[LeftOut, ...]:
        """Book a job with the best crew; return what of it has no place, and why."""
        for key in work.pins:
            if key in self._held:
                self._unbook(self._held.pop(key))
        best, why = self._best(work)
        if why:
            return self._whole(work, why)
        chosen, packed = self._together(work, best)
        self._kept.update(packed)
        for key, booking in packed.items():
            if key not in self._fixed:
                self._floor.timelines[booking.crew].add(booking)
        return self._rest(work, chosen)

    def _together(self, work: JobWork, first: _Attempt) -> tuple[_Attempt, dict[BlockKey, Booking]]:
        """Return the job packed, begun some days later where that saves more open days than it costs.

        Work on the floors may start up to a week later with the same crew if the promise is kept as well:
        a day the house is open weighs as much as a day the job ends later.
        """
        floor = self._floor
        best, packed = first, self._packed(work, first)
        starts = [booking.start for key, booking in packed.items() if key not in work.ahead]
        if work.under_way or work.pins or not starts:
            return best, packed
        least = self._cost(work, best, packed)
        opening = floor.date_of(work.record, min(starts))
        for days in range(1, LATER_DAYS + 1):
            since = floor.day(work.record, opening + timedelta(days=days))[0]
            attempt = self._attempt(work, first.main, since, first.wished)
            if since >= floor.until or attempt.missing:
                break
            again = self._packed(work, attempt)
            cost = self._cost(work, attempt, again)
            if cost < least:
                best, packed, least = attempt, again, cost
        return best, packed

    def _packed(self, work: JobWork, attempt: _Attempt) -> dict[BlockKey, Booking]:
        """Return an attempt packed; leave no booking behind."""
        for booking in attempt.placed.values():
            self._floor.timelines[booking.crew].add(booking)
        packed = pack(work, self._floor, {**self._fixed_of(work), **attempt.placed})
        for key, booking in packed.items():
            if key not in self._fixed:
                self._unbook(booking)
        return packed

    def _cost(self, work: JobWork, attempt: _Attempt, packed: Mapping[BlockKey, Booking]) -> tuple[int, ...]:
        floor = self._floor
        missing, late, crews, others, end = self._score(work, attempt)
        last_day = (floor.date_of(work.record, end - 1) - floor.date_of(work.record, 0)).days
        days = open_days(work, floor, packed) + last_day
        return missing, late, crews, others, days, visits(work, floor, packed), end

    def stopped(self, work: JobWork) -> tuple[LeftOut, ...]:
        """Return a job whose turn did not come."""
        return self._whole(work, "planning was stopped before its turn")

    def _fixed_of(self, work: JobWork) -> dict[BlockKey, Booking]:
        return {key: self._fixed[key] for key in work.order if key in self._fixed}

    def _best(self, work: JobWork) -> tuple[_Attempt, str]:
        """Return the best attempt, and why the job must be left out whole (empty if it need not)."""
        wished = self._wished_slot(work)
        attempt, score, why = self._best_from(work, wished)
        if wished and wished < self._floor.until and (why or score[1] > 0):
            sooner, sooner_score, sooner_why = self._best_from(work, 0)
            if not sooner_why and (why or sooner_score[:2] < score[:2]):
                wished, attempt, why = 0, sooner, ""
        self._wished[work.number] = wished
        return attempt, why

    def _wished_slot(self, work: JobWork) -> int:
        """Return the slot of the wished start; what is under way or pinned no longer waits for it."""
        day = work.record.job.wished
        if day is None or work.under_way or work.pins:
            return 0
        return max(0, self._floor.day(work.record, day)[0])

    def _best_from(self, work: JobWork, wished: int) -> tuple[_Attempt, Score, str]:
        floor = self._floor
        loose = [block for key, block in work.blocks.items() if key not in self._fixed]
        mains = [crew for crew in floor.crews if any(floor.able(block, crew) for block in loose)]
        attempts = [self._attempt(work, crew, wished, wished) for crew in mains or [""]]
        scored = [
            (bool(self._refusal(work, attempt)), self._score(work, attempt), i) for i, attempt in enumerate(attempts)
        ]
        refused, score, i = min(scored)
        return attempts[i], score, self._why_whole(work, attempts[i], wished) if refused else ""

    def _refusal(self, work: JobWork, attempt: _Attempt) -> bool:
        """Return whether a house must stay closed: it is not opened unless all of it is planned."""
        starts = [booking.start for booking in attempt.placed.values()]
        return not work.opened and (bool(attempt.missing) or min(starts, default=0) >= self._floor.until)

    def _score(self, work: JobWork, attempt: _Attempt) -> Score:
        placed = [*self._fixed_of(work).values(), *attempt.placed.values()]
        end = max((booking.end for booking in placed), default=0)
        promised, late = work.record.job.promised, 0
        if promised is not None and placed:
            late = max(0, (self._floor.date_of(work.record, end - 1) - promised).days)
        crews = frozenset(booking.crew for booking in placed).union(work.crews_seen)
        others = sum(
            self._floor.slots(work.blocks[booking.key], booking.crew)
            for booking in placed
            if booking.crew != attempt.main
        )
        return len(attempt.missing), late, len(crews), others, end

    def _attempt(self, work: JobWork, main: str, since: int, wished: int) -> _Attempt:
        """Place the blocks one after the other, with one crew where it can; leave no booking behind.

        No work on the floors starts before the slot `since`; cartons keep to the wished slot only.
        """
        attempt = _Attempt(main=main, wished=wished)
        known = self._fixed_of(work)
        for key in work.order:
            if key in self._fixed:
                continue
            cause = next(
                (attempt.missing[link.before] for link in work.into[key] if link.before in attempt.missing), None
            )
            if cause is None:
                earliest = max(
                    self._fact_slot(work, key),
                    link_slot(work, key, known),
                    self._carton_slot(work, wished) if key in work.ahead else since,
                )
                booking = self._choose(work, key, main, earliest, known)
                if booking:
                    known[key] = attempt.placed[key] = booking
                    continue
                attempt.causes[key] = NoPlace(key=key, earliest=earliest, after=_last_before(work, key, known))
                cause = key
            attempt.missing[key] = cause
        for booking in attempt.placed.values():
            self._unbook(booking)
        return attempt

    def _carton_slot(self, work: JobWork, wished: int) -> int:
        if not wished:
            return 0
        waits = [slots_of(link.wait_min) for key in work.ahead for link in work.out[key]]
        return max(0, wished - max(waits, default=0) - CARTONS_AHEAD_DAYS * SLOTS_A_DAY)

    def _choose(
        self, work: JobWork, key: BlockKey, main: str, earliest: int, known: Mapping[BlockKey, Booking]
    ) -> Booking | None:
        floor, block = self._floor, work.blocks[key]
        if key in work.barred:
            return None
        if key in work.pins:
            return None if pin_fault(work, key, floor) else self._book_pinned(work, key, earliest)
        if block.crew:
            return self._book(work, block, block.crew, earliest)
        if main and floor.able(block, main):
            booking = self._book(work, block, main, earliest)
            if booking:
                return booking
        seen = [*work.crews_seen, *(booking.crew for booking in known.values())]
        offers = []
        for place, crew in enumerate(floor.crews):
            if crew != main and floor.able(block, crew):
                booking = self._book(work, block, crew, earliest)
                if booking:
                    self._unbook(booking)
                    offers.append((crew not in seen, booking.end, place, booking))
        if not offers:
            return None
        booking = min(offers, key=lambda offer: offer[:3])[3]
        floor.timelines[booking.crew].add(booking)
        return booking

    def _why_whole(self, work: JobWork, attempt: _Attempt, wished: int) -> str:
        if not attempt.causes or wished >= self._floor.until:
            start = min((booking.start for booking in attempt.placed.values()), default=wished)
            return too_late(work, self._floor, start, wished)
        return why_whole(work, self._floor, list(attempt.causes.values()))

    def _whole(self, work: JobWork, why: str) -> tuple[LeftOut, ...]:
        numbers = [task.number for key, block in work.blocks.items() if key not in self._fixed for task in block.tasks]
        return (LeftOut(job=work.number, tasks=tuple(sorted(numbers)), why=why),) if numbers else ()

    def _rest(self, work: JobWork, attempt: _Attempt) -> tuple[LeftOut, ...]:
        tasks: dict[str, list[int]] = {}
        for key, cause in attempt.missing.items():
            why = why_no_place(work, self._floor, attempt.causes[cause])
            tasks.setdefault(why, []).extend(task.number for task in work.blocks[key].tasks)
        return tuple(LeftOut(job=work.number, tasks=tuple(sorted(found)), why=why) for why, found in tasks.items())

    def placements(self) -> tuple[Placement, ...]:
        """Return all bookings as placements, by start and crew."""
        works = {work.number: work for work in self._works}
        bookings = {**self._fixed, **self._kept}
        found = []
        for booking in sorted(bookings.values(), key=lambda booking: (booking.start, booking.crew, booking.key)):
            work = works[booking.key.job]
            block = work.blocks[booking.key]
            mine = {key: bookings[key] for key in work.order if key in bookings}
            found.append(
                Placement(
                    key=booking.key,
                    tasks=tuple(task.number for task in block.tasks),
                    phase=block.phase,
                    stage=block.stage,
                    crew=booking.crew,
                    start=self._floor.axis.at(booking.start),
                    end=self._floor.axis.at(booking.end),
                    reason=start_reason(work, self._floor, booking, mine, self._wished.get(work.number, 0)),
                )
            )
        return tuple(found)


def _last_before(work: JobWork, key: BlockKey, known: Mapping[BlockKey, Booking]) -> BlockKey | None:
    """Return the block whose end, with its wait, is the last thing a block waits for."""
    ends = [
        (known[link.before].end + slots_of(link.wait_min), link.before)
        for link in work.into[key]
        if link.before in known
    ]
    return max(ends, default=(0, None))[1]
