"""Printing: JSON for programs, aligned text for people, never wider than the terminal."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import textwrap
from collections.abc import Callable, Iterable, Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime, time
from enum import Enum
from pathlib import Path
from unicodedata import east_asian_width

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import JOINERS, named
from crewjobs.domain.wall import hour_words
from crewjobs.paper.directions import unmarked

NARROWEST = 8
"""Columns no cell is cut below."""


def add_json(command: argparse.ArgumentParser) -> None:
    """Give a command its --json."""
    command.add_argument("--json", action="store_true", help="print one JSON object for programs")


def emit(args: argparse.Namespace, value: object, text: Callable[[], str]) -> int:
    """Print a value as JSON if asked for, else its text; return exit code 0."""
    out = json.dumps(plain(value), indent=2, ensure_ascii=False) if args.json else text()
    if sys.stdout is None:  # standard output was closed before the program began
        raise Refused("standard output is closed, so nothing can be printed; what was recorded is kept.")
    try:
        sys.stdout.write(out.rstrip("\n") + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Refused(f"the output cannot be written: {error.strerror}; what was recorded is kept.") from None
    return 0


def plain(value: object) -> object:
    """Return a value as JSON takes it: rows as objects, instants and days in ISO 8601, sets sorted, text without a page's marks."""
    if isinstance(value, str) and not isinstance(value, Enum):
        return unmarked(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, (datetime, date, time)):
        return value.isoformat()
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (frozenset, set)):
        return sorted((plain(item) for item in value), key=str)
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    return value


def day(value: date) -> str:
    """Return a date for a column: ``Tue 03 Mar``."""
    return f"{value:%a %d %b}"


def moment(value: datetime) -> str:
    """Return a wall time for a column: ``Tue 03 Mar 14:00``."""
    return f"{day(value.date())} {hour_words(value)}"


def terminal_width() -> int:
    """Return the columns to print in; into a file or a pipe, as many as a list needs not to be cut."""
    return max(40, min(shutil.get_terminal_size((180, 24)).columns, 180))


def cells(text: str) -> int:
    """Return how many terminal columns a text takes."""
    return sum(2 if east_asian_width(c) in "WF" else 1 for c in text)


def clean(text: str, *, lines: bool = True) -> str:
    """Return a person's text with control and escape characters shown, so that it commands no terminal.

    The two joiners some scripts and signs are spelled with stay; line breaks stay where `lines` says so.
    """
    kept = JOINERS + ("\n" if lines else "")
    return "".join(c if c.isprintable() or c in kept else named(c) for c in text)


def fit(text: str, width: int) -> str:
    """Return a text cut or padded to exactly `width` columns."""
    if cells(text) > width:
        kept = ""
        for c in text:
            if cells(kept) + cells(c) > width - 1:
                break
            kept += c
        text = kept + "…"
    return text + " " * (width - cells(text))


def wrap(text: str, *, indent: str = "", first: str | None = None) -> str:
    """Return a paragraph wrapped to the terminal."""
    lead = indent if first is None else first
    lines = textwrap.wrap(
        clean(text), terminal_width(), initial_indent=lead, subsequent_indent=indent, break_on_hyphens=False
    )
    return "\n".join(lines) or lead.rstrip()


def _stacked(names: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return rows one below the other, where a terminal is too narrow for their columns."""
    lines = []
    for row in rows:
        told = [
            cell if i < 2 else f"{name} {cell}" for i, (name, cell) in enumerate(zip(names, row, strict=True)) if cell
        ]
        lines.append(wrap(" · ".join(told), indent="  ", first=""))
    return "\n".join(lines)


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], *, stretch: Sequence[int]) -> str:
    """Return rows under heads; the columns `stretch` give way, widest first, when the terminal is narrow.

    A column whose head starts with ``>`` stands to the right. Where the columns cannot fit at all, rows are told
    one below the other.
    """
    clean_rows = [[clean(cell) for cell in row] for row in rows]
    names = [head.removeprefix(">") for head in heads]
    widths = [max([cells(name), *(cells(row[i]) for row in clean_rows)]) for i, name in enumerate(names)]
    too_wide = sum(widths) + 2 * (len(widths) - 1) - terminal_width()
    for _ in range(max(0, too_wide)):
        widest = max(stretch, key=lambda i: widths[i])
        widths[widest] = max(NARROWEST, widths[widest] - 1)
    if sum(widths) + 2 * (len(widths) - 1) > terminal_width():
        return _stacked(names, clean_rows)
    right = [head.startswith(">") for head in heads]
    lines = []
    for row in [names, *clean_rows]:
        parts = [
            " " * (widths[i] - cells(cell)) + cell if right[i] and cells(cell) <= widths[i] else fit(cell, widths[i])
            for i, cell in enumerate(row)
        ]
        lines.append("  ".join(parts).rstrip())
    return "\n".join(lines)


def said(sentence: str, then: Sequence[str] = ()) -> str:
    """Return what an action did, and what follows from it, a sentence a line."""
    return "\n".join([wrap(sentence), *(wrap(line, indent="    ", first="  → ") for line in then)])
