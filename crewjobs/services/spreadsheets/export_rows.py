"""What goes into a spreadsheet: a table with plain column names, one fact a column."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, Generic, TypeVar

from crewjobs.files.csv_text import Cell

WHAT: Final = ("jobs", "hours", "material")
"""What can be exported."""
Row = TypeVar("Row")
Columns = Sequence[tuple[str, Callable[[Row], Cell]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportTable:
    """A table as a spreadsheet takes it: names of columns with their unit in brackets, days as 2026-03-02, times as 14:30.

    Times are wall times of the zone in the row's column `zone`.
    """

    what: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str | int | float | None, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """From a day to a day, both among them; None where there is no bound."""

    since: date | None = None
    until: date | None = None

    def has(self, day: date | None) -> bool:
        """Return whether a day is among them."""
        return (
            day is not None and (self.since is None or day >= self.since) and (self.until is None or day <= self.until)
        )

    @property
    def all(self) -> bool:
        """Return whether there is no bound."""
        return self.since is None and self.until is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table(Generic[Row]):
    """Columns, each with what it says of a row."""

    what: str
    columns: Columns[Row]

    def of(self, rows: Sequence[Row]) -> ExportTable:
        """Return the table of some rows."""
        return ExportTable(
            what=self.what,
            columns=tuple(name for name, _ in self.columns),
            rows=tuple(tuple(cell(row) for _, cell in self.columns) for row in rows),
        )


def day_cell(day: date | None) -> str | None:
    """Return a day as 2026-03-02."""
    return day.isoformat() if day is not None else None


def yes(value: bool) -> str:
    """Return yes or no, which every spreadsheet takes as text."""
    return "yes" if value else "no"
