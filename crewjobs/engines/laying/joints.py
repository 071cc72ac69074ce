"""Joints of neighbouring rows: how far apart they lie, with the joints that are really there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crewjobs.engines.laying.model import Product, Run


def distance(product: Product, one: Run, first: int, other: Run, second: int) -> int | None:
    """Return how near a joint of one run comes to one of the other, given their first pieces; None where one has no joint.

    All joints of a run are whole planks apart, so those nearest are found by one division.
    """
    here, there = joints_in(product, one.length, first), joints_in(product, other.length, second)
    if not here or not there:
        return None
    apart = (other.left + second) - (one.left + first)
    length = product.length
    turns = max(-(here - 1), min(there - 1, -round_half(apart, length)))
    # joint i here and joint j there are apart + (j - i) planks from each other, j - i from -(here - 1) to there - 1
    return abs(apart + turns * length)


def round_half(value: int, by: int) -> int:
    """Return the whole number nearest to value / by."""
    return (2 * value + by) // (2 * by)


def joints_in(product: Product, length: int, first: int) -> int:
    """Return how many joints a run has whose first piece is so long."""
    return 0 if length <= product.length else -(-(length - first) // product.length)


def neighbours(runs: Sequence[Run], product: Product) -> Iterator[tuple[int, int, int]]:
    """Yield pairs of runs (by number) whose joints must keep apart, with the least distance; laid pairs are left out."""
    rows: dict[tuple[int, int], list[int]] = {}
    for number, run in enumerate(runs):
        if run.length > product.length:
            rows.setdefault((run.field, run.row), []).append(number)
    for (field, row), members in sorted(rows.items()):
        for beyond, least in ((1, product.stagger), (2, product.second_row)):
            for a in members:
                for b in rows.get((field, row + beyond), ()):
                    one, other = runs[a], runs[b]
                    if (
                        least
                        and one.left < other.right
                        and other.left < one.right
                        and not (one.laid is not None and other.laid is not None)
                    ):
                        yield a, b, least
