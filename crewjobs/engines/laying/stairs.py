"""Stair steps: joints that move on by the same length row after row, which the eye follows across the floor."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Final

from crewjobs.domain.units import INCH
from crewjobs.engines.laying.model import Problem, Product, Run

ALIKE: Final = INCH
"""Shifts that differ by less look the same (common practice, no source)."""
ROWS: Final = 4
"""Three equal shifts take four rows."""

Window = tuple[int, int, int, int]


def windows(product: Product, runs: Sequence[Run]) -> list[Window]:
    """Return four runs of neighbouring rows, one above the other, wherever three shifts could be equal."""
    rows: dict[tuple[int, int], list[int]] = {}
    for number, run in enumerate(runs):
        if run.length > product.length:
            rows.setdefault((run.field, run.row), []).append(number)
    beyond: dict[int, int] = {}
    for (field, row), members in rows.items():
        for a in members:
            over = {b: _overlap(runs[a], runs[b]) for b in rows.get((field, row + 1), ())}
            if over and max(over.values()) > 0:
                beyond[a] = max(over, key=lambda b: over[b])
    found = []
    for a in beyond:
        chain = [a]
        while len(chain) < ROWS and chain[-1] in beyond:
            chain.append(beyond[chain[-1]])
        if len(chain) == ROWS and any(runs[i].laid is None for i in chain):
            found.append((chain[0], chain[1], chain[2], chain[3]))
    return found


def _overlap(one: Run, other: Run) -> int:
    return min(one.right, other.right) - max(one.left, other.left)


def count_stairs(problem: Problem, starts: Sequence[int]) -> int:
    """Return how many times joints move on by the same length three times in a row."""
    length = problem.product.length
    total = 0
    for window in windows(problem.product, problem.runs):
        at = [problem.runs[i].left + starts[i] for i in window]
        shifts = [b - a for a, b in itertools.pairwise(at)]
        total += all(alike(a, b, length) for a, b in itertools.pairwise(shifts))
    return total


def alike(one: int, other: int, length: int) -> bool:
    """Return whether two shifts look the same, a whole plank more or less being none."""
    return abs((one - other + length // 2) % length - length // 2) < ALIKE
