"""The order of carrying within a stage: every piece finds its floor free, and no more is set down than must be."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import replace
from random import Random

import pytest

from crewjobs.engines.moving.carrying import MOST_SET_DOWN, Carry, carries
from crewjobs.engines.moving.model import MovingProblem, Piece, Place


def _house(capacities: Sequence[int], pieces: Sequence[tuple[int, int]]) -> MovingProblem:
    """Return places of so much floor in a row, and pieces of a footprint with a home; carrying costs the distance."""
    count = len(capacities)
    moves = tuple(tuple(abs(a - b) for b in range(count)) for a in range(count))
    return MovingProblem(
        places=tuple(Place(name=f"place {i}", capacity=size, as_passage=size) for i, size in enumerate(capacities)),
        pieces=tuple(
            Piece(
                name=f"piece {i}", home=home, footprint=size, allowed=frozenset(range(count)), moves=moves,
                nights=(0,) * count,
            )
            for i, (size, home) in enumerate(pieces)
        ),
        ways=tuple((i, i + 1) for i in range(-1, count - 1)),
        sets=(),
    )  # fmt: skip


def _replay(problem: MovingProblem, before: Sequence[int], after: Sequence[int], made: Sequence[Carry]) -> int:
    """Carry piece by piece, hold every place's floor, and return how many were set down on the way."""
    at = list(before)
    for carry in made:
        assert at[carry.piece] == carry.start
        at[carry.piece] = carry.to
        for place, known in enumerate(problem.places):
            assert (
                sum(p.footprint for p, here in zip(problem.pieces, at, strict=True) if here == place) <= known.capacity
            )
    assert at == list(after)
    return sum(carry.down for carry in made)


def _fewest(problem: MovingProblem, before: Sequence[int], after: Sequence[int]) -> int | None:
    """Return the fewest carries more than one for each piece that moves, by looking at every state there is."""
    goal, seen, look = tuple(after), {tuple(before)}, deque([(tuple(before), 0)])
    while look:
        at, count = look.popleft()
        if at == goal:
            return count - sum(a != b for a, b in zip(before, after, strict=True))
        for i, piece in enumerate(problem.pieces):
            for place, known in enumerate(problem.places):
                load = sum(p.footprint for p, here in zip(problem.pieces, at, strict=True) if here == place)
                following = (*at[:i], place, *at[i + 1 :])
                if place != at[i] and load + piece.footprint <= known.capacity and following not in seen:
                    seen.add(following)
                    look.append((following, count + 1))
    return None


def test_two_heaps_that_swap_set_one_down() -> None:
    """A sofa and a table in each other's place with no floor to spare: one goes to the hall first, the nearer way."""
    problem = _house([10, 10, 8], [(10, 0), (8, 1)])
    made = carries(problem, (0, 1), (1, 0))
    assert made is not None
    assert [(carry.piece, carry.start, carry.to, carry.down) for carry in made] == [
        (1, 1, 2, True), (0, 0, 1, False), (1, 2, 0, False),
    ]  # fmt: skip


def test_what_makes_room_goes_first() -> None:
    """Three pieces that follow each other like a train: the last car first, nothing is set down."""
    problem = _house([5, 5, 5, 5], [(5, 0), (5, 1), (5, 2)])
    made = carries(problem, (0, 1, 2), (1, 2, 3))
    assert made is not None
    assert [carry.piece for carry in made] == [2, 1, 0]


def test_where_nothing_has_room_nothing_is_said_to_work() -> None:
    """Two full places and nowhere else: there is no order."""
    assert carries(_house([10, 10], [(10, 0), (10, 1)]), (0, 1), (1, 0)) is None


def test_what_comes_from_nowhere_takes_no_floor_there_and_is_set_down_elsewhere() -> None:
    """Cartons come in after the sofa made room, used ones go out first, and nothing is set down where there is no floor."""
    problem = _house([10, 10, 0], [(10, 0), (10, 2), (10, 1)])
    problem = replace(problem, nowhere=2)
    made = carries(problem, (0, 2, 1), (1, 0, 2))
    assert made is not None
    assert [(carry.piece, carry.to) for carry in made] == [(2, 2), (0, 1), (1, 0)]
    assert carries(problem, (0, 2, 1), (1, 2, 0)) is None


@pytest.mark.parametrize("seed", range(150))
def test_no_more_is_set_down_than_must_be(seed: int) -> None:
    """Small houses packed tight: each order holds the floor at every moment, with as few set down as any order needs.

    Held to a search through every state, which may set one piece down more than once.
    """
    random = Random(seed)
    count = random.randint(3, 4)
    pieces = [(random.randint(2, 6), random.randrange(count)) for _ in range(random.randint(2, 5))]
    after = [random.randrange(count) for _ in pieces]
    tight = [
        max(
            sum(s for s, h in pieces if h == place),
            sum(s for (s, _), a in zip(pieces, after, strict=True) if a == place),
        )
        for place in range(count)
    ]
    problem = _house([size + random.choice((0, 0, 1, 3, 6)) for size in tight], pieces)
    before = [home for _, home in pieces]
    made, fewest = carries(problem, before, after), _fewest(problem, before, after)
    if made is None:
        assert fewest is None or fewest > 1, "rare: pieces that have to be set down twice, or more than a few of them"
    else:
        assert fewest is not None
        assert fewest <= _replay(problem, before, after, made) <= MOST_SET_DOWN
        if fewest <= 1:
            assert _replay(problem, before, after, made) == fewest
