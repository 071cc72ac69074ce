"""Identical rooms and identical pieces are one thing to decide, not many."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from crewjobs.engines.moving import orders
from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.model import OUTSIDE, MovingProblem, Piece, Place, Status
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.search import Search
from tests.engines.moving.plain import least_cost


def bedrooms(
    rooms: int, *, parts: int = 1, pieces: tuple[int, ...] = (34, 12), store: int = 40, **given: object
) -> MovingProblem:
    """Return identical bedrooms off a hall, whole or in halves, with the same pieces in each, and a store at the end of the hall."""
    hall, shed, count = 0, 1, 2 + rooms * parts
    first = [2 + room * parts for room in range(rooms)]
    places = [
        Place(name="hall", capacity=30, as_passage=20),
        Place(name="shed", capacity=store, as_passage=store - 20),
        *(Place(name="bedroom", capacity=70, as_passage=50, worked=True, sleeps=True) for _ in range(rooms * parts)),
    ]
    room_of = [hall, shed, *(2 + (z - 2) // parts for z in range(2, count))]

    def far(a: int, b: int) -> int:
        if a == b:
            return 0
        return 6 if room_of[a] == room_of[b] else 9 if hall in (a, b) else 14

    made = [
        Piece(
            name="piece", home=home, footprint=size, allowed=frozenset(range(count)), bed=size > 30,
            moves=tuple(tuple(far(a, b) * (1 + size // 20) for b in range(count)) for a in range(count)),
            nights=tuple(0 if room_of[z] == room_of[home] else 3 for z in range(count)),
        )
        for home in first
        for size in pieces
    ]  # fmt: skip
    ways = [(OUTSIDE, hall), (hall, shed), *((hall, one) for one in first)]
    ways += [(one + part, one + part + 1) for one in first for part in range(parts - 1)]
    sets = [frozenset({z}) for z in range(2, count)]
    sets += [frozenset(range(one, one + parts)) for one in first] if parts > 1 else []
    return replace(
        MovingProblem(
            places=tuple(places), pieces=tuple(made), ways=tuple(ways), sets=tuple(sets), setup=60, wait=90, beds=1
        ),
        **given,
    )  # fmt: skip


def _orders_of(problem: MovingProblem) -> int:
    """Return how many orders of stages are looked at, if all are."""
    known = Orders(Kinds(problem))
    count, look = 0, [known.done]
    while look:
        done = look.pop()
        count += done == known.everything
        look += [done | worked for worked in known.sets(done)]
    return count


@pytest.mark.parametrize("rooms", [2, 3, 4, 5])
def test_identical_rooms_have_one_order(rooms: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of all orders of identical rooms one is looked at; without the rule there are as many as the rooms can be ordered."""
    assert _orders_of(bedrooms(rooms)) == 1
    monkeypatch.setattr(orders, "_twins", lambda _: ())
    assert _orders_of(bedrooms(rooms)) == math.factorial(rooms)


def test_identical_rooms_in_halves_are_twins_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two rooms that can be worked whole or in halves: the first is begun first, which halves the orders."""
    house = bedrooms(2, parts=2)
    few = _orders_of(house)
    monkeypatch.setattr(orders, "_twins", lambda _: ())
    assert _orders_of(house) == 2 * few


def test_a_room_that_must_be_reached_is_no_twin() -> None:
    """The toilet is behind one of two identical rooms: they cannot be swapped, and both orders are looked at."""
    first, second = bedrooms(2).sections
    assert _orders_of(replace(bedrooms(2), reach=frozenset({first}))) == 2
    assert _orders_of(replace(bedrooms(2), reach=frozenset({first, second}))) == 1


def _rounds(problem: MovingProblem) -> tuple[int, int]:
    """Return the rounds until a house is proved, and its cost."""
    looked = Search(problem)
    plan = looked.run(rounds=5000)
    assert plan.status is Status.PROVED
    return looked.rounds, plan.cost


def test_twin_rooms_do_not_multiply_the_rounds(monkeypatch: pytest.MonkeyPatch) -> None:
    """By orders alone each further twin costs a stage's worth of rounds; without the rule for twins they multiply."""
    monkeypatch.setattr("crewjobs.engines.moving.search.ANY_ORDER", {})
    found = [_rounds(bedrooms(rooms)) for rooms in (2, 3, 4, 5)]
    rounds = [one for one, _ in found]
    assert all(after - before <= 2 for before, after in pairwise(rounds))
    monkeypatch.setattr(orders, "_twins", lambda _: ())
    without = [_rounds(bedrooms(rooms)) for rooms in (2, 3)]
    assert [cost for _, cost in without] == [cost for _, cost in found[:2]]
    assert without[1][0] > 2 * without[0][0]


def test_twin_rooms_in_halves_need_about_as_many_rounds() -> None:
    """With all the search has, two to five rooms in halves: no more than a few rounds, however many rooms."""
    rounds = [_rounds(bedrooms(rooms, parts=2))[0] for rooms in (2, 3, 4, 5)]
    assert max(rounds) <= min(rounds) + 3


@pytest.mark.parametrize("many", [2, 6])
def test_identical_pieces_are_one_kind(many: int) -> None:
    """Six chairs that are alike are one thing to decide, and need about the rounds of two."""
    few, more = bedrooms(2, pieces=(34, *[3] * 2)), bedrooms(2, pieces=(34, *[3] * many))
    assert Kinds(few).size == Kinds(more).size
    assert _rounds(more)[0] <= 2 * _rounds(few)[0] + 2


@pytest.mark.parametrize("parts", [1, 2])
@pytest.mark.parametrize("store", [15, 35, 60])
def test_twins_cost_what_trying_everything_says(parts: int, store: int) -> None:
    """Looking at one of two mirror images loses nothing: the exact cost, in whole rooms and in halves."""
    house = bedrooms(2, parts=parts, store=store, pieces=(34,) if parts == 2 else (34, 12))
    exact = least_cost(house)
    assert exact is not None
    assert _rounds(house)[1] == exact


def test_what_tells_rooms_apart_makes_them_no_twins() -> None:
    """A cure, a field, a piece that begins elsewhere, cartons for one of them, a floor plan: no twins any more."""
    house = bedrooms(2)
    away = len(house.places)
    cured = (*house.places[:2], replace(house.places[2], cures=1), house.places[3])
    started = (replace(house.pieces[0], start=1), *house.pieces[1:])
    used = (replace(house.pieces[0], used_by=frozenset({3})), *house.pieces[1:])
    shaped = (replace(house.pieces[0], shape=((80, 60),)), *house.pieces[1:])
    for other in (
        replace(house, places=cured),
        replace(house, pieces=started),
        replace(house, pieces=used),
        replace(house, pieces=shaped),
        replace(house, fields=((((2, 3),),),)),
        replace(house, curing=((2, 1),)),
        replace(house, before=((2, 3),)),
        replace(house, clear={2: frozenset({0})}),
    ):
        assert Orders(Kinds(other))._twins == ()
    assert Orders(Kinds(house))._twins
    assert Orders(Kinds(replace(house, fields=((((2, 3),), ((3, 2),)),))))._twins, "either start, and so the same"
    assert away == 4
