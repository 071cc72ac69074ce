"""`crewjobs odds [N]`: the chance that each promise holds in the plan in force, and what drives the risk."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap

if TYPE_CHECKING:
    from crewjobs.services.odds.odds_rows import DriverRow, OddsRow, OddsView


def arguments(command: ArgumentParser) -> None:
    """Declare which job."""
    command.add_argument(
        "job", nargs="?", type=int, metavar="N", help="the job's number (default: every job with a promise)"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the odds."""
    view = open_office(args).odds(args.job)
    return emit(args, view, lambda: "\n".join(_lines(view)))


def _lines(view: OddsView) -> Iterator[str]:
    error = f" (standard error of a chance at most {view.error * 100:.1f} points)" if view.error else ""
    yield wrap(f"Odds of plan {view.plan_number}, from {view.samples} samples{error}:")
    if view.stale:
        yield wrap(f"! {view.stale}", indent="  ", first="")
    for row in view.rows:
        yield from _row(row)
    if not view.rows:
        yield "No booked job with work left has a promise."
    yield ""
    yield from taken_lines(view.taken)


def _row(row: OddsRow) -> Iterator[str]:
    yield wrap(row.sentence, indent="  ", first="")
    if row.days:
        yield wrap(row.days, indent="      ", first="    ")
    yield from driver_lines(row.drivers, "    ")


def driver_lines(drivers: Sequence[DriverRow], indent: str) -> Iterator[str]:
    """Yield what moves a finish, the strongest first."""
    if drivers:
        words = "; ".join(driver.words for driver in drivers)
        yield wrap(f"what moves it most: {words}", indent=f"{indent}  ", first=indent)


def taken_lines(taken: Sequence[str]) -> Iterator[str]:
    """Yield what odds stand on."""
    yield "What this stands on:"
    yield from (wrap(one, indent="    ", first="  - ") for one in taken)
    yield "(Odds change nothing.)"
