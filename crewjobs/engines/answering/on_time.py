"""Places for some jobs, alone on a board with what stands, so that each ends by its promise.

Some orders first, then the search and the solver side by side. What finds nothing has proved nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import permutations
from threading import Event

from crewjobs.domain.plan import BlockKey
from crewjobs.engines.answering.effort import PLACED, SOLVED, STEP, Effort
from crewjobs.engines.answering.standing import last_day
from crewjobs.engines.planning.board import Board, Choose
from crewjobs.engines.planning.choosing import Found
from crewjobs.engines.planning.jobwork import JobWork
from crewjobs.engines.planning.objective import Objective, PlanCost
from crewjobs.engines.planning.placing import Way
from crewjobs.engines.planning.search import SMALL, Search
from crewjobs.engines.planning.solving import booked, freed
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.scheduling import solver

ORDERS, FEW = 3, 4
"""How many orders of the jobs are tried; of so few all are."""
STEPS, HARDER_STEPS = 56, 96
"""Steps of the search before it gives up, and where a refusal is what will be said."""
WORK, HARDER_WORK = 0.03, 0.06
"""What the solver may do meanwhile, in its own count of work."""
TRIES = ((0, 0), (1, 2))
"""Seeds of the solver, and slots added to every drive: a crew does not drive over lunch, which the model does not know."""


def on_time(board: Board, number: int) -> bool:
    """Return whether a job on a board is whole and ends by its promised day."""
    settled, record = board.settled[number], board.works[number].record
    bookings = board.bookings_of(number)
    if settled.missing or settled.left_out or not bookings or record.job.promised is None:
        return False
    end = board.floor.axis.at(max(booking.end for booking in bookings.values()))
    return last_day(record, end) <= record.job.promised


def put_on_time(board: Board, jobs: frozenset[int], effort: Effort, *, harder: bool = False) -> bool:
    """Place some jobs, none beside them, so that all are on time; return whether that was found."""
    if _in_orders(board, jobs, effort):
        return True
    tries = TRIES if harder else TRIES[:1]
    return any(not effort() and _searched(board, jobs, effort, *one, harder=harder) for one in tries)


def _late(board: Board, jobs: Collection[int]) -> list[int]:
    return [number for number in sorted(jobs) if not on_time(board, number)]


# -- in several orders


def _in_orders(board: Board, jobs: frozenset[int], effort: Effort) -> bool:
    """Place some jobs in one order after the other.

    First those that are on time stay where they are, and the others are placed around them.
    """
    for number in list(board.settled):
        if number not in jobs or not on_time(board, number):
            board.lift(number)
    by_promise = sorted(jobs, key=lambda n: (board.works[n].record.job.promised, n))
    orders = _Orders(by_promise)
    order: Sequence[int] | None = [number for number in by_promise if number not in board.settled]
    while order is not None:
        for number in order:
            board.place(number, _soonest(board))
        effort.spend(PLACED * sum(len(board.works[number].blocks) for number in order))
        late = _late(board, jobs)
        if not late:
            return True
        order = None if effort() else orders.after(late)
        for number in order or ():
            board.lift(number)
    return False


class _Orders:
    """The orders in which some jobs are placed, one after the other: by promise, then late ones before the rest.

    Few jobs are tried in every order after that.
    """

    def __init__(self, first: Sequence[int]) -> None:
        self._order = list(first)
        self._tried: set[tuple[int, ...]] = set()
        self._few = len(first) <= FEW
        self._all = iter(permutations(first))

    def after(self, late: Sequence[int]) -> tuple[int, ...] | None:
        """Return the next order to try, given who was late in the one before; None where there is none left."""
        if self._tried:
            self._order = [*late, *(number for number in self._order if number not in late)]
        order: tuple[int, ...] | None = tuple(self._order)
        if len(self._tried) >= ORDERS:
            order = next(self._all, None) if self._few else None
        while order in self._tried:
            order = next(self._all, None) if self._few else None
        if order is not None:
            self._tried.add(order)
        return order


def _soonest(board: Board) -> Choose:
    """Return the choice of the crew that ends a job soonest, whatever that means for crews and open days."""

    def choose(work: JobWork, wished: int) -> Found:
        mains = board.chooser.mains(work)
        found = [board.chooser.attempt(work, Way(main=main, since=wished, wished=wished)) for main in mains]
        return min(found, key=lambda one: (*one.rank[:2], *one.cost[:2], one.cost.end))

    return choose


# -- by search and solver side by side


def _searched(board: Board, jobs: frozenset[int], effort: Effort, seed: int, slower: int, *, harder: bool) -> bool:
    """Search while the solver looks too; of two answers the search's is taken, so that it is the same every time."""
    model = _model(board, jobs, slower) if solver.available() else None
    enough = Event()
    steps = HARDER_STEPS if harder else STEPS
    with ThreadPoolExecutor(max_workers=1) as pool:
        if model is not None:
            answer = pool.submit(
                solver.solve,
                model[1],
                deterministic=HARDER_WORK if harder else WORK,
                workers=1,
                seed=seed,
                stop=lambda: enough.is_set() or effort(),
                settings=SMALL,
            )
        blocks = sum(len(board.works[number].blocks) for number in jobs)
        done = _by_steps(board, jobs, effort, seed, steps)
        if not _late(board, jobs):
            enough.set()
            effort.spend(STEP * blocks * done)
            return True
        work = answer.result().work if model is not None else 0.0
    effort.spend(max(STEP * blocks * done, SOLVED * work))
    schedule = answer.result().schedule if model is not None else None
    if model is None or schedule is None:
        return False
    for number in jobs:
        board.lift(number)
    for number, settled in model[2].items():
        board.put(number, settled)
    found = booked(model[0], schedule, board, board.floor)
    for number in found or {}:
        board.lift(number)
    for number, settled in (found or {}).items():
        board.put(number, settled)
    return found is not None and not _late(board, jobs)


def _model(board: Board, jobs: frozenset[int], slower: int):  # type: ignore[no-untyped-def]
    """Return all work of some jobs set free, the solver's model of it, and how it stands; None where some has no place."""
    floor = board.floor
    keys: list[BlockKey] = [key for number in sorted(jobs) for key in board.settled[number].bookings]
    records = [board.works[number].record for number in sorted(jobs)]
    until = {r.job.number: floor.day(r, r.job.promised)[1] for r in records if r.job.promised is not None}
    free = freed(board, floor, keys, until) if keys else None
    if free is None:
        return None
    setups = {pair: slots + slower for pair, slots in free.problem.setups.items() if slots}
    model = solver.build(replace(free.problem, setups=setups))
    solver.hint(model, free.hint)
    return free, model, {number: board.settled[number] for number in jobs}


def _by_steps(board: Board, jobs: frozenset[int], effort: Effort, seed: int, steps: int) -> int:
    """Move some jobs until all are on time, or so many steps are made; leave the best there was, return the steps."""
    works, done = board.works, 0
    board.works = {number: work for number, work in works.items() if number in jobs}  # no others are on the board
    try:
        search = Search(board, board.floor, seed=seed, objective=_Lateness(board.floor))
        while done < steps and search.best_cost[:2] > (0, 0) and not effort():
            search.step()
            done += 1
        search.back()
    finally:
        board.works = works
    return done


class _Lateness(Objective):
    """Judges by what has no place, then by the time after promises, then by the ends."""

    def of_job(self, work: JobWork, bookings: Mapping[BlockKey, Booking], missing: int) -> PlanCost:
        """Return one job's part, the time late in slots."""
        promised = work.record.job.promised
        end = max((booking.end for booking in bookings.values()), default=0)
        late = 0 if promised is None else max(0, end - self._floor.day(work.record, promised)[1])
        return PlanCost(missing=missing, late=late, end=end)
