"""Printed sheets in words: a line for each, those to be printed again first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.domain.wording import moment_words

if TYPE_CHECKING:
    from crewjobs.services.pages.still_holds import PrintedRow, PrintedView


def lines_of(view: PrintedView) -> Iterator[str]:
    """Yield a line for each sheet: ``!`` before one that says something else by now, ``?`` where that is not known."""
    if not view.sheets:
        yield "No sheet of today or later was printed." if view.past else "No sheet was printed yet."
    yield from map(_line, view.sheets)


def _line(row: PrintedRow) -> str:
    plan = f", plan {row.plan}" if row.plan else ""
    mark = {True: " ", False: "!", None: "?"}[row.holds]
    when = moment_words(row.printed_at)
    return f"{mark} {row.name}, revision {row.revision}{plan} ({row.kind}), printed {when}: {row.words}"
