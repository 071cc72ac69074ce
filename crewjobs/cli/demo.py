"""`crewjobs demo`: the demo shop, planned and on paper, in a scratch database."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from crewjobs.cli.printing import add_json, emit
from crewjobs.cli.waiting import waiting_text
from crewjobs.cli.week import week_text
from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.services.demonstration.demo import DemoReport


def arguments(command: ArgumentParser) -> None:
    """Declare where the demo's database and pages go."""
    command.add_argument(
        "--out", type=Path, metavar="FOLDER", help="where the pages go (default: beside the scratch database)"
    )
    command.add_argument("--no-screens", action="store_true", help="print only, also at a terminal")
    add_json(command)


def run(args: Namespace) -> int:
    """Load, plan, print, and open the screens at a terminal."""
    from crewjobs.services.demonstration.demo import demo_office, run_demo

    if hasattr(args, "now"):
        raise Refused("the demo has a clock of its own: leave --now away.")
    named = getattr(args, "db", None)
    report = run_demo(Path(named) if named is not None else None, args.out)
    emit(args, report, lambda: demo_text(report))
    if not args.json and not args.no_screens and sys.stdin.isatty() and sys.stdout.isatty():
        from crewjobs.cli.opening import show_screens

        return show_screens(lambda: demo_office(report.loaded.database), Path(report.loaded.database))
    return 0


def demo_text(report: DemoReport) -> str:
    """Return what the demo did: what is loaded, what waits, the week, the pages."""
    loaded = report.loaded
    head = (
        f"{loaded.shop}: {loaded.jobs} jobs, {loaded.crews} crews, {loaded.tasks} tasks in {loaded.database}\n"
        f"The demo's clock stands at {loaded.now:%A %d %B %Y, %H:%M} ({loaded.zone})."
    )
    return "\n".join(
        [
            head,
            "\nWAITING",
            waiting_text(report.waiting),
            "\nWEEK",
            week_text(report.planned),
            "\nDAY PLANS",
            *(f"  {path}" for path in report.files),
            "\nLook further with the same database:",
            f"  crewjobs --db {quote(str(loaded.database))} jobs",
        ]
    )
