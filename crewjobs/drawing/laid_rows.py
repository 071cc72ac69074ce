"""Rows of planks painted with characters, one line a row: joints to scale, cut pieces hatched with their plank's number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.drawing.characters import HATCHES, Run
from crewjobs.drawing.columns import display_width
from crewjobs.drawing.shapes import Fill


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidPiece:
    """A piece from `start` to `end`, in inches from the left of the floor; `mark` stands in it where there is room."""

    start: float
    end: float
    fill: Fill
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidRow:
    """The pieces on one line, from the left; `label` stands before it."""

    label: str
    pieces: tuple[LaidPiece, ...]


_LEAST: Final = 8
Column = Callable[[float], int]


def paint_rows(rows: Sequence[LaidRow], width: int) -> list[list[Run]]:
    """Return one line a row, none wider than `width` columns (at least 12): all to one scale."""
    head = max((display_width(row.label) for row in rows), default=0) + 1
    length = max((piece.end for row in rows for piece in row.pieces), default=0.0)
    columns = max(_LEAST, width - head - 1)

    def column(x: float) -> int:
        return round(x / length * columns) if length else 0

    return [[Run(f"{row.label:>{head - 1}} ", "words"), *_line(row, column)] for row in rows]


def _line(row: LaidRow, column: Column) -> list[Run]:
    found: list[Run] = []
    free, edge = 0, -1  # the next free column, and where the last joint stands
    for piece in row.pieces:
        first, last = column(piece.start), column(piece.end)
        if first > edge:
            found += [Run(" " * (first - free)), Run("│", "wall")]
            free, edge = first + 1, first
        inside = last - free
        if inside < 0:  # shorter than a column: its joint is the one before
            continue
        mark = piece.mark if display_width(piece.mark) <= inside else ""
        hatch, before = HATCHES[piece.fill], (inside - display_width(mark)) // 2
        found += [
            Run(hatch * before, "hatch"),
            Run(mark, "letter"),
            Run(hatch * (inside - before - display_width(mark)), "hatch"),
            Run("│", "wall"),
        ]
        free, edge = last + 1, last
    return [run for run in found if run.text]


def key_of(rows: Sequence[LaidRow]) -> str:
    """Return what the hatches that occur mean, in one line."""
    there = {piece.fill for row in rows for piece in row.pieces}
    return "   ".join(f"{HATCHES[fill]} {fill.value}" for fill in Fill if fill in there and HATCHES[fill] != " ")
