"""`crewjobs printed`: which sheets are out there, and which of them say something else by now."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, clean, emit
from crewjobs.domain.wording import counted
from crewjobs.services.pages.printed_words import lines_of

if TYPE_CHECKING:
    from crewjobs.services.pages.still_holds import PrintedView


def arguments(command: ArgumentParser) -> None:
    """Declare whether past ones are told."""
    command.add_argument("--all", action="store_true", help="those of days that are over, too")
    add_json(command)


def run(args: Namespace) -> int:
    """Print one line for each sheet, those to be printed again first."""
    view = open_office(args).printed_sheets(every=args.all)
    return emit(args, view, lambda: "\n".join(clean(line, lines=False) for line in _lines(view)))


def _lines(view: PrintedView) -> Iterator[str]:
    yield from lines_of(view)
    if view.past:
        yield f"{counted(view.past, 'sheet')} of days that are over: `crewjobs printed --all`."
