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
    """Return one line a row, none wider than `width` columns (at least 12): all to one scale.

    A mark that has no room in its piece stands behind its row, from the left: no cut is without its number.
    """
    head = max((display_width(row.label) for row in rows), default=0) + 1
    length = max((piece.end for row in rows for piece in row.pieces), default=0.0)
    whole = columns = max(_LEAST, width - head - 1)
    lines, beside = _lines(rows, length, columns)
    while (tail := _tail(beside, whole)) > whole - columns and whole - tail >= _LEAST:
        columns = whole - tail  # narrower, it may lose more marks
        lines, beside = _lines(rows, length, columns)
    return [
        [Run(f"{row.label:>{head - 1}} ", "words"), *line, *_behind(line, columns + 1, marks, whole - columns)]
        for row, line, marks in zip(rows, lines, beside, strict=True)
    ]


def _tail(beside: Sequence[Sequence[str]], whole: int) -> int:
    """Return the columns that marks behind their rows are given: a third of the drawing at most."""
    widest = max((sum(display_width(mark) + 1 for mark in marks) for marks in beside), default=0)
    return min(widest, whole // 3)


def _lines(rows: Sequence[LaidRow], length: float, columns: int) -> tuple[list[list[Run]], list[list[str]]]:
    """Return the rows drawn in so many columns, and the marks of each that found no room in it."""

    def column(x: float) -> int:
        return round(x / length * columns) if length else 0

    lines, beside = [], []
    for row in rows:
        line, lost = _line(row, column)
        lines.append(line)
        beside.append(lost)
    return lines, beside


def _behind(line: Sequence[Run], columns: int, marks: Sequence[str], room: int) -> list[Run]:
    """Return the marks that stand behind a row, as many as there is room for."""
    words = ""
    for mark in marks:
        if display_width(words) + display_width(mark) + 1 > room:
            break
        words += f" {mark}"
    blank = columns - sum(display_width(run.text) for run in line)
    return [Run(" " * blank, "words"), Run(words, "letter")] if words else []


def _line(row: LaidRow, column: Column) -> tuple[list[Run], list[str]]:
    found: list[Run] = []
    lost: list[str] = []
    free, edge = 0, -1  # the next free column, and where the last joint stands
    for piece in row.pieces:
        first, last = column(piece.start), column(piece.end)
        if first > edge:
            found += [Run(" " * (first - free)), Run("│", "wall")]
            free, edge = first + 1, first
        inside = last - free
        mark = piece.mark if display_width(piece.mark) <= inside else ""
        lost += [piece.mark] if piece.mark and not mark else []
        if inside < 0:  # shorter than a column: its joint is the one before
            continue
        hatch, before = HATCHES[piece.fill], (inside - display_width(mark)) // 2
        found += [
            Run(hatch * before, "hatch"),
            Run(mark, "letter"),
            Run(hatch * (inside - before - display_width(mark)), "hatch"),
            Run("│", "wall"),
        ]
        free, edge = last + 1, last
    return [run for run in found if run.text], lost


def key_of(rows: Sequence[LaidRow]) -> str:
    """Return what the hatches that occur mean, in one line."""
    there = {piece.fill for row in rows for piece in row.pieces}
    return "   ".join(f"{HATCHES[fill]} {fill.value}" for fill in Fill if fill in there and HATCHES[fill] != " ")
