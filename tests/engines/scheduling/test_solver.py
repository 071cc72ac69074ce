from __future__ import annotations

import os
import signal
import sys
import threading

import pytest
from hypothesis import given, settings

from crewjobs.engines.scheduling import solver
from crewjobs.engines.scheduling.model import Activity, Mode, Problem, always
from tests import thorough
from tests.engines.scheduling.judge import faults
from tests.engines.scheduling.small import best, problems


def weighted(schedule):
    return sum((i + 1) * place.end for i, place in enumerate(schedule))


def priced(problem):
    model = solver.build(problem)
    model.cp.minimize(sum((i + 1) * end for i, end in enumerate(model.end)))
    return model


def boxes(count=12, horizon=3000):
    """Return a problem that takes long to prove: unequal works on two machines."""
    modes = [tuple(Mode(table=always(d, horizon), machine=m) for m in range(2)) for d in range(5, 5 + 3 * count, 3)]
    return Problem(activities=tuple(Activity(modes=mode) for mode in modes), lags=(), machines=2)


@settings(max_examples=thorough.examples(35, 12), deadline=None)
@given(problems())
def test_the_solver_finds_the_best_of_all_schedules(problem):
    """The model's best schedule keeps every rule and costs what the best of all combinations costs."""
    expected = best(problem, weighted)
    answer = solver.solve(priced(problem), deterministic=5.0)
    assert answer.proven
    if expected is None:
        assert (answer.schedule, answer.status) == (None, "INFEASIBLE")
    else:
        assert faults(problem, answer.schedule) == []
        assert weighted(answer.schedule) == answer.value == answer.bound == expected


def test_equal_seeds_and_limits_give_equal_answers():
    """One worker with a limit in the solver's own time answers the same twice."""
    answers = [solver.solve(priced(boxes()), deterministic=0.05, seed=3) for _ in range(2)]
    assert answers[0] == answers[1]


def test_a_hinted_schedule_is_where_the_solver_begins():
    """With a schedule as its hint the first answer is no worse than it."""
    problem = boxes()
    known = solver.solve(priced(problem), deterministic=0.2).schedule
    model, seen = priced(problem), []
    solver.hint(model, known)
    solver.solve(model, deterministic=0.05, on_better=lambda schedule, value: seen.append((schedule, value)))
    assert seen[0][1] <= weighted(known)
    assert all(faults(problem, schedule) == [] and weighted(schedule) == value for schedule, value in seen)


def test_stop_ends_a_search_that_is_not_done():
    """A search asked to stop after its first schedule gives the best it has, unproven."""
    found = threading.Event()
    answer = solver.solve(
        priced(boxes(30)), deterministic=60.0, stop=found.is_set, on_better=lambda schedule, value: found.set()
    )
    assert answer.status == "FEASIBLE"
    assert faults(boxes(30), answer.schedule) == []


@pytest.mark.parametrize("where", ["stop", "on_better"])
def test_what_a_callback_raises_reaches_the_caller(where):
    """An error in either callback ends the search and is raised in the caller's own thread."""

    def fails(*_):
        raise KeyError(where)

    with pytest.raises(KeyError, match=where):
        solver.solve(priced(boxes(30)), deterministic=60.0, **{where: fails})


def test_without_the_solver_its_absence_has_a_name(monkeypatch):
    """Where the solver is not installed, `available` says so and building raises the error named for it."""
    monkeypatch.setitem(sys.modules, "ortools", None)
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    assert not solver.available()
    with pytest.raises(solver.SolverMissing):
        solver.build(boxes())


def test_ctrl_c_in_the_middle_of_a_search_is_the_callers():
    """Pressed while the solver runs, Ctrl-C reaches who asked, and what was found by then is given."""
    pressed = threading.Event()
    before = signal.signal(signal.SIGINT, lambda *_: pressed.set())
    try:
        answer = solver.solve(
            priced(boxes(30)),
            deterministic=60.0,
            stop=pressed.is_set,
            on_better=lambda *_: pressed.is_set() or os.kill(os.getpid(), signal.SIGINT),
        )
    finally:
        signal.signal(signal.SIGINT, before)
    assert pressed.is_set()
    assert answer.schedule is not None
    assert answer.status == "FEASIBLE"
