"""`crewjobs waiting`: what is stuck, until when, and whom to call."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, day, emit, moment, wrap
from crewjobs.services.waiting.calls import calls

if TYPE_CHECKING:
    from crewjobs.services.rows import WaitRow

BAR = 12
NO_JOBS = (
    "There are no jobs yet: `crewjobs load FILE` brings one in; `crewjobs demo` shows what a full shop looks like."
)


def arguments(command: ArgumentParser) -> None:
    """Declare the output."""
    add_json(command)


def run(args: Namespace) -> int:
    """Print the list, worst first."""
    office = open_office(args)
    rows = office.waiting()
    none = not rows and not office.has_jobs()
    return emit(args, {"waiting": rows}, lambda: NO_JOBS if none else waiting_text(rows))


def waiting_text(rows: tuple[WaitRow, ...]) -> str:
    """Return the list as text: whom to call first, then of each wait two or three lines."""
    whom = "; ".join(call.words for call in calls(rows))
    first = [wrap(f"CALL TODAY {whom}", indent="    ", first="")] if whom else []
    return "\n".join([*first, *(line for row in rows for line in _lines(row))]) or "Nothing waits."


def _lines(row: WaitRow) -> list[str]:
    when = f"ready {moment(row.ready_at)}" if row.ready_at else "no date"
    if row.minutes_left:
        when += f", {row.minutes_left / 60:.0f} h left"
    if row.ready_at and not row.verified:
        when += f" {row.basis}"
    full = round((row.done or 0) * BAR)
    bar = f" [{'#' * full}{'.' * (BAR - full)}]" if row.done is not None else ""
    begun = row.since and (day(row.since.date()) if row.day_only else moment(row.since))
    since = f"since {begun}, " if begun else ""
    lines = [
        wrap(f"{row.state.value.upper()}{bar} {row.what}", indent="    ", first=""),
        wrap(f"job {row.job} {row.title}: {since}{when}", indent="    "),
    ]
    if row.holding:
        lines.append(wrap(row.holding, indent="      ", first="    "))
    if row.call:
        lines.append(wrap(f"→ {row.call_words}", indent="      ", first="    "))
    return lines
