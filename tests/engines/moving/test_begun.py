"""Each rule by hand at the edge where it begins to bite: what comes and goes, a job begun, cures, dust, toilets, fields."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from crewjobs.engines.moving.any_order import bound_of_any_order
from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.model import HOME, OUTSIDE, MovingPlan, MovingProblem, Piece, Place, Status
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.placing import Placing
from crewjobs.engines.moving.search import solve
from tests import thorough
from tests.engines.moving.plain import least_cost
from tests.engines.moving.tiny import tiny

CARRY, SETUP, WAIT = 5, 60, 90
DEN, LOFT, SHED, AWAY = 0, 1, 2, 3


def _piece(home: int, floor: int = 10, **given: object) -> Piece:
    moves = tuple(tuple(CARRY * (a != b) for b in range(4)) for a in range(4))
    known = {"name": "piece", "allowed": frozenset({DEN, LOFT, SHED}), "moves": moves, "nights": (0, 0, 0, 0)}
    return Piece(home=home, footprint=floor, **(known | given))  # type: ignore[arg-type]


def _cartons(floor: int = 10, *, used_by: set[int], **given: object) -> Piece:
    return _piece(AWAY, floor, start=given.pop("start", AWAY), used_by=frozenset(used_by), **given)


def _house(*pieces: Piece, shed: int = 20, room: int = 40, **given: object) -> MovingProblem:
    """Return a den and a loft to be worked, a shed, and nowhere; each with its own door."""
    places = (
        Place(name="den", capacity=room, as_passage=room - 10, worked=True, sleeps=True),
        Place(name="loft", capacity=room, as_passage=room - 10, worked=True, sleeps=True),
        Place(name="shed", capacity=shed, as_passage=shed),
        Place(name="nowhere", capacity=0, as_passage=-1),
    )
    known = {
        "places": places, "pieces": pieces, "ways": ((OUTSIDE, DEN), (OUTSIDE, LOFT), (OUTSIDE, SHED)),
        "sets": (frozenset({DEN}), frozenset({LOFT})), "setup": SETUP, "wait": WAIT, "nowhere": AWAY,
    }  # fmt: skip
    return MovingProblem(**(known | given))  # type: ignore[arg-type]


def _changed(problem: MovingProblem, place: int, **given: object) -> MovingProblem:
    places = [*problem.places]
    places[place] = replace(places[place], **given)  # type: ignore[arg-type]
    return replace(problem, places=tuple(places))


def _cost(problem: MovingProblem) -> int | None:
    plan = solve(problem, rounds=500)
    assert plan.status in (Status.PROVED, Status.NO_WAY)
    return None if plan.status is Status.NO_WAY else plan.cost


def _worked(plan: MovingPlan) -> list[set[int]]:
    return [{*stage.worked} for stage in plan.stages]


def test_cartons_stand_until_they_are_used() -> None:
    """Carried in before the first stage, on floor through the stage that uses them, and gone in the next."""
    plan = solve(_house(_cartons(used_by={DEN}), before=((DEN, LOFT),)))
    assert _worked(plan) == [{DEN}, {LOFT}]
    assert [at == AWAY for (at,) in (stage.at for stage in plan.stages)] == [False, True]
    assert plan.cost == 2 * SETUP + 2 * CARRY


def test_cartons_for_two_sections_stand_until_the_last_of_them() -> None:
    """Still on floor while the second section that uses them is worked: never nowhere in a stage of work."""
    plan = solve(_house(_cartons(used_by={DEN, LOFT}), before=((DEN, LOFT),)))
    assert all(at != AWAY for (at,) in (stage.at for stage in plan.stages))


def test_cartons_take_floor_from_furniture() -> None:
    """20 of furniture and a shed of 20: with cartons for the loft standing there is no floor when the den comes first."""
    narrow = {"allowed": frozenset({DEN, SHED})}
    boxes = _cartons(5, used_by={LOFT}, allowed=frozenset({SHED}))
    house = _house(_piece(DEN, 20, **narrow), boxes, shed=20)
    assert _worked(solve(house)) == [{LOFT}, {DEN}]
    assert _cost(replace(house, before=((DEN, LOFT),))) is None
    assert _cost(_changed(replace(house, before=((DEN, LOFT),)), SHED, capacity=25)) is not None


def test_a_door_stands_from_when_it_is_taken_off() -> None:
    """Hung while the den is worked, on floor from the loft's stage on; taken off in the first stage, it stands through both."""
    door = _piece(AWAY, 20, start=AWAY, loose_from=frozenset({LOFT}), allowed=frozenset({SHED}))
    furniture = _piece(DEN, 20, allowed=frozenset({DEN, SHED}))
    plan = solve(_house(door, furniture))
    assert _worked(plan) == [{DEN}, {LOFT}]
    assert [stage.at[0] for stage in plan.stages] == [AWAY, SHED]
    assert _cost(_house(door, furniture, before=((LOFT, DEN),))) is None


def test_the_opening_carries_cartons_into_free_floor() -> None:
    """A stage before the first: nothing worked, no setup, furniture as it stands, cartons on floor, doors still hung."""
    door = _piece(AWAY, 5, start=AWAY, loose_from=frozenset({DEN}))
    house = _house(_piece(DEN, 15), _cartons(used_by={DEN, LOFT}), door, opening=True)
    plan = solve(house)
    assert _worked(plan)[0] == set()
    assert plan.stages[0].at[0] == DEN
    assert plan.stages[0].at[1] in (DEN, LOFT, SHED)
    assert plan.stages[0].at[2] == AWAY
    assert len(plan.stages) == 3
    assert plan.cost == _cost(replace(house, opening=False))


def test_the_opening_fills_no_room_beyond_its_floor() -> None:
    """Cartons of 30 find floor only in an empty room of 40; in one with 15 of furniture they do not."""
    narrow = {"allowed": frozenset({LOFT})}
    house = _house(_piece(LOFT, 10), _cartons(30, used_by={DEN}, **narrow), opening=True, sets=(frozenset({DEN}),))
    house = _changed(house, LOFT, worked=False)
    assert _cost(house) is not None
    tight = replace(house, pieces=(_piece(LOFT, 11), house.pieces[1]))
    assert _cost(tight) is None
    assert _cost(replace(tight, opening=False)) is not None, (
        "the furniture can make room in a stage, not in the opening"
    )


def test_an_over_full_room_may_stay_so_in_the_opening_and_takes_nothing() -> None:
    """50 of furniture where 40 are allowed: it stands as it stands, and the cartons go elsewhere."""
    house = _house(_piece(DEN, 50), _cartons(used_by={DEN}), opening=True, shed=50)
    plan = solve(house)
    assert plan.status is Status.PROVED
    assert plan.stages[0].at[0] == DEN
    assert plan.stages[0].at[1] != DEN


@pytest.mark.parametrize("stages", [1, 2, 3])
def test_a_cure_of_several_stages_is_waited_out(stages: int) -> None:
    """The loft's piece may only go to the den, which cures so many stages: as many waits between them."""
    house = _house(_piece(LOFT, allowed=frozenset({DEN, LOFT})), before=((DEN, LOFT),))
    plan = solve(_changed(house, DEN, cures=stages))
    assert _worked(plan) == [{DEN}, *[set()] * stages, {LOFT}]
    assert plan.cost == 2 * SETUP + stages * WAIT + 2 * CARRY


def test_what_cures_now_is_waited_out_first() -> None:
    """The den was glued yesterday and cures two stages more: two waits come first."""
    house = _house(
        _piece(LOFT, allowed=frozenset({DEN, LOFT})), done=frozenset({DEN}), curing=((DEN, 2),), before=((DEN, LOFT),)
    )
    assert _worked(solve(house)) == [set(), set(), {LOFT}]
    assert _cost(house) == SETUP + 2 * WAIT + 2 * CARRY


def test_dust_keeps_a_place_clear_for_one_stage() -> None:
    """While the den is ground nothing stands in the shed: its piece goes to the loft, and the shed's with it."""
    pieces = _piece(DEN, 10), _piece(SHED, 10)
    house = _house(*pieces, sets=(frozenset({DEN}),), clear={DEN: frozenset({SHED})})
    house = _changed(house, LOFT, worked=False)
    plan = solve(house)
    assert plan.stages[0].at == (LOFT, LOFT)
    assert plan.cost == SETUP + 4 * CARRY
    assert _cost(_changed(house, LOFT, capacity=19)) is None


def test_of_two_toilets_one_is_left() -> None:
    """Two toilets: not worked together, and the second not while the first cures; one alone is never worked."""
    both = _changed(_changed(_house(), DEN, toilet=True, cures=1), LOFT, toilet=True)
    both = replace(both, sets=(*both.sets, frozenset({DEN, LOFT})))
    assert _cost(_house(sets=both.sets)) == SETUP, "together, were it not for the toilets"
    assert _worked(solve(both)) == [{LOFT}, {DEN}]
    assert _worked(solve(replace(both, before=((DEN, LOFT),)))) == [{DEN}, set(), {LOFT}]
    assert _cost(_changed(_house(), DEN, toilet=True)) is None


def _field(*pieces: Piece, **given: object) -> MovingProblem:
    """Return den, loft and hall in a row as one field that may grow from either end."""
    house = _house(*pieces, shed=60)
    return replace(
        house,
        places=(*house.places[:2], replace(house.places[2], worked=True, name="hall"), house.places[3]),
        sets=tuple(frozenset({s}) for s in (DEN, LOFT, SHED)),
        fields=((((DEN, LOFT), (LOFT, SHED)), ((SHED, LOFT), (LOFT, DEN))),),
        **given,  # type: ignore[arg-type]
    )


def test_a_field_grows_from_one_end_throughout() -> None:
    """From either end, never from the middle, and never to the middle from both ends."""
    orders = _of_work(_field())
    assert orders == {(DEN, LOFT, SHED), (SHED, LOFT, DEN)}
    assert _worked(solve(_field())) in ([{DEN}, {LOFT}, {SHED}], [{SHED}, {LOFT}, {DEN}])


def test_a_field_begun_goes_on_the_same_way() -> None:
    """The den is laid: the loft comes next, though the other end could have been the start."""
    begun = _field(done=frozenset({DEN}))
    assert _worked(solve(begun)) == [{LOFT}, {SHED}]
    assert _of_work(begun) == {(LOFT, SHED)}


def test_a_field_begun_in_the_middle_is_gone_on_with() -> None:
    """What was done against every alternative is done: what is left may still be worked."""
    assert solve(_field(done=frozenset({LOFT}))).status is Status.PROVED


def _of_work(problem: MovingProblem) -> set[tuple[int, ...]]:
    """Return every order of stages that the engine allows."""
    orders = Orders(Kinds(problem))
    found, look = set(), [((), orders.done, orders.alive)]
    while look:
        worked, done, alive = look.pop()
        if done == orders.everything:
            found.add(worked)
        for step, _, still in orders.following(done, (), alive):
            number = step.worked.bit_length() - 1
            look.append(((*worked, number), done | step.worked, still))
    return found


def test_a_piece_goes_home_from_where_it_stands() -> None:
    """It stands in the shed and is at home in the den: one carry, and none before the den is worked."""
    assert _cost(_house(_piece(DEN, start=SHED))) == 2 * SETUP + CARRY
    assert _cost(_house(_piece(DEN, start=HOME))) == 2 * SETUP + 2 * CARRY


def test_nothing_left_to_work_is_carrying_home() -> None:
    """All sections are done and a piece stands in the shed: a plan without stages, at the cost of the carry."""
    plan = solve(_house(_piece(DEN, start=SHED), done=frozenset({DEN, LOFT})))
    assert plan == MovingPlan(status=Status.PROVED, stages=(), cost=CARRY, bound=CARRY)


def _rest(problem: MovingProblem, plan: MovingPlan, stage: int) -> tuple[MovingProblem, int]:
    """Return the house as it is after so many stages of a plan, and what the rest of the plan costs."""
    orders = Orders(Kinds(problem))
    steps = orders.steps_of([sum(1 << s for s in one.worked) for one in plan.stages])
    lying = orders.lying
    for step in steps[:stage]:
        lying = orders.lying_after(step, lying)
    at = plan.stages[stage - 1].at
    rest = replace(
        problem,
        pieces=tuple(replace(piece, start=z) for piece, z in zip(problem.pieces, at, strict=True)),
        done=problem.done | {s for one in plan.stages[:stage] for s in one.worked},
        curing=lying,
        opening=False,
    )
    cost, here = 0, at
    for one, step in zip(plan.stages[stage:], steps[stage:], strict=True):
        cost += problem.setup if step.worked else problem.wait
        cost += sum(p.moves[a][b] + p.nights[b] for p, a, b in zip(problem.pieces, here, one.at, strict=True))
        here = one.at
    return rest, cost + sum(p.moves[a][p.home] for p, a in zip(problem.pieces, here, strict=True))


@pytest.mark.parametrize("part", range(2))
def test_from_the_middle_the_rest_costs_what_was_planned(part: int) -> None:
    """After every stage of a proved plan, planning from there costs exactly what is left of it: neither more nor less."""
    looked = 0
    for seed in range(part * 15, part * 15 + 15):
        problem = tiny(seed, comes=seed % 2 == 0)
        plan = solve(problem, rounds=3000)
        for stage in range(1, len(plan.stages) + 1):
            rest, cost = _rest(problem, plan, stage)
            left = solve(rest, rounds=3000)
            assert (left.status, left.cost) == (Status.PROVED, cost)
            looked += 1
    assert looked


def _bound(problem: MovingProblem) -> int:
    kinds = Kinds(problem)
    return bound_of_any_order(kinds, Orders(kinds), 10**8, effort=50, stop=lambda: False)


def test_the_bound_of_any_order_knows_what_comes_and_goes() -> None:
    """Cartons that one section uses are on floor in its stage whatever the order: the bound counts their night there."""
    nights = (7, 7, 7, 0)
    house = _house(_cartons(used_by={DEN}, nights=nights), before=((DEN, LOFT),))
    assert _bound(house) == _cost(house) == 2 * SETUP + 2 * CARRY + 7
    door = _house(_piece(AWAY, start=AWAY, loose_from=frozenset({LOFT}), nights=nights), before=((DEN, LOFT),))
    assert _bound(door) == _cost(door) == 2 * SETUP + 2 * CARRY + 7


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
@pytest.mark.parametrize("part", range(2))
def test_no_house_costs_less_than_the_bound_of_any_order(part: int) -> None:
    """Whatever comes and goes, has begun, is done or cures: the exact cost is never below the bound."""
    seen = 0
    for seed in range(part * 20, part * 20 + 20):
        problem = tiny(seed, comes=seed % 4 != 0)
        exact = least_cost(problem)
        if exact is not None:
            assert _bound(problem) <= exact
            seen += 1
    assert seen


def test_pieces_that_differ_in_anything_that_matters_are_not_one_kind() -> None:
    """Where it starts, what it is shaped like, what uses it or takes it off: each tells two pieces apart; a name does not."""
    one = _cartons(used_by={DEN})
    different = [
        {"start": SHED}, {"home": SHED}, {"shape": ((40, 20),)}, {"used_by": frozenset({LOFT})}, {"footprint": 11},
        {"loose_from": frozenset({LOFT})}, {"allowed": frozenset({SHED})}, {"bed": True}, {"nights": (1, 0, 0, 0)},
    ]  # fmt: skip
    for given in different:
        assert Kinds(_house(one, replace(one, **given))).size[0] == 2, given  # type: ignore[arg-type]
    same = [{"name": "other"}, {"unpowered": frozenset({LOFT})}]
    for given in same:
        assert Kinds(_house(one, replace(one, **given))).size[0] == 1, given  # type: ignore[arg-type]
    turned = replace(one, shape=((40, 20), (10, 30))), replace(one, shape=((30, 10), (20, 40)))
    assert Kinds(_house(*turned)).size[0] == 1


def test_a_piece_is_bettered_from_where_it_starts() -> None:
    """From the shed, where it stands, straight home to the den: found from a detour over the loft."""
    kinds = Kinds(_house(_piece(DEN, start=SHED), sets=(frozenset({DEN}), frozenset({LOFT}))))
    placing = Placing(kinds, Orders(kinds).steps_of([1 << DEN, 0]))
    detour = np.array([[LOFT, DEN]], dtype=np.int64)
    assert placing.cost(detour) == 2 * CARRY
    assert placing.cost(placing.bettered(detour)) == CARRY
