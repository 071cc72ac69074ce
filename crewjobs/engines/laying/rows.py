"""How wide the first row is ripped, and why: fewest rows, fewest slivers, and balanced only where needed."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, exact_length, format_length
from crewjobs.engines.laying.model import Product

SLIVER: Final = INCH
"""A strip narrower than this at a jog tears or splits (common practice, no source)."""
MOST_PRICED: Final = 60
"""First rows whose planks are compared."""

Edges = Sequence[tuple[int, bool]]
"""Walls along the rows: where each is, measured like the depth, and whether the floor lies beyond it."""


class RipReason(StrEnum):
    """Why the first row is as wide as it is. Words for people are made elsewhere."""

    FULL = "a full first row leaves a wide enough last row"
    LAST_TOO_NARROW = "a full first row would leave too narrow a last row"
    SLIVERS = "a full first row would leave slivers at a jog"
    ONE_ROW = "the floor is one row deep"
    ASKED = "asked for"
    LAID = "laid already"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rips:
    """The widths of all rows from the starting wall, why the first is so, and how many slivers jogs leave."""

    widths: tuple[int, ...]
    reason: RipReason
    slivers: int

    @property
    def first(self) -> int:
        """Return the first row's width."""
        return self.widths[0]

    @property
    def last(self) -> int:
        """Return the last row's width."""
        return self.widths[-1]


def widths_of(depth: int, width: int, first: int) -> tuple[int, ...]:
    """Return the row widths where the first is so wide: full rows follow, the last takes the rest."""
    if first >= depth:
        return (depth,)
    full, rest = divmod(depth - first, width)
    return (first, *[width] * full, *([rest] if rest else []))


def choose_rips(
    product: Product,
    depth: int,
    edges: Edges = (),
    *,
    first: int | None = None,
    cost: Callable[[tuple[int, ...]], int] | None = None,
) -> Rips:
    """Return the rows of a floor so deep (1/4064 inch, gap to gap); `first` asks for a first row.

    The last row is never narrower than `Product.least_rip`, nor is the first. Among all first rows those with the fewest rows
    are kept, of these the ones with the fewest slivers; a full first row is taken if it is among them, else the one whose
    narrower rip is widest. Where only slivers speak against a full first row, `cost` (of the row widths) goes before that.

    Raises:
        Refused: the floor is shallower than the narrowest row, or the one asked for breaks a limit.
    """
    limit, width = product.least_rip, product.width
    if depth < limit:
        raise Refused(
            f"the floor is {format_length(depth)} deep, less than the narrowest row of {format_length(limit)}: "
            "lay it with the next room or turn the rows."
        )
    if first is not None:
        return _asked(product, depth, edges, first)
    if depth <= width:
        return Rips(widths=(depth,), reason=RipReason.ONE_ROW, slivers=_slivers((depth,), edges))
    full = widths_of(depth, width, width)
    found = [
        (
            len(widths),
            _slivers(widths, edges),
            widths != full,
            -min(widths[0], widths[-1]),
            abs(widths[0] - widths[-1]),
            widths,
        )
        for widths in _candidates(product, depth, full)
        if widths[0] >= limit and widths[-1] >= limit
    ]
    rows, slivers, *_, widths = min(found)
    if cost is not None and widths != full and full[-1] >= limit and rows == len(full):
        alike = sorted(one for one in found if one[:2] == (rows, slivers))[:MOST_PRICED]
        widths = min(alike, key=lambda one: (cost(one[-1]), one))[-1]
    if widths == full:
        reason = RipReason.FULL
    elif full[-1] < limit or rows < len(full):
        reason = RipReason.LAST_TOO_NARROW
    else:
        reason = RipReason.SLIVERS
    return Rips(widths=widths, reason=reason, slivers=slivers)


def _candidates(product: Product, depth: int, full: tuple[int, ...]) -> Iterable[tuple[int, ...]]:
    """Yield the rows to choose from: every first row on the grid, a full one, and the exactly balanced one."""
    width = product.width
    step = min(product.step, INCH // 8)
    firsts = {width, *range(-(-product.least_rip // step) * step, width + 1, step), product.least_rip}
    rest = depth % width
    firsts |= {(rest + width) // 2, rest} - {0}
    yield full
    for first in sorted(firsts):
        yield widths_of(depth, width, first)


def _asked(product: Product, depth: int, edges: Edges, first: int) -> Rips:
    limit, width = product.least_rip, product.width
    if not limit <= first <= width and first != depth:
        raise Refused(
            f"a first row of {exact_length(max(first, 0))}: between {format_length(limit)} and a full plank, "
            f"{format_length(width)}, is possible."
        )
    widths = widths_of(depth, width, first)
    if widths[-1] < limit:
        best = choose_rips(product, depth, edges)
        raise Refused(
            f"a first row of {format_length(first)} leaves a last row of {format_length(widths[-1])}, under "
            f"{format_length(limit)}: a first row of {format_length(best.first)} leaves {format_length(best.last)}."
        )
    return Rips(widths=widths, reason=RipReason.ASKED, slivers=_slivers(widths, edges))


def _slivers(widths: Sequence[int], edges: Edges) -> int:
    """Count the walls beside which a row would be less than a sliver wide."""
    lines = [0]
    for width in widths:
        lines.append(lines[-1] + width)
    count = 0
    for at, beyond in edges:
        for low, high in itertools.pairwise(lines):
            if low < at < high and (high - at if beyond else at - low) < SLIVER:
                count += 1
    return count
