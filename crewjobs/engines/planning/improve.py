"""A plan at once, and a better one while somebody waits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from crewjobs.domain.plan import LeftOut, WeekPlan
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.list_schedule import first_board, plan_of
from crewjobs.engines.planning.objective import Objective, PlanCost, Weights
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.engines.planning.prove import proven
from crewjobs.engines.planning.search import Search
from crewjobs.engines.scheduling.solver import available

Watch = Callable[[int, PlanCost, PlanCost], None]
"""Told after every round: how many were made, what the first plan costs, and what the best one does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Improved:
    """The first plan and the best one found, with what they cost; `rounds` is how many it took.

    `plan` is `first` itself where nothing better was found. `proven` says that no plan is better up to and with the days of
    `PlanCost`; visits and the slots at which jobs end are not proven. Where it was stopped
    before the first plan was whole, both are the plan before if there was one, else what stands so far; what they cost
    then counts the jobs whose turn never came as missing.
    """

    first: WeekPlan
    first_cost: PlanCost
    plan: WeekPlan
    cost: PlanCost
    rounds: int
    proven: bool = False


QUIET_ROUNDS = 5
"""After so many rounds that found nothing better it is tried to prove that there is nothing."""


def improve(
    problem: PlanProblem,
    *,
    rounds: int | None = None,
    stop: Stop | None = None,
    watch: Watch | None = None,
    seed: int = 0,
    workers: int = 2,
    weights: Weights | None = None,
    judged: Callable[[Floor], Objective] = Objective,
) -> Improved:
    """Return the first plan of a problem and the best one found in so many rounds, or until `stop` says so.

    With a plan before, the first plan is that one, repaired. It ends sooner where the plan is proven best up to the days (`prove`). The
    same seed, number of rounds and workers give the same plan. Without the solver whole jobs are moved only. `judged`
    makes what plans are compared by, `weights` are the solver's for it. `stop` is asked before every job of the first
    plan too.

    Raises:
        ValueError: neither `rounds` nor `stop` is given: the search would never end.
    """
    if rounds is None and stop is None:
        raise ValueError("name the rounds or a stop: the search does not end by itself")
    cut_short = False

    def stopped() -> bool:
        nonlocal cut_short
        cut_short = cut_short or (stop is not None and stop())
        return cut_short

    board, left_out = first_board(problem, stop=stopped, keeping=problem.previous is not None)
    if cut_short:  # jobs that are left out only because nobody waited are no reason to lose their places
        cost = _cost(board, judged(board.floor))
        plan = problem.previous or plan_of(problem, board, left_out)
        return Improved(first=plan, first_cost=cost, plan=plan, cost=cost, rounds=0)
    first = plan_of(problem, board, left_out)
    if not board.works:
        return Improved(first=first, first_cost=PlanCost(), plan=first, cost=PlanCost(), rounds=0)
    search = Search(board, board.floor, seed=seed, weights=weights, objective=judged(board.floor))
    first_cost = search.total
    with ThreadPoolExecutor(max_workers=max(1, workers)) as pool:
        threads = pool if workers and available() else None
        best_known, quiet, proved = judged is Objective, 0, False
        while not proved and (rounds is None or search.rounds < rounds) and not (stop is not None and stop()):
            quiet = 0 if search.round(threads, workers, stop) else quiet + 1
            if watch is not None:
                watch(search.rounds, first_cost, search.best_cost)
            if quiet == QUIET_ROUNDS and best_known and threads is not None:
                proved = proven(board, board.floor, search.objective, pool, stop)
    better = search.best_cost < first_cost
    return Improved(
        first=first,
        first_cost=first_cost,
        plan=plan_of(problem, board, left_out) if better else first,
        cost=search.best_cost,
        rounds=search.rounds,
        proven=proved,
    )


def repaired_cost(problem: PlanProblem, plan: WeekPlan) -> tuple[WeekPlan, PlanCost]:
    """Return a plan repaired to the facts of a problem, and what that costs people who know `problem.previous`."""
    return _costed(problem, *first_board(replace(problem, previous=plan), keeping=True))


def planned_cost(problem: PlanProblem) -> tuple[WeekPlan, PlanCost]:
    """Return the weeks planned again, calmly but not only repaired, and what that costs people who know the plan before."""
    return _costed(problem, *first_board(problem))


def _costed(problem: PlanProblem, board: Board, left_out: Sequence[LeftOut]) -> tuple[WeekPlan, PlanCost]:
    cost = _cost(board, Objective(board.floor, problem.previous))
    return plan_of(problem, board, left_out), cost


def _cost(board: Board, objective: Objective) -> PlanCost:
    cost = PlanCost()
    for number, settled in board.settled.items():
        cost = cost.plus(objective.of_job(board.works[number], board.bookings_of(number), settled.missing))
    return cost
