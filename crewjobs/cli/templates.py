"""`crewjobs templates`: the task templates in force."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from itertools import groupby

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, table, wrap


def arguments(command: ArgumentParser) -> None:
    """Declare the output."""
    add_json(command)


def run(args: Namespace) -> int:
    """Print them by phase, with minutes a unit and ft² per man-day."""
    rows = open_office(args).templates()

    def text() -> str:
        parts = []
        for phase, group in groupby(rows, key=lambda row: row.phase):
            lines = [(r.key, r.title, r.minutes, r.pace, "shop" if r.overridden else "book") for r in group]
            parts.append(
                phase.capitalize()
                + "\n"
                + table(["key", "task", "minutes of one person", "pace", "rate"], lines, stretch=(1,))
            )
        note = wrap("Book rates are common practice, no source, until the shop sets its own in the shop file.")
        return "\n\n".join([*parts, note])

    return emit(args, {"templates": rows}, text)
