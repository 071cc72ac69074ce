"""Real fit coupled to the search: what area allows and rectangles do not is never shown, and nothing else is lost."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product
from random import Random

import numpy as np
import pytest

from crewjobs.engines.moving import fitting, search
from crewjobs.engines.moving.cuts import Cut
from crewjobs.engines.moving.fitting import GRID, FloorPlan, Rect
from crewjobs.engines.moving.model import OUTSIDE, MovingPlan, MovingProblem, Piece, Place, Stage, Status
from crewjobs.engines.moving.needs import Needs
from crewjobs.engines.moving.search import Search, solve
from crewjobs.engines.moving.standing import _within, standing
from crewjobs.engines.moving.step import Step
from tests import thorough
from tests.engines.moving.plain import fits, least_cost, packs
from tests.engines.moving.tiny import heaped, tiny

ROUNDS = 3000
RUG, SOFA = (96, 10), (84, 36)


def house(
    *shapes: tuple[int, int], stores: dict[str, FloorPlan], hall: FloorPlan | None = None, homes: tuple[int, ...] = ()
) -> MovingProblem:
    """Return a den to be worked, behind a hall, with pieces of these shapes in it and stores outside, each farther away.

    Area allows everything everywhere, but the hall as well only as long as the rectangles leave a walkway.
    """
    names = ["den", "hall", *stores]
    floors = [FloorPlan(width=200, depth=200), hall, *stores.values()]
    count = len(names)
    return MovingProblem(
        places=tuple(
            Place(name=name, capacity=100, as_passage=100, worked=name == "den", floor=floor)
            for name, floor in zip(names, floors, strict=True)
        ),
        pieces=tuple(
            Piece(
                name=f"piece {i}", home=(homes or (0,) * len(shapes))[i], footprint=5, allowed=frozenset(range(count)),
                moves=tuple(tuple(10 * abs(a - b) for b in range(count)) for a in range(count)), nights=(0,) * count,
                shape=(shape,),
            )
            for i, shape in enumerate(shapes)
        ),
        ways=((OUTSIDE, 1), (1, 0), *((OUTSIDE, 2 + i) for i in range(len(stores)))),
        sets=(frozenset({0}),),
        setup=60,
    )  # fmt: skip


def _only_outside(problem: MovingProblem) -> MovingProblem:
    """Return the house with nothing allowed in the hall."""
    return replace(problem, pieces=tuple(replace(piece, allowed=piece.allowed - {1}) for piece in problem.pieces))


def test_a_rug_goes_where_it_is_long_enough() -> None:
    """A rug of 96 inches passes the strip that is near and 90 long for the shed that is farther and holds it."""
    stores = {"strip": FloorPlan(width=40, depth=90), "shed": FloorPlan(width=40, depth=96)}
    plan = solve(_only_outside(house(RUG, stores=stores)))
    assert plan.status is Status.PROVED
    assert plan.stages[0].at == (3,)
    assert plan.cost == 60 + 2 * 30
    assert solve(_only_outside(house(RUG, stores={"strip": stores["strip"]}))).status is Status.NO_WAY


def test_two_sofas_do_not_share_a_store_for_one() -> None:
    """Two sofas side by side need 72 inches: in 70 one of them goes farther, in 72 both stay near."""
    far = FloorPlan(width=200, depth=200)
    near = solve(_only_outside(house(SOFA, SOFA, stores={"shed": FloorPlan(width=84, depth=72), "barn": far})))
    apart = solve(_only_outside(house(SOFA, SOFA, stores={"shed": FloorPlan(width=84, depth=70), "barn": far})))
    assert (near.cost, apart.cost) == (60 + 4 * 20, 60 + 2 * 20 + 2 * 30)
    assert sorted(apart.stages[0].at) == [2, 3]


def test_a_hall_keeps_its_walkway() -> None:
    """A sofa along a hall 72 inches wide leaves 36 to walk; in one of 60 inches nobody gets by, and it goes outside."""
    shed = {"shed": FloorPlan(width=100, depth=100)}
    for width, place in ((72, 1), (60, 2)):
        ways = ((Rect(0, 0, 32, 90),), (Rect(width - 32, 0, 32, 90),))
        problem = house(SOFA, stores=shed, hall=FloorPlan(width=width, depth=90, walkways=ways))
        plan = solve(problem)
        assert plan.status is Status.PROVED
        assert plan.stages[0].at == (place,)
        (stage,) = standing(problem, plan)
        assert stage.walked == {1}
        assert {stood.walkway for stood in stage.places if stood.place == 1} <= {0, 1}


def test_what_stands_as_it_stood_is_not_asked() -> None:
    """A room whose rectangles do not fit by themselves (chairs under a table) is left alone, and takes nothing more."""
    tight = {"parlor": FloorPlan(width=60, depth=60), "barn": FloorPlan(width=200, depth=200)}
    problem = _only_outside(house((50, 50), (40, 40), (20, 20), stores=tight, homes=(2, 2, 0)))
    plan = solve(problem)
    assert plan.status is Status.PROVED
    assert plan.stages[0].at == (2, 2, 3)
    (stage,) = standing(problem, plan)
    assert [stood.as_found for stood in stage.places if stood.place == 2] == [True]


def test_a_plan_that_cannot_be_stood_is_not_drawn() -> None:
    """Asked for the rectangles of a stage in which two sofas lie across each other: refused."""
    problem = _only_outside(house(SOFA, SOFA, stores={"shed": FloorPlan(width=84, depth=70)}))
    plan = MovingPlan(status=Status.FOUND, stages=(Stage(worked=frozenset({0}), at=(2, 2)),))
    with pytest.raises(ValueError, match="stage 1"):
        standing(problem, plan)


def _stood(problem: MovingProblem, plan: MovingPlan) -> int:
    """Hold every rectangle of every stage: inside, over nothing, of its piece's size; return how many there were."""
    seen = 0
    for stage, drawn in zip(plan.stages, standing(problem, plan), strict=True):
        for stood in drawn.places:
            floor = problem.places[stood.place].floor
            assert floor is not None
            here = [i for i, z in enumerate(stage.at) if z == stood.place and problem.pieces[i].shape]
            if stood.as_found:
                assert stood.place not in drawn.walked
                assert {*stood.pieces} == {*here}
                continue
            sizes = sorted((i, *sorted((r.width, r.depth))) for i, r in zip(stood.pieces, stood.at, strict=True))
            assert sizes == sorted(
                (i, *sorted(-(-side // GRID) * GRID for side in one)) for i in here for one in problem.pieces[i].shape
            )
            assert (stood.walkway >= 0) == bool(stood.place in drawn.walked and floor.walkways)
            taken = [*floor.blocked, *(floor.walkways[stood.walkway] if stood.walkway >= 0 else ())]
            for x, y, width, depth in stood.at:
                assert min(x, y) >= 0
                assert x + width <= floor.width
                assert y + depth <= floor.depth
                assert not any(_over((x, y, width, depth), other) for other in taken)
            assert not any(_over(a, b) for a, b in combinations(stood.at, 2))
            seen += len(stood.at)
    return seen


def _over(a: tuple[int, int, int, int], b: tuple[int, int, int, int]) -> bool:
    """Return whether two rectangles share an inch."""
    across = min(a[0] + a[2], b[0] + b[2]) - max(a[0], b[0])
    return across > 0 and min(a[1] + a[3], b[1] + b[3]) - max(a[1], b[1]) > 0


@pytest.mark.parametrize("part", range(3))
def test_every_stage_shown_can_be_stood(part: int) -> None:
    """Whatever is shown after few rounds or many: rectangles that overlap nothing, and a walkway where the crew walks."""
    seen = 0
    for seed in range(part * 10, part * 10 + 10):
        for problem in (heaped(seed), tiny(seed, shapes=True, comes=True)):
            for rounds in (1, ROUNDS):
                plan = solve(problem, rounds=rounds)
                seen += _stood(problem, plan) if plan.stages else 0
    assert seen > 40


@pytest.mark.parametrize("part", thorough.of(range(2), 1))
def test_rectangles_decide_as_trying_everything_says(part: int) -> None:
    """Houses in which area allows everything: the exact cost of the best plan that stands, or no way."""
    cuts = 0
    for seed in range(part * 10, part * 10 + 10):
        problem = heaped(seed)
        looked, exact = Search(problem), least_cost(problem)
        plan = looked.run(rounds=ROUNDS)
        cuts += looked.kinds.cuts.count
        assert plan.status is (Status.NO_WAY if exact is None else Status.PROVED)
        assert exact is None or plan.cost == plan.bound == exact
    assert cuts, "none of these houses asks for a cut"


@pytest.mark.parametrize("seed", range(30))
def test_a_cut_forbids_only_what_does_not_stand(seed: int) -> None:
    """Every set a cut forbids, with larger pieces in the stead of those it was learned from or on another floor, really fails."""
    problem = heaped(seed)
    looked = Search(problem)
    looked.run(rounds=ROUNDS)
    kinds = looked.kinds
    members = kinds.members
    for place, walked in product(range(len(problem.places)), (False, True)):
        for cut in kinds.cuts.at(place, walked=walked):
            for counts in product(*(range(len(pieces) + 1) for pieces in members)):
                if cut.broken(kinds.count * 0 + counts):
                    at = [-9] * len(problem.pieces)
                    for pieces, many in zip(members, counts, strict=True):
                        for number in pieces[:many]:
                            at[number] = place
                    assert not fits(problem, place, tuple(at), walked=walked)


def test_the_same_rounds_give_the_same_rectangles() -> None:
    """Twice the same search: the same plan, drawn the same way."""
    problem = heaped(3)
    once, again = solve(problem, rounds=50), solve(problem, rounds=50)
    assert once == again
    assert standing(problem, once) == standing(problem, again)


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_without_the_solver_corners_decide(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver is not installed what corners do not find is not shown, and what is shown stands."""
    monkeypatch.setattr(fitting, "available", lambda: False)
    monkeypatch.setattr(search, "available", lambda: False)
    planned = 0
    for seed in range(12):
        problem = heaped(seed)
        plan = solve(problem, rounds=40)
        exact = least_cost(problem)
        if plan.stages:
            assert exact is not None
            assert exact <= plan.cost
            planned += _stood(problem, plan) > 0
    assert planned >= 6


def _two_ways(*shapes: tuple[int, int], hall: FloorPlan | None = None, **given: object) -> MovingProblem:
    """Return a den reached by a hall or by a porch, with pieces of it that may stand in the hall only."""
    problem = house(*shapes, stores={"porch": FloorPlan(width=40, depth=40)}, hall=hall)
    pieces = tuple(replace(piece, allowed=frozenset({0, 1}), **given) for piece in problem.pieces)  # type: ignore[arg-type]
    return replace(problem, pieces=pieces, ways=(*problem.ways, (2, 0)))


def test_a_cut_for_those_who_walk_through_lets_others_by() -> None:
    """A sofa across the hall: the crew takes the porch, also when it is known already that nobody gets by the sofa."""
    across = FloorPlan(width=60, depth=90, walkways=((Rect(0, 0, 32, 90),),))
    problem = _two_ways(SOFA, hall=across)
    asked = Needs(problem)
    asked.kinds.cuts.add(1, Cut(np.array([[1]]), np.array([1])), walked=True)
    found = asked.stage(Step(worked=1, curing=0))
    assert found is not None
    assert found.counts[0].tolist() == [0, 1, 0]
    (stage,) = standing(problem, solve(problem))
    assert stage.walked == {2}
    without = replace(problem, ways=problem.ways[:-1])
    asked = Needs(without)
    asked.kinds.cuts.add(1, Cut(np.array([[1]]), np.array([1])), walked=True)
    assert asked.stage(Step(worked=1, curing=0)) is None


def test_the_way_drawn_is_one_that_area_lets_through() -> None:
    """A hall heaped beyond its walkway by area: the way drawn leads over the porch, though the hall has the lower number."""
    problem = _two_ways((20, 20), footprint=60)
    hall = replace(problem.places[1], as_passage=50)
    problem = replace(problem, places=(problem.places[0], hall, problem.places[2]))
    (stage,) = standing(problem, solve(problem))
    assert stage.walked == {2}


@pytest.mark.parametrize("seed", range(40))
def test_what_stands_on_a_floor_within_another_stands_there_too(seed: int) -> None:
    """Wherever one floor is said to lie within another, any pieces that fit the first fit the second, chimneys and all."""
    random = Random(seed)

    def floor() -> FloorPlan:
        width, depth = random.choice([30, 40, 50, 60]), random.choice([30, 40, 50, 60])
        corner = Rect(random.choice([0, width - 10]), random.choice([0, depth - 20]), 10, random.choice([10, 20]))
        return FloorPlan(width=width, depth=depth, blocked=(corner,) if random.random() < 0.6 else ())

    for _ in range(40):
        small, large = floor(), floor()
        if _within(small, large):
            every = tuple((random.choice([10, 20, 30, 40]), random.choice([10, 20, 30, 50])) for _ in range(2))
            assert packs(large, every, walked=False) or not packs(small, every, walked=False)


def test_a_floor_turned_lies_within_one_without_a_chimney_only() -> None:
    """30 by 60 lies within 60 by 30 turned; with a chimney in the larger it is not said to."""
    small = FloorPlan(width=30, depth=60)
    assert _within(small, FloorPlan(width=60, depth=30))
    assert not _within(small, FloorPlan(width=60, depth=30, blocked=(Rect(50, 20, 10, 10),)))
    assert not _within(small, FloorPlan(width=60, depth=28))
