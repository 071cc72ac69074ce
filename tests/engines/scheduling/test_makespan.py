from __future__ import annotations

import sys
from itertools import count
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.engines.scheduling.batch import Batch, suits
from crewjobs.engines.scheduling.makespan import shortest
from crewjobs.engines.scheduling.model import Activity, Lag, Mode, Problem, StartTable, always
from crewjobs.engines.scheduling.network import network
from crewjobs.engines.scheduling.population import Flock, Herd
from crewjobs.engines.scheduling.serial import BACKWARD, FORWARD, Serial
from tests import thorough
from tests.benchmarks.psplib import instances
from tests.engines.scheduling.judge import faults, makespan
from tests.engines.scheduling.small import best, networks

PUBLISHED = instances(Path(__file__).parents[2] / "data/psplib/j30.zip", "j30", 30, 1)
LONG = "j309_2"
"""It takes longer than all others together."""


def ten_jobs():
    """Return the example `examples/rcpsp.py` of Python-MIP (coin-or/python-mip), which states its optimum as 21."""
    durations = (0, 3, 2, 5, 4, 2, 3, 4, 2, 4, 6, 0)
    uses = ((0, 0), (5, 1), (0, 4), (1, 4), (1, 3), (3, 2), (3, 1), (2, 4), (4, 0), (5, 2), (2, 5), (0, 0))
    after = ((1, 2, 3), (4, 5), (9, 10), (8,), (6, 7), (9, 10), (8, 9), (8,), (11,), (11,), (11,), ())
    return Problem(
        activities=tuple(
            Activity(modes=(Mode(table=always(d, sum(durations))),), uses=tuple(enumerate(use)))
            for d, use in zip(durations, uses, strict=True)
        ),
        lags=tuple(Lag(before=job, after=other) for job, others in enumerate(after) for other in others),
        pools=(6, 8),
    )


def without(monkeypatch, *names):
    for name in names:
        for module in [*(m for m in sys.modules if m.startswith(f"{name}.")), name]:
            monkeypatch.setitem(sys.modules, module, None)


def test_the_published_example_takes_21_periods():
    """The optimum of the ten-job example is 21 (Python-MIP, examples/rcpsp.py)."""
    found = shortest(ten_jobs(), rounds=3)
    assert (found.makespan, found.bound, found.proven) == (21, 21, True)
    assert faults(ten_jobs(), found.schedule) == []


@pytest.mark.parametrize(
    "instance",
    thorough.of(PUBLISHED, [one for one in PUBLISHED if one.name != LONG]),
    ids=lambda instance: instance.name,
)
def test_published_networks_reach_their_published_optimum(instance):
    """Thirty published instances take as long as proven (Kolisch and Sprecher 1996; tests/data/psplib)."""
    found = shortest(instance.problem, rounds=2)
    assert faults(instance.problem, found.schedule) == []
    assert makespan(found.schedule) == found.makespan == instance.best_known
    assert found.bound <= instance.best_known


@settings(max_examples=thorough.examples(15, 5), deadline=None)
@given(networks(most=4))
def test_small_networks_are_as_short_as_the_best_of_all(problem):
    """The proven makespan is that of the best of all combinations of starts."""
    small = Problem(
        activities=tuple(
            Activity(modes=(Mode(table=always(a.modes[0].table.ends[0] % 3, 8)),), uses=a.uses)
            for a in problem.activities
        ),
        lags=tuple(Lag(before=lag.before, after=lag.after, least=min(lag.least, 1)) for lag in problem.lags),
        pools=problem.pools,
    )
    found, expected = shortest(small, rounds=4), best(small, makespan)
    assert expected is None or (found.makespan, found.proven) == (expected, True)
    assert expected is not None or found.schedule is None


@settings(max_examples=thorough.examples(35, 15), deadline=None)
@given(networks(), st.randoms(use_true_random=False))
def test_serial_generation_keeps_every_rule_and_justification_never_lengthens(problem, random):
    """Any order gives a schedule without a fault; pushed to the end and back it is no longer."""
    net = network(problem)
    serial, order = Serial(net), list(range(len(net.names)))
    random.shuffle(order)
    finish = serial.decode(serial.feasible(order))
    justified = serial.justified(finish)
    for schedule in (finish, justified, serial.first()):
        assert faults(problem, net.schedule(schedule)) == []
    assert net.bound() <= max(justified) <= max(finish)


@settings(max_examples=thorough.examples(20, 7), deadline=None)
@given(networks(most=20), st.randoms(use_true_random=False))
def test_many_schedules_at_once_are_the_schedules_one_by_one(problem, random):
    """The batch gives, in both directions, what serial generation gives for each of its orders."""
    net = network(problem)
    if not suits(net):
        return
    np = pytest.importorskip("numpy")
    serial, batch, ids = Serial(net), Batch(net, 8), range(len(net.names))
    orders = [serial.feasible(random.sample(ids, len(ids))) for _ in range(8)]
    for direction in (FORWARD, BACKWARD):
        singly = [serial.decode(order, direction) for order in orders]
        assert batch.decode(np.array(orders).T.copy(), direction).T.tolist() == singly
        orders = [serial.turned(finish, direction) for finish in singly]


@pytest.mark.parametrize("kind", [Herd, Flock])
def test_a_population_never_gets_worse_and_repeats_itself(kind):
    """Its best is a schedule without a fault, never longer than before, and the same for the same seed."""
    problem = next(one.problem for one in PUBLISHED if one.best_known > network(one.problem).bound())
    net, runs = network(problem), []
    for _ in range(2):
        crowd, spans = kind(net, seed=5), []
        for _ in range(6):
            crowd.step()
            spans.append(crowd.makespan)
            assert faults(problem, net.schedule(crowd.best)) == []
            assert max(crowd.best) == crowd.makespan
        assert spans == sorted(spans, reverse=True)
        runs.append((spans, crowd.best))
    assert runs[0] == runs[1]


@pytest.mark.parametrize("kind", [Herd, Flock])
def test_a_population_takes_in_what_others_find(kind):
    """A shorter schedule from elsewhere becomes its best."""
    net = network(ten_jobs())
    crowd, optimum = kind(net, seed=1), shortest(ten_jobs(), rounds=3).schedule
    crowd.makespan = 99
    crowd.add(net.finishes(optimum))
    assert crowd.makespan == 21


@pytest.mark.parametrize("kind", [Herd, Flock])
def test_breeding_never_fills_a_population_with_equal_schedules(kind):
    """A child that equals a schedule there is not taken in: there are never fewer different ones than before."""
    problem = next(one.problem for one in PUBLISHED if one.best_known > network(one.problem).bound())
    crowd = kind(network(problem), seed=5)
    before = different(crowd)
    for _ in range(20):
        crowd.step()
        after = different(crowd)
        assert all(now >= then for now, then in zip(after, before, strict=True))
        before = after


def different(crowd):
    """Return how many different schedules there are in each direction."""
    rows = [those if isinstance(those, list) else those.T.tolist() for those in crowd._of.values()]
    return [len(set(map(tuple, those))) for those in rows]


def test_equal_seeds_and_rounds_give_equal_schedules():
    """Counted rounds do not depend on which side is faster."""
    problem = busy()
    runs = [shortest(problem, rounds=3, seed=7) for _ in range(2)]
    assert runs[0] == runs[1]
    assert faults(problem, runs[0].schedule) == []


def busy():
    """Return a network of forty activities that no short search proves."""
    random = Random(11)
    durations = [random.randint(1, 9) for _ in range(40)]
    return Problem(
        activities=tuple(
            Activity(
                modes=(Mode(table=always(d, sum(durations))),),
                uses=tuple((pool, random.choice((0, 3, 4, 6))) for pool in range(3)),
            )
            for d in durations
        ),
        lags=tuple(Lag(before=b // 2, after=b) for b in range(8, 40)),
        pools=(10, 10, 10),
    )


@pytest.mark.parametrize("missing", [("ortools",), ("ortools", "numpy")])
def test_without_the_solver_the_search_still_answers(monkeypatch, missing):
    """With OR-Tools missing, and with numpy missing too, a schedule is found that keeps every rule."""
    without(monkeypatch, *missing)
    found = shortest(ten_jobs(), rounds=3)
    assert faults(ten_jobs(), found.schedule) == []
    assert found.makespan == 21


def test_a_search_told_to_stop_gives_the_first_schedule():
    """Stopped at once there is a schedule all the same, and progress is told of it with its bound."""
    told, problem = [], busy()
    found = shortest(problem, stop=lambda: True, progress=lambda span, bound: told.append((span, bound)))
    assert faults(problem, found.schedule) == []
    assert told == [(found.makespan, found.bound)]


def test_a_search_stopped_while_it_runs_gives_what_it_has():
    """Stopped in the middle of a round, both sides end and the schedule keeps every rule."""
    asked = count()
    found = shortest(busy(), stop=lambda: next(asked) > 60)
    assert faults(busy(), found.schedule) == []


@pytest.mark.parametrize(
    ("problem", "sentence"),
    [
        (Problem(activities=(Activity(modes=(Mode(table=always(1, 4), machine=0),)),), lags=(), machines=1), "machine"),
        (Problem(activities=(Activity(modes=(Mode(table=StartTable(starts=range(2, 9), ends=range(3, 10))),)),), lags=()), "from 0"),
        (Problem(activities=(Activity(modes=(Mode(table=always(1, 4)),), uses=((0, 3),)),), lags=(), pools=(2,)), "2 u"),
        (Problem(activities=(Activity(modes=(Mode(table=always(1, 4)),)),), lags=(Lag(before=0, after=0),)), "circle"),
        (
            Problem(activities=(Activity(modes=(Mode(table=always(1, 4)),)),) * 2, lags=(Lag(before=0, after=1, most=2),)),
            "most",
        ),
    ],
)  # fmt: skip
def test_what_is_no_network_is_named(problem, sentence):
    """A problem that cannot be turned around is refused, saying what stands against it."""
    with pytest.raises(ValueError, match=sentence):
        shortest(problem, rounds=1)
