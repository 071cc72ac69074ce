"""Spreadsheets in the command palette: a table out into a file, a list of jobs in. What they open is loaded when it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING

from textual.app import SystemCommand

if TYPE_CHECKING:
    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.base import CrewScreen


def spreadsheet_commands(app: CrewApp) -> Iterable[SystemCommand]:
    """Yield what the palette offers."""
    yield SystemCommand("Export to a spreadsheet", "jobs, hours or material as CSV", partial(_ask, app, _export))
    yield SystemCommand(
        "Import a list of jobs", "from a spreadsheet; shown before it is kept", partial(_ask, app, _import)
    )


def _ask(app: CrewApp, ask: Callable[[CrewScreen], None]) -> None:
    if app.front is not None:
        ask(app.front)


def _export(screen: CrewScreen) -> None:
    from crewjobs.screens.export_table import ask_export

    ask_export(screen)


def _import(screen: CrewScreen) -> None:
    from crewjobs.screens.import_list import ask_list

    ask_list(screen)
