"""What is left of the roll beside and between the drops: the largest pieces, one after the other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.roll_choice import RollPlan

Rest = tuple[int, int, int, int]
"""From the beginning of the roll and from its left edge to the same of the far corner (1/4064 inch)."""
SMALLEST: Final = FOOT
"""Nothing shorter or narrower is kept; ours."""
MOST: Final = 4


def rests_of(plan: RollPlan) -> tuple[Rest, ...]:
    """Return the largest rectangles no drop is cut from, of the whole feet that are bought, none on another."""
    taken: list[Rest] = [(one.at, one.left, one.at + one.drop.length, one.left + one.drop.width) for one in plan.drops]
    whole = plan.feet * FOOT
    found: list[Rest] = []
    while len(found) < MOST:
        best = max(_empty([*taken, *found], whole, plan.roll), key=_area, default=None)
        if best is None:
            break
        found.append(best)
    return tuple(found)


def _empty(taken: list[Rest], length: int, roll: int) -> Iterator[Rest]:
    """Yield, for every strip along the roll between edges of what is taken, the stretches in which nothing of it is taken."""
    edges = sorted({0, roll, *(one[1] for one in taken), *(one[3] for one in taken)})
    for left, right in combinations(edges, 2):
        if right - left < SMALLEST:
            continue
        at = 0
        for start, _, end, _ in [
            *sorted(one for one in taken if one[1] < right and one[3] > left),
            (length, 0, length, 0),
        ]:
            if start - at >= SMALLEST:
                yield at, left, start, right
            at = max(at, end)


def _area(rest: Rest) -> int:
    return (rest[2] - rest[0]) * (rest[3] - rest[1])
