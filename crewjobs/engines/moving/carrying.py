"""In which order pieces are carried from one stage's places to the next, with something set down on the way where heaps swap.

Stages hold what stands at their ends. Here every piece needs its floor free at the moment it is put down. Where no order
can do that, because two heaps stand in each other's places, the fewest pieces are set down somewhere first and carried on
later; of equally few, those that cost least more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from crewjobs.engines.moving.model import NONE, MovingProblem

MOST_LOOKED_AT = 20_000
"""Sets of pieces already carried that are looked at for one order."""
MOST_SET_DOWN = 3
"""So many pieces are set down on the way at most."""
NEAREST = 4
"""Places to set a piece down that are tried, those that cost least more."""
MOST_TRIED = 400
"""Ways to set so many pieces down that are tried, the cheapest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carry:
    """One piece carried from one place to another; `down` where it is only set down there and carried on later."""

    piece: int
    start: int
    to: int
    down: bool = False


@dataclass(frozen=True, slots=True)
class _Move:
    """A carry with what must be carried before it: the number of another move, or none."""

    carry: Carry
    after: int = -1


def carries(problem: MovingProblem, before: Sequence[int], after: Sequence[int]) -> tuple[Carry, ...] | None:
    """Return the carries between two stages in an order in which each piece finds its floor free.

    `before` and `after` are the places by piece. None where no order was found, even with pieces set down on the way.
    """
    direct = [Carry(piece=i, start=a, to=b) for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b]
    room = [place.capacity for place in problem.places]
    if problem.nowhere != NONE:
        room[problem.nowhere] = sum(piece.footprint for piece in problem.pieces)
    for piece, place in zip(problem.pieces, before, strict=True):
        room[place] -= piece.footprint
    for count in range(MOST_SET_DOWN + 1):
        for moves in _with_set_down(problem, direct, count):
            order = _ordered(problem, moves, room)
            if order is not None:
                return tuple(moves[i].carry for i in order)
    return None


def _with_set_down(problem: MovingProblem, direct: Sequence[Carry], count: int) -> Iterator[list[_Move]]:
    """Yield the carries with so many pieces set down on the way, those first that cost least more."""
    if count == 0:
        yield [_Move(carry) for carry in direct]
        return
    detours: dict[int, list[tuple[int, int]]] = {}
    for i, carry in enumerate(direct):
        piece = problem.pieces[carry.piece]
        costs = piece.moves
        detours[i] = sorted(
            (costs[carry.start][place] + costs[place][carry.to] - costs[carry.start][carry.to], place)
            for place in piece.allowed
            if place not in (carry.start, carry.to, problem.nowhere)
        )
    tried = [
        (sum(cost for cost, _ in places), chosen, tuple(place for _, place in places))
        for chosen in combinations(range(len(direct)), count)
        for places in product(*(detours[i][:NEAREST] for i in chosen))
    ]
    for _, chosen, stops in sorted(tried)[:MOST_TRIED]:
        stop = dict(zip(chosen, stops, strict=True))
        moves: list[_Move] = []
        for i, carry in enumerate(direct):
            if i not in stop:
                moves.append(_Move(carry))
                continue
            moves.append(_Move(Carry(piece=carry.piece, start=carry.start, to=stop[i], down=True)))
            moves.append(_Move(Carry(piece=carry.piece, start=stop[i], to=carry.to), after=len(moves) - 1))
        yield moves


def _ordered(problem: MovingProblem, moves: Sequence[_Move], room: Sequence[int]) -> list[int] | None:
    """Return an order of moves in which each fits where it goes, None where there is none or it was not found.

    What stands where depends on which moves were made, not on their order: a set of them that led nowhere once is not
    tried again. What goes where others wait to go comes last.
    """
    size = [problem.pieces[move.carry.piece].footprint for move in moves]
    wanted = [0] * len(room)
    for i, move in enumerate(moves):
        wanted[move.carry.to] += size[i]
    first = sorted(range(len(moves)), key=lambda i: (-wanted[moves[i].carry.start], wanted[moves[i].carry.to], i))
    dead: set[int] = set()
    free, order = [*room], list[int]()

    def make(done: int) -> bool:
        if len(order) == len(moves):
            return True
        if done in dead or len(dead) > MOST_LOOKED_AT:
            return False
        for i in first:
            carry, needs = moves[i].carry, moves[i].after
            if done >> i & 1 or free[carry.to] < size[i] or (needs >= 0 and not done >> needs & 1):
                continue
            free[carry.to] -= size[i]
            free[carry.start] += size[i]
            order.append(i)
            if make(done | 1 << i):
                return True
            order.pop()
            free[carry.start] -= size[i]
            free[carry.to] += size[i]
        dead.add(done)
        return False

    return order if make(0) else None
