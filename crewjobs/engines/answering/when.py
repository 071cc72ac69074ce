"""When a job that nobody has planned yet would fit: beside all that is planned, and sooner where others can move.

Beside them it takes the earliest gaps there are. Sooner, some other jobs are lifted off the board, it is placed, and
they are placed again behind it; that counts where no promise and no told day gets worse and all of them have a place.
What begins within a day stays: nobody turns a crew around at the door for a call.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import NamedTuple

from crewjobs.domain.plan import BlockKey, LeftOut, WeekPlan
from crewjobs.engines.planning.board import Board, Choose, Settled
from crewjobs.engines.planning.choosing import Found
from crewjobs.engines.planning.jobwork import JobWork
from crewjobs.engines.planning.list_schedule import first_board, plan_of
from crewjobs.engines.planning.placing import Way
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.timeline import Booking

STAYS = timedelta(days=1)
"""What begins so soon is moved for no new job."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a job fits. Instants are UTC: `start` of the work in the house, `end` of all of it.

    `carry_in` is when its material is carried in, `laid` when the first of it is laid and `laid_by` which crew does, None where nothing is.
    `moved` are the other jobs that move for it; `plan` is all of it.
    """

    plan: WeekPlan
    start: datetime
    end: datetime
    crews: tuple[str, ...]
    carry_in: datetime | None
    laid: datetime | None
    laid_by: str
    moved: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """When a job fits as soon as it can, and without moving anything; `why_not` says what keeps it out of the latter.

    `without` is the plan all of it is held against: the one that was given, repaired to what is known.
    """

    without: WeekPlan
    soonest: Fit | None
    undisturbed: Fit | None
    why_not: str


class _Stand(NamedTuple):
    """What people were promised and told of a job, against how it is booked: days, and blocks without a place."""

    missing: int
    late: int
    from_told: int


def fits(problem: PlanProblem, plan: WeekPlan, job: int, crew: str = "") -> Fits:
    """Return when a booked job of the problem fits into a plan that has none of it, with `crew` as far as that can do it."""
    board, left_out = first_board(replace(problem, previous=plan), keeping=True)
    if job not in board.works:
        why = next((one.why for one in left_out if one.job == job), "")
        return Fits(without=plan, soonest=None, undisturbed=None, why_not=why)
    seeker = _Seeker(problem, board, left_out, job, crew)
    beside = seeker.beside()
    best = beside
    for group in seeker.groups(beside):
        found = seeker.before(group)
        if found is not None and (best is None or seeker.rank(found) < seeker.rank(best)):
            best = found
    why = "" if beside is not None else next((left.why for left in board.left_out() if left.job == job), "")
    return Fits(without=seeker.without, soonest=best, undisturbed=beside, why_not=why)


class _Seeker:
    """Puts one job onto a board on which all are settled, in several ways, and the board back after each."""

    def __init__(self, problem: PlanProblem, board: Board, left_out: Sequence[LeftOut], job: int, crew: str) -> None:
        self._problem = problem
        self._board = board
        self._left_out = left_out
        self._job = job
        self._choose = _with_main(board, crew) if crew else None
        board.lift(job)
        self.without = plan_of(problem, board, left_out)
        board.place(job, self._choose)
        self._first: dict[int, Settled] = dict(board.settled)
        self._stands = {number: self._stand(number) for number in board.works}

    def rank(self, fit: Fit) -> tuple[date, int, datetime]:
        """Return what is less for a better fit: the day of its end, then the fewest jobs moved."""
        return self._day(self._job, fit.end), len(fit.moved), fit.end

    def beside(self) -> Fit | None:
        """Return the job beside all the others, None where some of it has no place."""
        return self._fit(())

    def groups(self, beside: Fit | None) -> Iterator[tuple[int, ...]]:
        """Yield the jobs to try it before: each one that could stand in its way, then those without a promise, then all."""
        at = self._board.floor.axis.at
        soon = self._problem.now + STAYS
        loose = [
            number
            for number, work in self._board.works.items()
            if number != self._job
            and not work.under_way
            and not work.pins
            and (starts := [booking.start for booking in self._first[number].bookings.values()])
            and at(min(starts)) >= soon
            and (beside is None or at(min(starts)) < beside.end)
        ]
        free = [number for number in loose if self._board.works[number].record.job.promised is None]
        yield from ((number,) for number in (*free, *(number for number in loose if number not in free)))
        yield from (tuple(group) for group in (free, loose) if len(group) > 1)

    def before(self, group: Sequence[int]) -> Fit | None:
        """Return the job placed before some others, None where it or one of them then stands worse; nothing stays changed."""
        board = self._board
        for number in (self._job, *group):
            board.lift(number)
        board.place(self._job, self._choose)
        for number in group:
            board.place(number)
        worse = any(_worse(self._stand(number), self._stands[number]) for number in group)
        fit = None if worse else self._fit(group)
        for number in (self._job, *group):
            board.lift(number)
        for number in (*group, self._job):
            board.put(number, self._first[number])
        return fit

    def _fit(self, group: Sequence[int]) -> Fit | None:
        board, settled = self._board, self._board.settled[self._job]
        if settled.missing or settled.left_out or not settled.bookings:
            return None
        work, at = board.works[self._job], board.floor.axis.at
        bookings = settled.bookings
        inside = [booking.start for key, booking in bookings.items() if key not in work.ahead]
        if not inside:
            return None
        carried = [booking.start for key, booking in bookings.items() if work.blocks[key].carry_in]
        laying = min((b for key, b in bookings.items() if _lays(work, key)), key=lambda b: b.start, default=None)
        return Fit(
            plan=plan_of(self._problem, board, self._left_out),
            start=at(min(inside)),
            end=at(max(booking.end for booking in bookings.values())),
            crews=tuple(dict.fromkeys(b.crew for b in sorted(bookings.values(), key=lambda b: (b.start, b.key)))),
            carry_in=at(min(carried)) if carried else None,
            laid=at(laying.start) if laying else None,
            laid_by=laying.crew if laying else "",
            moved=tuple(number for number in sorted(group) if not _equal(board.settled[number], self._first[number])),
        )

    def _stand(self, number: int) -> _Stand:
        board = self._board
        record, bookings = board.works[number].record, board.bookings_of(number)
        missing = board.settled[number].missing
        if not bookings:
            return _Stand(missing, 0, 0)
        last = self._day(number, board.floor.axis.at(max(booking.end for booking in bookings.values())))
        told = max(record.told, key=lambda one: one.at).finish if record.told else None
        return _Stand(
            missing=missing,
            late=max(0, (last - record.job.promised).days) if record.job.promised else 0,
            from_told=abs((last - told).days) if told else 0,
        )

    def _day(self, number: int, end: datetime) -> date:
        floor = self._board.floor
        return floor.date_of(self._board.works[number].record, floor.axis.up(end) - 1)


def _with_main(board: Board, crew: str) -> Choose:
    """Return the choice of one crew for a job, others only for what that one cannot do."""

    def choose(work: JobWork, wished: int) -> Found:
        return board.chooser.closer(work, board.chooser.attempt(work, Way(main=crew, since=wished, wished=wished)))

    return choose


def _lays(work: JobWork, key: BlockKey) -> bool:
    return any(task.needs_material is not None for task in work.blocks[key].tasks)


def _worse(now: _Stand, was: _Stand) -> bool:
    return any(one > other for one, other in zip(now, was, strict=True))


def _equal(now: Settled, was: Settled) -> bool:
    return _places(now.bookings) == _places(was.bookings)


def _places(bookings: Mapping[BlockKey, Booking]) -> dict[BlockKey, tuple[str, int]]:
    return {key: (booking.crew, booking.start) for key, booking in bookings.items()}


def in_rooms_by(fit: Fit, acclimation_min: int) -> datetime | None:
    """Return by when material that acclimates so many minutes must lie in the rooms, None where nothing is laid."""
    return None if fit.laid is None else fit.laid - timedelta(minutes=acclimation_min)
