"""Houses with one rule given up, as far as is said."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from crewjobs.engines.moving.model import NONE, OUTSIDE, MovingProblem, Piece, Place

Pairs = tuple[tuple[int, int], ...]


def with_store(problem: MovingProblem, size: int, outside: Iterable[int]) -> MovingProblem:
    """Return a house with a store outside of so much floor, for some of its pieces: as far as the farthest place is."""
    number, stored = len(problem.places), frozenset(outside)
    pieces = []
    for i, piece in enumerate(problem.pieces):
        far = max((cost for row in piece.moves for cost in row), default=0)
        pieces.append(
            replace(
                piece,
                allowed=piece.allowed | {number} if i in stored else piece.allowed,
                moves=(*((*row, far) for row in piece.moves), (*(far for _ in piece.moves), 0)),
                nights=(*piece.nights, max(piece.nights, default=0)),
            )
        )
    return replace(
        problem,
        places=(*problem.places, Place(name="", capacity=size, as_passage=-1)),
        pieces=tuple(pieces),
        ways=(*problem.ways, (OUTSIDE, number)),
    )


def stepped_over(problem: MovingProblem, number: int, over: int) -> MovingProblem:
    """Return a house in which the crew steps over what stands in a place, so much more than lets it through."""
    place = problem.places[number]
    floor = replace(place.floor, walkways=()) if place.floor is not None else None
    passed = replace(place, as_passage=place.as_passage + over, floor=floor)
    return replace(problem, places=(*problem.places[:number], passed, *problem.places[number + 1 :]))


def with_pieces(
    problem: MovingProblem, chosen: Sequence[int], allowed: Callable[[Piece], frozenset[int]]
) -> MovingProblem:
    """Return a house in which some pieces may stand in other places."""
    return replace(
        problem,
        pieces=tuple(
            replace(piece, allowed=allowed(piece)) if i in chosen else piece for i, piece in enumerate(problem.pieces)
        ),
    )


def kept_elsewhere(problem: MovingProblem, chosen: Sequence[int]) -> MovingProblem:
    """Return a house in which some of what is used up is on floor or nowhere in it, whichever is better."""
    free = frozenset({problem.nowhere})  # loose from what is never worked: nowhere as long as one likes
    return replace(
        problem,
        pieces=tuple(
            replace(piece, used_by=frozenset(), loose_from=free, allowed=piece.allowed | free) if i in chosen else piece
            for i, piece in enumerate(problem.pieces)
        ),
    )


def cured(problem: MovingProblem, places: Sequence[int], earlier: int) -> MovingProblem:
    """Return a house in which places are walked on so many stages earlier."""
    return replace(
        problem,
        places=tuple(
            replace(place, cures=max(0, place.cures - earlier)) if i in places else place
            for i, place in enumerate(problem.places)
        ),
        curing=tuple((p, max(0, left - earlier) if p in places else left) for p, left in problem.curing),
    )


def hanging(
    problem: MovingProblem,
) -> Iterator[tuple[frozenset[int], MovingProblem, Callable[[int], MovingProblem]]]:
    """Yield what has to be laid in an order: its sections, the house without that order, and with it from another start."""
    for number, field in enumerate(problem.fields):
        pairs = tuple(pair for one in field for pair in one)
        others = (*problem.fields[:number], *problem.fields[number + 1 :])

        def started(start: int, pairs: Pairs = pairs, others: tuple[tuple[Pairs, ...], ...] = others) -> MovingProblem:
            return replace(problem, fields=(*others, (rooted(pairs, start),)))

        yield frozenset(s for pair in pairs for s in pair), replace(problem, fields=others), started
    left = {*problem.before}
    while left:
        sections = {*min(left)}
        while more := {s for pair in left if sections & {*pair} for s in pair} - sections:
            sections |= more
        part = tuple(sorted(pair for pair in left if pair[0] in sections))
        left -= {*part}
        rest = tuple(pair for pair in problem.before if pair not in part)

        def begun(start: int, part: Pairs = part, rest: Pairs = rest) -> MovingProblem:
            return replace(problem, before=(*rest, *rooted(part, start)))

        yield frozenset(sections), replace(problem, before=rest), begun


def rooted(pairs: Sequence[tuple[int, int]], start: int) -> Pairs:
    """Return pairs of neighbors with the one first that is nearer to a start; of equally near neighbors neither."""
    near: dict[int, int] = {start: 0}
    look = [start]
    for here in look:
        for a, b in pairs:
            for there in ({a, b} - {here}) if here in (a, b) else ():
                if there not in near:
                    near[there] = near[here] + 1
                    look.append(there)
    edges = {frozenset(pair) for pair in pairs}
    ordered = [sorted(edge, key=lambda s: (near.get(s, NONE), s)) for edge in edges if len(edge) == 2]
    return tuple(sorted((a, b) for a, b in ordered if near.get(a) != near.get(b)))
