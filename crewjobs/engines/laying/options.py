"""What a run may start with: every first piece on the grid, and the end piece and full planks that follow from it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, exact_length, format_length
from crewjobs.engines.laying.model import Product, Run


class Option(NamedTuple):
    """A first piece (its step and length), the full planks after it, and the end piece; 1/4064 inch."""

    step: int
    start: int
    full: int
    end: int


def split(product: Product, length: int, start: int) -> tuple[int, int]:
    """Return the full planks and the end piece that follow a first piece in a run longer than a plank."""
    full, end = divmod(length - start, product.length)
    return (full, end) if end else (full - 1, product.length)


def options(product: Product, length: int) -> list[Option]:
    """Return all first pieces of a run so long (longer than a plank) that leave no piece under the minimum."""
    found = []
    least = -(-product.min_piece // product.step)
    for step in range(max(1, least), product.steps + 1):
        start = product.start_at(step)
        full, end = split(product, length, start)
        if full >= 0 and start >= product.min_piece and end >= product.min_piece:
            found.append(Option(step, start, full, end))
    return found


def check(product: Product, runs: tuple[Run, ...]) -> None:
    """See that every run can be cut at all.

    Raises:
        Refused: a run in which every cut leaves a piece under the minimum, or joints so far apart that every other row's meet.
    """
    for sentence in (*_faults(product, runs), *_in_line(product, runs)):
        raise Refused(sentence)


def _in_line(product: Product, runs: tuple[Run, ...]) -> Iterator[str]:
    """Say that neighbours' joints so far apart bring those of every other row nearer to each other than is allowed.

    In rows of two joints or more, ends flush, joints repeat every plank: those of the next row lie `stagger` to `length - stagger`
    further on, so that those of the next but one come within `length - 2 * stagger`, whichever way one turns.
    """
    if product.length - 2 * product.stagger >= product.second_row:
        return
    flush = {(run.field, run.row, run.left, run.right) for run in runs if run.laid is None}
    for field, row, left, right in sorted(flush):
        if right - left > 2 * product.length and all((field, row + on, left, right) in flush for on in (1, 2)):
            most = (product.length - product.second_row) // 2
            yield (
                f"joints {exact_length(product.stagger)} apart are half a plank or nearly so: those of every other row then lie in line, "
                f"nearer than {exact_length(product.second_row)} to each other (an H pattern); {format_length(most)} is the most."
            )
            return


def _faults(product: Product, runs: tuple[Run, ...]) -> Iterator[str]:
    seen = set()
    for run in runs:
        if run.laid is None and run.length > product.length and run.length not in seen:
            seen.add(run.length)
            if not options(product, run.length):
                lower = max(INCH, (run.length % product.length) // 2)
                yield (
                    f"row {run.row + 1} is {format_length(run.length)} long: no cut keeps both of its ends at "
                    f"{exact_length(product.min_piece)} or more; allow pieces of {format_length(min(lower, product.min_piece))}, "
                    "or turn the rows."
                )
