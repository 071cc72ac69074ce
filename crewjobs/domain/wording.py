"""Words every sentence of the program shares: days, moments, lists."""

from __future__ import annotations

from collections.abc import Sequence
from contextvars import ContextVar
from datetime import date, datetime
from typing import Final

_READ_IN: Final[ContextVar[int | None]] = ContextVar("_READ_IN", default=None)


def read_in(year: int | None) -> None:
    """Say in which year the words of this thread are read, so that days of other years get theirs; None: no day does."""
    _READ_IN.set(year)


def year_words(day: date) -> str:
    """Return `` 2027`` for a day of another year than the one words are read in; else nothing."""
    here = _READ_IN.get()
    return "" if here is None or here == day.year else f" {day.year}"


def day_words(day: date) -> str:
    """Return a date as ``Tue 3 Mar``, of another year than the one read in as ``Wed 3 Mar 2027``."""
    return f"{day:%a} {day.day} {day:%b}{year_words(day)}"


def dated_words(day: date) -> str:
    """Return a date with its year always, for sentences in which the year may be the fault."""
    return f"{day:%a} {day.day} {day:%b} {day.year}"


def moment_words(moment: datetime) -> str:
    """Return a wall time as ``Tue 3 Mar 14:00``, with the year as `day_words` has it."""
    return f"{day_words(moment.date())} {moment:%H:%M}"


def listed(words: Sequence[str], most: int = 4) -> str:
    """Return ``a, b and c``; of more than `most` the rest is counted; empty for nothing."""
    if not words:
        return ""
    shown = list(words) if len(words) <= most else [*words[: most - 1], f"{len(words) - most + 1} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def upper(words: str) -> str:
    """Return the words with their first letter as a capital."""
    return words[:1].upper() + words[1:]
