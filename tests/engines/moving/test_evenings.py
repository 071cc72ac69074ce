"""People at night, by hand: from outside there is a way to the beds they need, and to a toilet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.engines.moving.fitting import FloorPlan, Rect
from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.model import OUTSIDE, MovingPlan, MovingProblem, Piece, Place, Status
from crewjobs.engines.moving.no_way import Rule, WithoutToilet, what_would_open
from crewjobs.engines.moving.search import solve
from crewjobs.engines.moving.stage_rules import hold_stage
from crewjobs.engines.moving.standing import standing
from crewjobs.engines.moving.step import Step
from crewjobs.engines.scheduling.solver import library

CARRY, NIGHT, SETUP, WAIT = 5, 7, 60, 90
HALL, DEN, LOFT, SHED = range(4)


def _piece(home: int, floor: int = 10, **given: object) -> Piece:
    moves = tuple(tuple(CARRY * (a != b) for b in range(4)) for a in range(4))
    known = {"name": "piece", "allowed": frozenset(range(4)), "moves": moves, "nights": (0,) * 4}
    return Piece(home=home, footprint=floor, **(known | given))  # type: ignore[arg-type]


def _bed(home: int, **given: object) -> Piece:
    return _piece(home, bed=True, nights=tuple(NIGHT * (z != home) for z in range(4)), **given)


def _house(*pieces: Piece, worked: tuple[int, ...] = (HALL,), **given: object) -> MovingProblem:
    """Return a den and a loft behind a hall, where people live, and a shed with its own door."""
    sleeps = {DEN, LOFT}
    places = tuple(
        Place(name=name, capacity=40, as_passage=30, worked=number in worked, sleeps=number in sleeps)
        for number, name in enumerate(("hall", "den", "loft", "shed"))
    )
    known = {
        "places": places, "pieces": pieces, "ways": ((OUTSIDE, HALL), (HALL, DEN), (HALL, LOFT), (OUTSIDE, SHED)),
        "sets": tuple(frozenset({s}) for s in worked), "setup": SETUP, "wait": WAIT, "lived_in": True,
        "beds": sum(piece.bed for piece in pieces),
    }  # fmt: skip
    return MovingProblem(**(known | given))  # type: ignore[arg-type]


def _changed(problem: MovingProblem, place: int, **given: object) -> MovingProblem:
    places = [*problem.places]
    places[place] = replace(places[place], **given)  # type: ignore[arg-type]
    return replace(problem, places=tuple(places))


def _solved(problem: MovingProblem) -> MovingPlan:
    plan = solve(problem, rounds=500)
    assert plan.status in (Status.PROVED, Status.NO_WAY)
    return plan


def _cost(problem: MovingProblem) -> int | None:
    plan = _solved(problem)
    return plan.cost if plan.stages else None


def test_a_bed_behind_a_hall_that_cures_is_none() -> None:
    """A hall laid without glue is walked on in the evening; a glued one shuts the beds off, whatever stands elsewhere."""
    dry = _house(_bed(DEN))
    assert _cost(dry) == SETUP
    wet = _changed(dry, HALL, cures=1)
    assert _cost(wet) is None
    assert _cost(replace(wet, beds=0)) == SETUP
    assert _cost(replace(wet, lived_in=False)) == SETUP
    assert _cost(replace(wet, ways=(*wet.ways, (OUTSIDE, DEN)))) == SETUP


def test_a_bed_is_carried_to_where_one_gets() -> None:
    """With a door of its own, the loft is reached over no hall: the bed goes there for the evening."""
    wet = _changed(_house(_bed(DEN)), HALL, cures=1)
    assert _cost(replace(wet, ways=(*wet.ways, (OUTSIDE, LOFT)))) == SETUP + 2 * CARRY + NIGHT


def test_the_hall_still_cures_in_the_next_stage() -> None:
    """The den is worked by another door while the hall cures, and the loft is shut off: the den first, its bed is slept in."""
    wet = _changed(_house(_bed(LOFT), worked=(HALL, DEN)), HALL, cures=1)
    wet = replace(wet, ways=(*wet.ways, (OUTSIDE, DEN)))
    plan = _solved(wet)
    assert plan.cost == 2 * SETUP + 2 * CARRY + NIGHT
    assert [stage.worked for stage in plan.stages] == [{DEN}, {HALL}]
    both = replace(wet, ways=(*wet.ways, (OUTSIDE, LOFT)))
    assert _cost(both) == 2 * SETUP
    assert _cost(replace(both, beds=0, ways=wet.ways)) == 2 * SETUP


@pytest.mark.parametrize("done", [False, True])
def test_cures_from_before_shut_beds_off(done: bool) -> None:
    """A hall cures when a job is gone on with: a night of waiting in the den, and the bed goes home before that is worked."""
    house = _house(_bed(LOFT), worked=(DEN,), ways=((OUTSIDE, HALL), (HALL, LOFT), (OUTSIDE, DEN)))
    wet = replace(house, curing=((HALL, 1),)) if done else house
    assert _cost(wet) == (SETUP + WAIT + 2 * CARRY + NIGHT if done else SETUP)


def test_one_steps_over_nothing_on_the_way_to_bed() -> None:
    """Three boxes are more than leaves a way through the hall: they go to the shed although nothing is worked there."""
    house = _house(_bed(DEN), _piece(HALL, 31), worked=(SHED,))
    assert _cost(replace(house, lived_in=False)) == SETUP
    assert _cost(replace(house, beds=0)) == SETUP
    plan = _solved(house)
    assert plan.cost == SETUP + 2 * CARRY
    assert plan.stages[0].at[1] in (DEN, LOFT)


def test_beds_count_only_where_one_gets() -> None:
    """Of two beds one is needed: the one behind the loft's own door is enough while the hall is shut."""
    wet = _changed(_house(_bed(DEN), _bed(LOFT), beds=1), HALL, cures=1)
    wet = replace(wet, ways=(*wet.ways, (OUTSIDE, LOFT)))
    assert _cost(wet) == SETUP
    assert _cost(replace(wet, beds=2)) == SETUP + 2 * CARRY + NIGHT


def test_a_toilet_behind_what_cures_is_none() -> None:
    """Two toilets, in the den and in the shed: when the shed is worked one must get to the den, and back the same."""
    house = _changed(_changed(_house(worked=(HALL, SHED)), DEN, toilet=True), SHED, toilet=True)
    both = replace(house, sets=(*house.sets, frozenset({HALL, SHED})))
    assert _cost(both) == SETUP
    wet = _changed(both, HALL, cures=1)
    plan = _solved(wet)
    assert plan.cost == 2 * SETUP
    assert [stage.worked for stage in plan.stages] == [{SHED}, {HALL}]
    assert _cost(replace(wet, lived_in=False)) == SETUP


def test_a_place_to_be_reached() -> None:
    """The only toilet is behind the hall: not while it cures, nor while it is heaped; but while it is worked itself."""
    reach = frozenset({DEN})
    assert _cost(_house(reach=reach)) == SETUP
    assert _cost(_changed(_house(reach=reach), HALL, cures=1)) is None
    assert _cost(_changed(_house(reach=reach, ways=((OUTSIDE, HALL), (OUTSIDE, DEN))), HALL, cures=1)) == SETUP
    assert _cost(_house(_piece(HALL, 31), reach=reach, worked=(SHED,))) == SETUP + 2 * CARRY
    itself = _changed(_house(worked=(HALL, DEN), sets=(frozenset({HALL, DEN}),), reach=reach), HALL, cures=1)
    assert _cost(itself) == SETUP


def test_nights_without_a_toilet_open_a_glued_hall() -> None:
    """What opens a house whose only toilet is behind a glued hall: two nights without it (the hall laid last cures on when all is done), or no cure."""
    opened = what_would_open(_changed(_house(reach=frozenset({DEN})), HALL, cures=1))
    assert not opened.undecided
    assert {change.rule for change in opened.changes} == {Rule.TOILET, Rule.CURE}
    toilet = next(change for change in opened.changes if isinstance(change, WithoutToilet))
    assert toilet.stages == 2
    assert toilet.worked == {HALL}


def test_the_way_to_bed_is_free_of_rectangles() -> None:
    """By area one would pass the hall, but not past what stands in it: it is moved on, and the way is drawn."""
    hall = FloorPlan(width=60, depth=90, walkways=((Rect(0, 0, 30, 90),), (Rect(30, 0, 30, 90),)))
    house = _house(_bed(DEN), _piece(HALL, 1, shape=((40, 40),)), worked=(SHED,))
    house = _changed(house, HALL, floor=hall)
    plan = _solved(house)
    assert plan.cost == SETUP + 2 * CARRY
    assert standing(house, plan)[0].walked == {HALL}
    small = replace(house, pieces=(house.pieces[0], _piece(HALL, 1, shape=((30, 40),))))
    assert _cost(small) == SETUP
    assert standing(small, _solved(small))[0].walked == {HALL}
    assert _cost(replace(house, beds=0)) == SETUP


def _fewest_away(problem: MovingProblem) -> int:
    """Return how many pieces a stage's rules want away from home at least while the shed is worked."""
    cp_model, kinds = library(), Kinds(problem)
    model = cp_model.CpModel()
    at = {
        (k, z): model.new_int_var(0, int(count), "")
        for k, count in enumerate(kinds.count)
        for z in range(len(problem.places))
        if z != SHED
    }
    for k, count in enumerate(kinds.count):
        model.add(sum(var for (kind, _), var in at.items() if kind == k) == int(count))
    hold_stage(model, kinds, Step(worked=1 << SHED, curing=0), at, "")
    model.minimize(sum(var for (k, z), var in at.items() if z != kinds.home[k]))
    solver = cp_model.CpSolver()
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def test_a_model_holds_the_way_to_as_many_beds_as_are_needed() -> None:
    """A heap in the hall goes when the den's bed is needed, and stays when the loft's own door is enough."""
    house = _house(_bed(DEN), _bed(LOFT), _piece(HALL, 31), worked=(SHED,))
    house = replace(house, ways=(*house.ways, (OUTSIDE, LOFT)))
    narrow = _changed(house, LOFT, as_passage=5)  # with its bed in it nobody gets through the loft to the hall
    assert _fewest_away(narrow) == 1
    assert _fewest_away(replace(narrow, beds=1)) == 0
    assert _fewest_away(replace(narrow, lived_in=False)) == 0
