"""`crewjobs printed`: which sheets are out there, and which of them say something else by now."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, clean, emit
from crewjobs.domain.wording import counted, moment_words

if TYPE_CHECKING:
    from crewjobs.services.pages.still_holds import PrintedRow, PrintedView


def arguments(command: ArgumentParser) -> None:
    """Declare whether past ones are told."""
    command.add_argument("--all", action="store_true", help="those of days that are over, too")
    add_json(command)


def run(args: Namespace) -> int:
    """Print one line for each sheet, those to be printed again first."""
    view = open_office(args).printed_sheets(every=args.all)
    return emit(args, view, lambda: "\n".join(_lines(view)))


def _lines(view: PrintedView) -> list[str]:
    lines = [clean(_line(row), lines=False) for row in view.sheets]
    if not lines:
        lines.append("No sheet of today or later was printed." if view.past else "No sheet was printed yet.")
    if view.past:
        lines.append(f"{counted(view.past, 'sheet')} of days that are over: `crewjobs printed --all`.")
    return lines


def _line(row: PrintedRow) -> str:
    plan = f", plan {row.plan}" if row.plan else ""
    mark = {True: " ", False: "!", None: "?"}[row.holds]
    return f"{mark} {row.name}, revision {row.revision}{plan} ({row.kind}), printed {moment_words(row.printed_at)}: {row.words}"
