"""A judge for all the engine's rules: every stage and every layout of a tiny house, in the plainest way.

It takes the engine's own types and nothing else of it. Dijkstra's search through all states: what is done (and in which
order, where a field asks), what cures, where every piece stands. Rectangles are tried on every point of a coarse grid, which
is complete where all lengths are multiples of `INCHES`: what stands can be pushed left and up until it touches.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import count, product

from crewjobs.engines.moving.fitting import FloorPlan
from crewjobs.engines.moving.model import OUTSIDE, MovingProblem

INCHES = 10
Layout = tuple[int, ...]
Curing = tuple[tuple[int, int], ...]


def least_cost(problem: MovingProblem) -> int | None:
    """Return what the cheapest plan costs, None where there is none."""
    begin = tuple(piece.begins for piece in problem.pieces)
    history: tuple[frozenset[int], ...] = ()
    curing = tuple(sorted((p, n) for p, n in problem.curing if n > 0))
    ticket = count()
    heap = [(0, next(ticket), problem.done, curing, begin, history, not problem.opening)]
    seen = set()
    every = list(product(range(len(problem.places)), repeat=len(problem.pieces)))
    known: dict[object, list[Layout]] = {}
    while heap:
        cost, _, done, curing, at, history, opened = heapq.heappop(heap)
        if done is None:
            return cost
        if (done, curing, at, history, opened) in seen:
            continue
        seen.add((done, curing, at, history, opened))
        if opened and done >= {*problem.sections} and _fields_hold(problem, history):
            home = tuple(piece.home for piece in problem.pieces)
            heapq.heappush(heap, (cost + _carried(problem, at, home), next(ticket), None, (), (), (), True))  # type: ignore[misc]
        for worked, price in _next(problem, done, opened):
            after_curing = [(p, n - 1) for p, n in curing if n > 1]
            after_curing += [(s, problem.places[s].cures) for s in worked if problem.places[s].cures]
            told = (*history, worked) if problem.fields and worked else history
            wet = frozenset(p for p, _ in curing)
            key = done, worked, wet, opened
            if key not in known:
                known[key] = [one for one in every if stands(problem, one, done, worked, wet, opening=not opened)]
            for to in known[key]:
                nights = sum(piece.nights[z] for piece, z in zip(problem.pieces, to, strict=True))
                total = cost + price + _carried(problem, at, to) + nights
                heapq.heappush(heap, (total, next(ticket), done | worked, tuple(sorted(after_curing)), to, told, True))
    return None


def _carried(problem: MovingProblem, at: Layout, to: Layout) -> int:
    return sum(piece.moves[a][b] for piece, a, b in zip(problem.pieces, at, to, strict=True))


def _next(problem: MovingProblem, done: frozenset[int], opened: bool) -> Iterator[tuple[frozenset[int], int]]:
    if not opened:
        yield frozenset(), 0
        return
    yield frozenset(), problem.wait
    for worked in set(problem.sets):
        if worked & done:
            continue
        if all(first in done | worked for first, then in problem.before if then in worked):
            yield worked, problem.setup


def _fields_hold(problem: MovingProblem, history: Sequence[frozenset[int]]) -> bool:
    when = dict.fromkeys(problem.done, -1) | {s: i for i, worked in enumerate(history) for s in worked}
    for field in problem.fields:
        possible = [one for one in field if all(a in problem.done for a, b in one if b in problem.done)] or list(field)
        if not any(all(b in problem.done or when[a] <= when[b] for a, b in one) for one in possible):
            return False
    return True


def stands(
    problem: MovingProblem, at: Layout, done: frozenset[int], worked: frozenset[int], curing: frozenset[int], *,
    opening: bool = False,
) -> bool:  # fmt: skip
    """Return whether a stage with this work can have this layout, rule by rule."""
    empty = worked | curing | {p for s in worked for p in problem.clear.get(s, ())}
    load = [0] * len(problem.places)
    in_before = [0] * len(problem.places)
    for piece, z in zip(problem.pieces, at, strict=True):
        load[z] += piece.footprint
        used = bool(piece.used_by) and piece.used_by <= done
        loose = bool(piece.loose_from) and not piece.loose_from & (done | worked)
        free = z in piece.allowed and z not in empty
        comes = piece.begins == problem.nowhere and not used and not loose
        if opening and not comes:
            if z != piece.begins:
                return False
            in_before[z] += piece.footprint
        elif z == problem.nowhere:
            if not used and not loose:
                return False
        elif used or not free:
            return False
    for z, place in enumerate(problem.places):
        if z != problem.nowhere and load[z] > place.capacity and not (opening and load[z] == in_before[z]):
            return False
    if any(not fits(problem, z, at, walked=False) for z in range(len(problem.places))):
        return False
    if opening:
        return True
    if worked & curing:
        return False
    free = {
        z
        for z, place in enumerate(problem.places)
        if z not in curing and load[z] <= place.as_passage and fits(problem, z, at, walked=True)
    }
    out = worked | curing
    evening = reached(problem, (free - out) | {z for z in worked if not problem.places[z].cures})
    there = evening if problem.lived_in else {*range(len(problem.places))}
    slept = sum(p.bed and z in there and problem.places[z].sleeps for p, z in zip(problem.pieces, at, strict=True))
    if slept < problem.beds:
        return False
    toilets = {z for z, place in enumerate(problem.places) if place.toilet}
    if toilets and not (toilets - out) & there:
        return False
    if not problem.reach - worked <= evening:
        return False
    return worked <= reached(problem, free | worked)


def reached(problem: MovingProblem, passable: set[int] | frozenset[int]) -> set[int]:
    """Return the places to which one comes from outside through places that can be passed."""
    reached, look = {OUTSIDE}, [OUTSIDE]
    while look:
        here = look.pop()
        for a, b in problem.ways:
            for there in ({a, b} - {here}) if here in (a, b) else ():
                if there not in reached:
                    reached.add(there)
                    if there in passable:
                        look.append(there)
    return reached


def fits(problem: MovingProblem, place: int, at: Layout, *, walked: bool) -> bool:
    """Return whether the shapes in a place stand, as they stood or on the floor anew."""
    floor = problem.places[place].floor
    if floor is None or place == problem.nowhere:
        return True
    here = [p for p, z in zip(problem.pieces, at, strict=True) if z == place and p.shape]
    if not walked and (all(p.begins == place for p in here) or all(p.home == place for p in here)):
        return True
    every = tuple(sorted(one for p in here for one in p.shape))
    return packs(floor, every, walked=walked)


@cache
def packs(floor: FloorPlan, every: tuple[tuple[int, int], ...], *, walked: bool) -> bool:
    """Return whether rectangles stand on a floor, tried on every point of the grid."""
    for way in floor.walkways if walked and floor.walkways else ((),):
        taken = [tuple(rect) for rect in (*floor.blocked, *way)]
        if _place(floor, every, taken):
            return True
    return False


def _place(floor: FloorPlan, left: tuple[tuple[int, int], ...], taken: list[tuple[int, ...]]) -> bool:
    if not left:
        return True
    for width, depth in {left[0], left[0][::-1]}:
        for x in range(0, floor.width - width + 1, INCHES):
            for y in range(0, floor.depth - depth + 1, INCHES):
                if all(x >= a + w or a >= x + width or y >= b + d or b >= y + depth for a, b, w, d in taken) and _place(
                    floor, left[1:], [*taken, (x, y, width, depth)]
                ):
                    return True
    return False


def has_plan(problem: MovingProblem) -> bool:
    """Return whether there is any plan: everything can be carried everywhere, so that any layout may follow any."""
    every = list(product(range(len(problem.places)), repeat=len(problem.pieces)))
    begin = (problem.done, tuple(sorted((p, n) for p, n in problem.curing if n > 0)), (), not problem.opening)
    seen, look = {begin}, [begin]
    known: dict[object, bool] = {}
    while look:
        done, curing, history, opened = look.pop()
        if opened and done >= {*problem.sections} and _fields_hold(problem, history):
            return True
        for worked, _ in _next(problem, done, opened):
            wet = frozenset(p for p, _ in curing)
            key = done, worked, wet, opened
            if key not in known:
                known[key] = any(stands(problem, at, done, worked, wet, opening=not opened) for at in every)
            left = [(p, n - 1) for p, n in curing if n > 1]
            left += [(s, problem.places[s].cures) for s in worked if problem.places[s].cures]
            told = (*history, worked) if problem.fields and worked else history
            after = (done | worked, tuple(sorted(left)), told, True)
            if known[key] and after not in seen:
                seen.add(after)
                look.append(after)
    return False
