"""The search for better plans: what it keeps, whatever it finds."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from itertools import permutations
from random import Random

import pytest

from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning import improve as improving
from crewjobs.engines.planning import search as searching
from crewjobs.engines.planning.board import Settled
from crewjobs.engines.planning.choosing import Found
from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.jobwork import JobWork
from crewjobs.engines.planning.list_schedule import first_board, plan_week
from crewjobs.engines.planning.objective import Objective, PlanCost
from crewjobs.engines.planning.placing import Way
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.engines.planning.search import Search
from crewjobs.engines.planning.solving import Freed, freed
from crewjobs.engines.scheduling.solver import Answer
from tests import thorough
from tests.engines.planning.networks import MONDAY, crew, house, problem, random_problem, shop

DAY_SLOTS = 96


def contended(seed: int, jobs: int = 4) -> PlanProblem:
    """Return a few small houses for two crews, promised within days of each other."""
    random = Random(seed)
    records = [
        house(
            number,
            size=random.uniform(0.4, 0.9),
            level=random.random() < 0.3,
            promised=MONDAY + timedelta(days=random.randrange(3, 11)),
            weight=random.choice((1, 2, 3)),
        )
        for number in range(1, jobs + 1)
    ]
    return problem(records, shop(crew("Birch", 3), crew("Cedar", 2)), days=21)


@pytest.mark.parametrize("workers", [0, 2])
def test_the_same_seed_and_rounds_give_the_same_plan(workers: int) -> None:
    """With and without solvers beside it, whichever of them is done first."""
    one, other = (improve(contended(3, 4), rounds=3, seed=5, workers=workers) for _ in range(2))
    assert one.plan == other.plan
    assert one.cost == other.cost


@pytest.mark.parametrize("seed", thorough.of(range(8), 3))
def test_no_rule_is_broken_and_nothing_gets_worse(seed: int) -> None:
    """Any problem at all: the judge finds nothing in the better plan, and it costs no more than the first."""
    week = random_problem(seed)
    found = improve(week, rounds=1, seed=seed)
    assert found.cost <= found.first_cost
    assert check_plan(week, found.plan) == ()


def test_weeks_that_contend_get_better() -> None:
    """On weeks where promises contend the search finds plans that cost less, and the judge finds nothing in them."""
    better = 0
    for seed in range(3):
        week = contended(seed, 4)
        found = improve(week, rounds=3, seed=1)
        assert check_plan(week, found.plan) == ()
        better += found.cost < found.first_cost
    assert better > 0


def test_it_works_without_the_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver is not installed whole jobs are moved: the plan is sound and no worse than the first."""
    monkeypatch.setattr(improving, "available", lambda: False)
    week = contended(2, 6)
    found = improve(week, rounds=6)
    assert found.rounds == 6
    assert found.cost <= found.first_cost
    assert check_plan(week, found.plan) == ()


def _after(times: int) -> Stop:
    """Return a stop that says so from the question after so many on."""
    asked = 0

    def stop() -> bool:
        nonlocal asked
        asked += 1
        return asked > times

    return stop


def test_stop_is_obeyed_in_a_round() -> None:
    """A stop that says so before the first round leaves the first plan; one that says so in a round ends that round."""
    week = contended(1, 6)
    nothing = improve(week, stop=_after(6), workers=0)
    assert nothing.rounds == 0
    assert nothing.plan == plan_week(week)
    found = improve(week, stop=_after(6 + 3), workers=0)
    assert found.rounds == 1
    assert check_plan(week, found.plan) == ()


@pytest.mark.parametrize("jobs_planned", [0, 3])
def test_stop_is_obeyed_in_the_first_plan(jobs_planned: int) -> None:
    """Without a plan before what stands so far is returned: the jobs planned until then, the others left out."""
    week = contended(1, 6)
    found = improve(week, stop=_after(jobs_planned))
    assert (found.rounds, found.proven) == (0, False)
    assert len({placed.key.job for placed in found.plan.placements}) == jobs_planned
    assert [left.why for left in found.plan.left_out] == ["planning was stopped before its turn"] * (6 - jobs_planned)
    assert found.plan == plan_week(week, stop=_after(jobs_planned))
    assert found.cost.missing == found.first_cost.missing > 0
    assert check_plan(week, found.plan) == ()


@pytest.mark.parametrize("jobs_planned", [0, 3])
def test_a_stop_in_the_first_plan_loses_no_place(jobs_planned: int) -> None:
    """With a plan before that one is returned, whole, and never as something better than it was."""
    week = contended(1, 6)
    again = replace(week, previous=plan_week(week))
    found = improve(again, stop=_after(jobs_planned))
    assert found.plan == found.first == again.previous
    assert found.cost == found.first_cost
    assert found.cost.missing > 0


def test_a_search_without_an_end_is_refused() -> None:
    """Neither rounds nor a stop: it would go on for ever."""
    with pytest.raises(ValueError, match="rounds or a stop"):
        improve(contended(1))


def test_the_board_holds_the_best_after_every_round() -> None:
    """What is on the board costs what the search says its best plan costs."""
    board, _ = first_board(contended(4, 6))
    search, objective = Search(board, board.floor, seed=2), Objective(board.floor)
    for _ in range(5):
        search.round(None)
        total = search.best_cost.minus(search.best_cost)
        for number, work in board.works.items():
            total = total.plus(objective.of_job(work, board.bookings_of(number), board.settled[number].missing))
        assert total == search.best_cost


@pytest.mark.parametrize("seed", thorough.of(range(2), 1))
def test_promises_that_any_order_crews_and_starts_can_keep_are_kept(seed: int) -> None:
    """Three houses, every order, every main crew, as early as can be or a day later: none keeps promises better."""
    week = contended(seed, 3)
    assert improve(week, rounds=3, seed=0).cost[:2] <= _by_hand(week)


def _by_hand(week: PlanProblem) -> tuple[int, ...]:
    """Return the fewest blocks without a place, then days late, over all orders, main crews and two starts of each."""
    board, _ = first_board(week)
    objective, numbers = Objective(board.floor), list(board.works)
    for number in numbers:
        board.lift(number)
    options = [(crew, later) for crew in board.floor.crews for later in (0, DAY_SLOTS)]
    best: tuple[int, ...] | None = None

    def go_on(left: tuple[int, ...], so_far: tuple[int, ...]) -> None:
        nonlocal best
        if best is not None and so_far >= best:
            return
        if not left:
            best = so_far
            return
        for crew_name, later in options:

            def done(work: JobWork, wished: int, crew_name: str = crew_name, later: int = later) -> Found:
                return board.chooser.attempt(work, Way(main=crew_name, since=wished + later, wished=wished))

            settled = board.place(left[0], done)
            cost = objective.of_job(board.works[left[0]], board.bookings_of(left[0]), settled.missing)
            go_on(left[1:], (so_far[0] + cost.missing, so_far[1] + cost.late))
            board.lift(left[0])

    for order in permutations(numbers):
        go_on(order, (0, 0))
    assert best is not None
    return best


class Rounds:
    """A search whose steps are told what to do, with one solver beside them whose answer is told too."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *, taken: bool) -> None:
        board, _ = first_board(contended(1, 3))
        self.search = Search(board, board.floor, seed=1)
        self.began_at: list[dict[int, Settled]] = []
        self.better = False
        self._asked = freed(board, board.floor, list(board.settled[1].bookings))
        monkeypatch.setattr(searching, "STEPS", 1)
        monkeypatch.setattr(self.search, "step", self._step)
        monkeypatch.setattr(self.search, "_solving", self._solving)
        monkeypatch.setattr(self.search, "_take", lambda *_: taken)

    def _step(self) -> bool:
        """Put the first job a day later; say that this is the best ever where the test wants that."""
        search, board = self.search, self.search.board
        self.began_at.append(dict(board.settled))
        settled = board.lift(1)
        assert settled.way is not None
        later = replace(settled.way, since=max(one.start for one in settled.bookings.values()) + DAY_SLOTS)
        board.place(1, lambda work, _: board.chooser.attempt(work, later))
        if self.better:
            search._found(search.best_cost.minus(PlanCost(end=1)))
        return self.better

    def _solving(self, *_: object) -> list[tuple[Freed, Future[Answer]]]:
        assert self._asked is not None
        answer: Future[Answer] = Future()
        other = self._asked.hint[::-1]  # any other schedule than the one it started from
        answer.set_result(Answer(schedule=other, value=0, bound=0, proven=True, status="OPTIMAL"))
        return [(self._asked, answer)]


@pytest.mark.parametrize("taken", [False, True])
def test_steps_go_on_where_they_ended_unless_a_solver_found_better(
    monkeypatch: pytest.MonkeyPatch, taken: bool
) -> None:
    """Whole jobs wander on from round to round; once a solver's answer is taken they start from the best plan again."""
    rounds = Rounds(monkeypatch, taken=taken)
    for _ in range(2):
        with ThreadPoolExecutor(1) as pool:
            rounds.search.round(pool, 1)
    first, second = rounds.began_at
    assert first == rounds.search.best
    assert (second == rounds.search.best) is taken


@pytest.mark.parametrize("better", [False, True])
def test_a_proof_holds_only_for_the_plan_it_was_made_on(monkeypatch: pytest.MonkeyPatch, better: bool) -> None:
    """Blocks proven to lie best are not drawn again, but where the plan got better meanwhile nothing is remembered."""
    rounds = Rounds(monkeypatch, taken=False)
    rounds.better = better
    with ThreadPoolExecutor(1) as pool:
        rounds.search.round(pool, 1)
    assert len(rounds.search._proven) == (0 if better else 1)
