"""`crewjobs calendar`: the plan in force as calendar files for crews and customers."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.page_options import warn
from crewjobs.cli.printing import add_json, clean, emit
from crewjobs.domain.wording import counted

if TYPE_CHECKING:
    from crewjobs.services.calendars.calendar_rows import CalendarRow, CalendarsView


def arguments(command: ArgumentParser) -> None:
    """Declare whose calendar, and where it goes."""
    command.add_argument(
        "--crew",
        action=Named,
        default="",
        metavar="CREW",
        help="one crew's calendar, or the small visits of one person",
    )
    command.add_argument("--job", type=int, metavar="N", help="one job's calendar, for its customer")
    command.add_argument(
        "--out",
        type=Path,
        metavar="FILE|FOLDER",
        help="where to write: a folder (default: here), or for one calendar a file that ends in .ics; --json without it only looks",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Write them and say where, and what is other than in those written before."""
    office = open_office(args)
    if args.json and args.out is None:
        view = office.look_at_calendars(crew=args.crew, job=args.job)
    else:
        view = office.calendars(args.out or Path("."), crew=args.crew, job=args.job)
    warn(office.behind(args.job))
    return emit(args, view, lambda: "\n".join(_lines(view)))


def _lines(view: CalendarsView) -> list[str]:
    lines = [clean(_line(row), lines=False) for row in view.calendars if row.file is not None]
    empty = [row.name for row in view.calendars if row.file is None]
    if empty:
        lines.append(clean(f"Nothing to come, no file: {', '.join(empty)}.", lines=False))
    return lines


def _line(row: CalendarRow) -> str:
    changes = [f"{count} {word}" for count, word in ((row.new, "new"), (row.changed, "changed")) if count]
    changes += [f"{row.cancelled} no longer planned"] if row.cancelled else []
    return f"{'Replaced' if row.replaced else 'Wrote'} {row.file} ({row.name}): {counted(row.events, 'event')}, {', '.join(changes) or 'as written before'}."
