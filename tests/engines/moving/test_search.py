"""The search for furniture stages held to the judge: exact on small houses, replayed on all, its bounds true."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.engines.moving import search
from crewjobs.engines.moving.any_order import bound_of_any_order
from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.model import MovingPlan, Status
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.search import Search, solve
from tests import thorough
from tests.engines.moving.array_dp import best_plan
from tests.engines.moving.given import in_the_format, problem_of
from tests.engines.moving.instances import Instance, generated, read_instance, tenths
from tests.engines.moving.replay import replay

DATA = Path(__file__).parents[2] / "data/moving"
ROUNDS = 5000


def _replayed(house: Instance, plan: MovingPlan) -> int:
    """Return what the judge says a plan costs, in tenths; it breaks no rule."""
    minutes, faults = replay(house, in_the_format(house, plan.stages))
    assert faults == []
    return tenths(minutes)


def _compare(house: Instance) -> Status:
    """Solve a house to the end and hold it to the exact oracle."""
    plan, exact = solve(problem_of(house), rounds=ROUNDS), best_plan(house)
    if exact is None:
        assert plan.status is Status.NO_WAY
        return plan.status
    assert plan.status is Status.PROVED
    assert plan.cost == plan.bound == tenths(exact[0]) == _replayed(house, plan)
    return plan.status


@pytest.mark.parametrize("path", sorted(DATA.glob("*.json")), ids=lambda path: path.stem)
def test_the_reference_houses_cost_what_their_files_say(path: Path) -> None:
    """Both reference houses are proved at the optimum their files state."""
    house = read_instance(path)
    plan = solve(problem_of(house), rounds=ROUNDS)
    assert house.expected is not None
    assert plan.status is Status.PROVED
    assert plan.cost == tenths(house.expected.optimal_cost_min or 0) == _replayed(house, plan)


@pytest.mark.parametrize("part", thorough.of(range(10), 1))
def test_small_houses_cost_what_the_oracle_says(part: int) -> None:
    """200 houses of 3 or 4 sections with 5 pieces and at most 6 places, half of them glued: the exact cost, or no way at all."""
    seen = [
        _compare(generated(zones, 5, seed, cures=seed % 2 == 1, stores=stores))
        for seed in range(part * 10, part * 10 + 10)
        for zones, stores in ((3, 1), (4, 2))
    ]
    assert len(seen) == 20
    assert Status.PROVED in seen


@settings(max_examples=thorough.examples(15, 5), deadline=None)
@given(st.integers(0, 10_000), st.booleans(), st.integers(1, 40))
def test_whenever_it_is_stopped_the_plan_stands_and_the_bound_is_true(seed: int, cures: bool, rounds: int) -> None:
    """After any number of rounds: no rule broken, the cost as replayed, and the exact cost between bound and cost."""
    house = generated(3, 5, seed, cures=cures, stores=2)
    plan, exact = solve(problem_of(house), rounds=rounds), best_plan(house)
    if exact is None:
        assert not plan.stages
        return
    assert plan.bound <= tenths(exact[0])
    if plan.stages:
        assert tenths(exact[0]) <= plan.cost == _replayed(house, plan)


@pytest.mark.parametrize("seed", range(15))
def test_no_order_costs_less_than_the_bound_of_any_order(seed: int) -> None:
    """The model without an order never says more than the exact cost, glued floors or not."""
    house = generated(4, 5, seed, cures=seed % 2 == 0, stores=2)
    exact = best_plan(house)
    if exact is None:
        return
    kinds = Kinds(problem_of(house))
    bound = bound_of_any_order(kinds, Orders(kinds), 10**8, effort=50, stop=lambda: False)
    assert bound <= tenths(exact[0])


@pytest.mark.parametrize("seed", range(3))
def test_twelve_pieces_in_four_sections_are_proved(seed: int) -> None:
    """Larger houses are proved too, and their plans stand."""
    house = generated(4, 12, seed)
    plan = solve(problem_of(house), rounds=ROUNDS)
    assert plan.status is Status.PROVED
    assert _replayed(house, plan) == plan.cost


def test_the_same_rounds_give_the_same_plan() -> None:
    """A search with the same seed and rounds is the same search."""
    problem = problem_of(generated(5, 16, 4))
    assert solve(problem, rounds=6) == solve(problem, rounds=6)


def test_stopped_at_once_it_says_what_it_has() -> None:
    """A search that is stopped before it begins has no plan, and does not say that there is none."""
    plan = solve(problem_of(generated(4, 12, 0)), stop=lambda: True)
    assert plan.status in (Status.UNKNOWN, Status.FOUND)


def test_alike_pieces_are_one_thing_to_decide() -> None:
    """Six chairs that are alike are one kind with a count, and the search does not grow with the count."""
    house = generated(3, 5, 2, stores=2)
    small = next(item for item in house.items if not item.is_bed)
    many = replace(house, items=(*house.items, *(replace(small, id=f"again {n}", footprint_ft2=0.5) for n in range(6))))
    one = replace(house, items=(*house.items, replace(small, id="again", footprint_ft2=0.5)))
    assert Kinds(problem_of(many)).size == Kinds(problem_of(one)).size


def test_alike_rooms_are_worked_in_one_order() -> None:
    """Two rooms that can be swapped with all that is in them: no order begins with the second, and the cost is the same."""
    house = _twins()
    kinds = Kinds(problem_of(house))
    assert len(list(Orders(kinds).sets(0))) < len(house.work_sets)
    assert _compare(house) is Status.PROVED


def _twins() -> Instance:
    """Return a house of two bedrooms that are mirror images, off one hall, with a store."""
    text = {
        "format": "furniture-shuffle-instance/1",
        "name": "twins",
        "units": {"length": "feet", "area": "ft2", "weight": "lb", "cost": "labor minutes"},
        "description": [],
        "zones": {
            name: {
                "area": 100, "packing_factor": 0.7, "capacity_ft2": 70, "capacity_as_passage_ft2": 57,
                "worked": name != "hall", "room": name, "power": True, "sleep": name != "hall", "outdoor": False,
            }
            for name in ("hall", "left", "right")
        },
        "passages": [
            {"a": a, "b": b, "distance_ft": 10, "doors": 1, "steps": 0}
            for a, b in (("outside", "hall"), ("hall", "left"), ("hall", "right"))
        ],
        "outside": "outside",
        "walkway_ft2": 18,
        "work_sets": [["left"], ["right"]],
        "precedence": [],
        "cure_zones": [],
        "setup_min": 60,
        "wait_min": 90,
        "beds_needed": 1,
        "items": [
            {
                "id": f"{room} bed", "name": "bed", "home": room, "footprint_ft2": 34, "weight_lb": 180, "persons": 2,
                "setdown_min": 10, "is_bed": True, "allowed": ["hall", "left", "right"], "night_cost_min": 10,
                "move_minutes": {
                    a: {b: 0 if a == b else 14 if "hall" in (a, b) else 16 for b in ("hall", "left", "right")}
                    for a in ("hall", "left", "right")
                },
            }
            for room in ("left", "right")
        ],
    }  # fmt: skip
    return read_instance(text)


def test_without_the_solver_the_orders_alone_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver is not installed there is a plan that stands, and a true bound, and the search ends."""
    monkeypatch.setattr(search, "available", lambda: False)
    house = generated(4, 12, 1)
    plan = Search(problem_of(house)).run(rounds=300)
    exact = solve(problem_of(house), rounds=1)
    assert _replayed(house, plan) == plan.cost
    assert plan.bound <= exact.cost
