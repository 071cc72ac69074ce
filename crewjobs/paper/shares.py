"""How wide the columns of a table are: so that it stands as low as it can."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from crewjobs.drawing.columns import display_width
from crewjobs.paper.document import Cell

LEAST: Final = 0.7
"""A column is at least this part of an equal one wide, so that its head and its words have room."""
_STEP: Final = 0.02
_STEPS: Final = 200


def shares_of(rows: Sequence[Sequence[Cell]], across: float) -> tuple[float, ...]:
    """Return how much of the width each column gets, 1 for an equal part, so that the rows together need few lines.

    From equal columns, a step of the width goes from one column to another as long as that saves lines; a row is as high
    as its highest cell.

    Args:
        rows: the cells of each row, all of as many columns.
        across: characters that stand across all columns together.
    """
    count = len(rows[0]) if rows else 0
    widths = [1.0] * count
    lines = [[[display_width(line.text) for line in cell] for cell in row] for row in rows]
    best = _height(lines, widths, across)
    for _ in range(_STEPS):
        found = None
        for giver in range(count):
            for taker in range(count):
                if giver != taker and widths[giver] - _STEP >= LEAST:
                    trial = [*widths]
                    trial[giver], trial[taker] = widths[giver] - _STEP, widths[taker] + _STEP
                    height = _height(lines, trial, across)
                    if height < best:
                        best, found = height, trial
        if found is None:
            break
        widths = found
    return tuple(round(width, 2) for width in widths)


def _height(rows: Sequence[Sequence[Sequence[int]]], widths: Sequence[float], across: float) -> float:
    """Return the lines of all rows, of which each cell has its lines' characters across; a part of a line counts a little, so that a step towards fewer lines is one, too."""
    rooms = [across * width / len(widths) for width in widths]
    return sum(max(map(_lines, row, rooms), default=0.0) for row in rows)


def _lines(cell: Sequence[int], room: float) -> float:
    return sum(0.6 + 0.4 * max(1.0, across / room) + 0.6 * (across // room) for across in cell)
