"""A layout at once: row by row, each row started with what is at hand, as installers do, and with the rules kept.

`rule_of_thumb` is the usual practice, for comparison: the last usable offcut starts the next row, else a new plank does.
`first_starts` looks a little further: the offcut that fits best, and a start whose end piece can still be paired.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Sequence
from dataclasses import dataclass

from crewjobs.engines.laying.joints import distance, neighbours
from crewjobs.engines.laying.model import Kind, Problem, Run
from crewjobs.engines.laying.options import Option, options
from crewjobs.engines.laying.pairing import Bin, Cut, opened


@dataclass(frozen=True, slots=True)
class Thumb:
    """What the rule of thumb takes: planks opened, whether all joints kept their distance, first pieces and planks cut."""

    planks: int
    kept: bool
    starts: tuple[int, ...]
    bins: tuple[Bin, ...]


class _Placed:
    """The first pieces so far, and which ones the next run may have."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.starts: dict[int, int] = {i: run.laid for i, run in enumerate(problem.runs) if run.laid is not None}
        self.near: dict[int, list[tuple[int, int]]] = {}
        for a, b, least in neighbours(problem.runs, problem.product):
            self.near.setdefault(a, []).append((b, least))
            self.near.setdefault(b, []).append((a, least))

    def too_near(self, i: int, start: int) -> int:
        """Return by how much joints would be too near to the runs settled already."""
        runs, product = self.problem.runs, self.problem.product
        total = 0
        for other, least in self.near.get(i, ()):
            if other in self.starts:
                apart = distance(product, runs[i], start, runs[other], self.starts[other])
                if apart is not None:
                    total += max(0, least - apart)
        return total


def in_order(runs: Sequence[Run]) -> list[int]:
    """Return the open runs as they are laid: field by field, row by row, from the left."""
    found = [i for i, run in enumerate(runs) if run.laid is None]
    return sorted(found, key=lambda i: (runs[i].field, runs[i].row, runs[i].left))


def first_starts(problem: Problem) -> list[int]:
    """Return first pieces for all runs (their lengths), joints apart wherever a start allows it."""
    product = problem.product
    placed = _Placed(problem)
    pool = sorted(one.length for one in problem.offcuts if one.starts)
    ways: dict[int, list[Option]] = {}
    for i in in_order(problem.runs):
        length = problem.runs[i].length
        if length <= product.length:
            placed.starts[i] = length
            at = bisect_left(pool, length)
            if at < len(pool):
                pool.pop(at)
            elif product.length - product.kerf - length > 0:
                insort(pool, product.length - product.kerf - length)
            continue
        found = ways.setdefault(length, options(product, length))
        near = {one.start: placed.too_near(i, one.start) for one in found}
        least = min(near.values())
        allowed = [one for one in found if near[one.start] == least]
        best = min(allowed, key=lambda one: _merit(problem, one, pool))
        at = bisect_left(pool, best.start)
        if at < len(pool):
            pool.pop(at)
        if (rest := product.length - product.kerf - best.end) > 0:
            insort(pool, rest)
        placed.starts[i] = best.start
    return [placed.starts[i] for i in range(len(problem.runs))]


def _merit(problem: Problem, one: Option, pool: list[int]) -> tuple[int, int]:
    """Rank a first piece: new planks it takes less what its end may still give, then what it wastes of an offcut."""
    product = problem.product
    at = bisect_left(pool, one.start)
    fits = at < len(pool)
    rest = product.length - product.kerf - one.end
    gives = rest >= product.min_piece
    planks = one.full + 1 + (not fits) - gives
    return planks, pool[at] - one.start if fits else product.length - one.start


def rule_of_thumb(problem: Problem) -> Thumb:
    """Return what usual practice takes: the last offcut that may start a row does, else the longest piece of a new plank that may.

    Offcuts are trimmed to the grid, not to fit better, and what is left of one is not kept. Where no start keeps all joints apart, the one that comes nearest is
    taken.
    """
    product = problem.product
    placed = _Placed(problem)
    pool = [Bin(one.length + product.kerf, offcut=k) for k, one in enumerate(problem.offcuts) if one.starts]
    used: list[Bin] = []
    whole, kept = 0, True
    ways: dict[int, dict[int, Option]] = {}

    def cut(cut: Cut, taken: int | None) -> None:
        """Cut a piece from an offcut, or from a new plank."""
        one = Bin(product.length + product.kerf) if taken is None else pool.pop(taken)
        if not one.cuts:
            used.append(one)
        one.put(cut, product.kerf)
        if taken is None and one.room > product.kerf and not one.has_start:
            pool.append(one)

    for i in in_order(problem.runs):
        length = problem.runs[i].length
        if length <= product.length:
            placed.starts[i] = length
            whole += length == product.length
            if length < product.length:
                fits = (k for k in reversed(range(len(pool))) if pool[k].room >= length + product.kerf)
                cut(Cut(i, Kind.SINGLE, length), next(fits, None))
            continue
        found = ways.setdefault(length, {one.start: one for one in options(product, length)})
        fits = (k for k in reversed(range(len(pool))) if _usable(placed, i, _trimmed(problem, pool[k]), found))
        taken = next(fits, None)
        if taken is not None:
            best = found[_trimmed(problem, pool[taken])]
        else:
            best = min(found.values(), key=lambda one: (placed.too_near(i, one.start), -one.start))
            kept &= placed.too_near(i, best.start) == 0
        whole += best.full + (best.start == product.length) + (best.end == product.length)
        if best.start < product.length:
            cut(Cut(i, Kind.START, best.start), taken)
        if best.end < product.length:
            cut(Cut(i, Kind.END, best.end), None)
        placed.starts[i] = best.start
    starts = tuple(placed.starts[i] for i in range(len(problem.runs)))
    return Thumb(planks=whole + opened(used), kept=kept, starts=starts, bins=tuple(used))


def _trimmed(problem: Problem, one: Bin) -> int:
    """Return the longest start an offcut gives, on the grid."""
    product = problem.product
    return (one.room - product.kerf) // product.step * product.step


def _usable(placed: _Placed, i: int, length: int, by_start: dict[int, Option]) -> bool:
    return length in by_start and placed.too_near(i, length) == 0
