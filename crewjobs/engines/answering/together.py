"""Whether some promises can be kept together: tried in several orders first, then by the solver.

A test that finds a plan shows that they can. One that finds none does not show that they cannot: it tried in vain, or it
ran out of time, and these are two answers.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import permutations

from crewjobs.domain.job import HEAVIEST, JobRecord
from crewjobs.domain.plan import BlockKey, WeekPlan
from crewjobs.engines.answering.standing import end_of, last_day, only, promised_jobs
from crewjobs.engines.planning.board import Board, Choose, Settled
from crewjobs.engines.planning.choosing import Found
from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.jobwork import JobWork
from crewjobs.engines.planning.list_schedule import first_board, plan_of
from crewjobs.engines.planning.placing import Way
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.engines.planning.search import SMALL
from crewjobs.engines.planning.solving import booked, freed
from crewjobs.engines.scheduling import solver

Keeps = Callable[[PlanProblem, frozenset[int]], WeekPlan | None]
"""Return a plan that keeps the promises of some jobs, whatever the others' lateness; None where none was found."""

ROUNDS = 6
"""How many orders are tried by putting the jobs that come out late before the others."""
FEW = 4
"""So many jobs are tried in every order."""
BEFORE_SOLVING = 2
"""How many orders are tried where the solver is asked after that."""
SEARCHED = 3
"""Rounds of search where there is no solver."""
WORK_A_BLOCK = 0.002
"""What the solver may do for each block, in its own count of work: what it finds, it mostly finds in half of that."""
TRIES = ((0, 0), (1, 2))
"""Seeds of the solver, and slots added to every drive: a crew does not drive over lunch, which the model does not know."""


class OutOfTime(Exception):
    """There was no time to find out: neither yes nor no."""


# -- promises in a plan


def kept(problem: PlanProblem, plan: WeekPlan) -> frozenset[int]:
    """Return the jobs whose promises a plan keeps."""
    return frozenset(record.job.number for record in promised_jobs(problem) if _keeps_it(record, plan))


def _keeps_it(record: JobRecord, plan: WeekPlan) -> bool:
    end, promised = end_of(plan, record.job.number), record.job.promised
    return end is not None and promised is not None and last_day(record, end) <= promised


def weighed(problem: PlanProblem, jobs: Collection[int]) -> PlanProblem:
    """Return the problem planned anew with some jobs at the heaviest weight, and all others at the lightest."""
    whole = only(problem, [record.job.number for record in problem.jobs])
    records = tuple(
        replace(record, job=replace(record.job, weight=HEAVIEST if record.job.number in jobs else 1))
        for record in whole.jobs
    )
    return replace(whole, jobs=records)


def whole(problem: PlanProblem, plan: WeekPlan, jobs: frozenset[int]) -> WeekPlan | None:
    """Return a plan of some jobs with all others planned around it, None where that no longer keeps the promises of `jobs`."""
    around = replace(weighed(problem, jobs), previous=plan)
    found = plan_of(around, *first_board(around, keeping=True))
    return found if jobs <= kept(problem, found) else None


# -- in several orders


def by_list(stop: Stop, orders: int | None = None) -> Keeps:
    """Return the test by list scheduling: the jobs heaviest, then before all others, those that came out late first.

    `orders` bounds how many are tried; else they are `ROUNDS`, and of few jobs all.
    """

    def keeps(problem: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        heavy = weighed(problem, jobs)
        board, left_out = first_board(heavy, stop=stop)
        records = [record for record in promised_jobs(problem) if record.job.number in jobs]
        tries = _Orders(records, orders)
        while not stop():
            plan = plan_of(heavy, board, left_out)
            late = sorted(jobs - kept(problem, plan))
            order = tries.after(late) if late else ()
            if order is None or not set(late) <= set(board.works):
                return None
            if not late:
                return plan
            _place_anew(board, order)
        return None

    return keeps


class _Orders:
    """The orders in which some jobs are placed, one after the other: by their promises, then late ones before the rest.

    Where that comes back to an order tried already, few jobs are tried in every order, many no more.
    """

    def __init__(self, records: Sequence[JobRecord], most: int | None) -> None:
        by_promise = sorted(records, key=lambda record: (record.job.promised, record.job.number))
        self._order = [record.job.number for record in by_promise]
        self._tried: set[tuple[int, ...]] = set()
        self._rounds = ROUNDS if most is None else most
        few = len(self._order) <= FEW and most is None
        self._all = iter(permutations(self._order)) if few else iter(())

    def after(self, late: Sequence[int]) -> tuple[int, ...] | None:
        """Return the next order to try, given who was late in the one before; None where there is none left."""
        if self._tried and len(self._tried) < self._rounds:
            self._order = [*late, *(number for number in self._order if number not in late)]
        order: tuple[int, ...] | None = tuple(self._order)
        while order in self._tried or (len(self._tried) >= self._rounds and order == tuple(self._order)):
            order = next(self._all, None)
        if order is not None:
            self._tried.add(order)
        return order


def _place_anew(board: Board, front: Sequence[int]) -> None:
    """Place all jobs once more: those of `front` first, each as soon as it can be, then the others as ever."""
    known = list(board.works)
    for number in known:
        board.lift(number)
    for number in front:
        if number in board.works:
            board.place(number, _soonest(board))
    for number in known:
        if number not in front:
            board.place(number)


def _soonest(board: Board) -> Choose:
    """Return the choice of the crew that ends a job soonest, whatever that means for crews and open days."""

    def choose(work: JobWork, wished: int) -> Found:
        mains = board.chooser.mains(work)
        found = [board.chooser.attempt(work, Way(main=main, since=wished, wished=wished)) for main in mains]
        return min(found, key=lambda one: (*one.rank[:2], *one.cost[:2], one.cost.end))

    return choose


# -- by the solver


def by_orders_and_solver(stop: Stop) -> Keeps:
    """Return the strong test: some orders, then the solver; where that is not installed, all orders and the search."""
    if not solver.available():
        return _first_of(by_list(stop), by_search(stop))
    return _first_of(by_list(stop, BEFORE_SOLVING), by_solver(stop))


def _first_of(*tests: Keeps) -> Keeps:
    def keeps(problem: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        return next((plan for test in tests if (plan := test(problem, jobs)) is not None), None)

    return keeps


def by_search(stop: Stop, rounds: int = SEARCHED) -> Keeps:
    """Return the test by so many rounds of search, the jobs heaviest."""

    def keeps(problem: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        found = improve(weighed(problem, jobs), rounds=rounds, stop=stop).plan
        return found if jobs <= kept(problem, found) else None

    return keeps


def by_solver(stop: Stop) -> Keeps:
    """Return the test by the solver: all work of the jobs set free, each piece to end by its job's promise.

    What it finds is booked by the planner's own rules, and the others are placed after it. It does a set amount of work,
    so that it answers alike wherever `stop` does not end it.
    """

    def keeps(problem: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        heavy = weighed(problem, jobs)
        board, left_out = first_board(heavy, stop=stop)
        if stop() or not jobs <= set(board.works) or any(board.settled[number].missing for number in jobs):
            return None
        others = [number for number in board.works if number not in jobs]
        for number in others:
            board.lift(number)
        for settled in _solved(board, jobs, stop):
            if not settled:
                continue
            for number in others:
                board.place(number)
            plan = plan_of(heavy, board, left_out)
            if jobs <= kept(problem, plan):
                return plan
            for number in others:
                board.lift(number)
        return None

    return keeps


def _solved(board: Board, jobs: frozenset[int], stop: Stop) -> Iterator[bool]:
    """Yield whether the solver found places for some jobs, which then are on the board, once for each try."""
    floor = board.floor
    keys: list[BlockKey] = [key for number in sorted(jobs) for key in board.settled[number].bookings]
    for seed, slower in TRIES:
        free = freed(board, floor, keys, _promises(board, jobs)) if keys and not stop() else None
        if free is None:
            return
        setups = {pair: slots + slower for pair, slots in free.problem.setups.items() if slots}
        model = solver.build(replace(free.problem, setups=setups))
        solver.hint(model, free.hint)
        answer = solver.solve(
            model, deterministic=WORK_A_BLOCK * len(keys), workers=1, seed=seed, stop=stop, settings=SMALL
        )
        if answer.schedule is None:
            return
        yield _put(board, booked(free, answer.schedule, board, floor))


def _promises(board: Board, jobs: frozenset[int]) -> Mapping[int, int]:
    """Return the slots at which the promised days of some jobs are over."""
    records = [board.works[number].record for number in sorted(jobs)]
    return {r.job.number: board.floor.day(r, r.job.promised)[1] for r in records if r.job.promised is not None}


def _put(board: Board, settled: Mapping[int, Settled] | None) -> bool:
    """Put jobs on the board as settled anew, where they could be booked at all."""
    for number in settled or {}:
        board.lift(number)
    for number, one in (settled or {}).items():
        board.put(number, one)
    return settled is not None
