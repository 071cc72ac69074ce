"""`crewjobs week-sheet [DATE]`: the week for the wall, days down, crews across."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.page_options import add_page_options, put_out


def arguments(command: ArgumentParser) -> None:
    """Declare which week, and where the page goes."""
    command.add_argument("day", nargs="?", default="", metavar="DATE", help="any day of the week (default: this week)")
    add_page_options(command)


def run(args: Namespace) -> int:
    """Write or print the sheet."""
    office = open_office(args)
    day = office.read_day(args.day) if args.day else None
    return put_out(args, office, office.week_sheet(day, paper=args.paper))
