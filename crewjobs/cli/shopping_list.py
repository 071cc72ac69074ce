"""`crewjobs shopping-list [N …]`: what is still to be bought, by supplier and by the day it must be in the house."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.page_options import add_page_options, put_out


def arguments(command: ArgumentParser) -> None:
    """Declare for which jobs, and where the page goes."""
    command.add_argument("jobs", nargs="*", default=[], type=int, metavar="N", help="jobs (default: all booked ones)")
    command.add_argument("--week", default="", metavar="DATE", help="only jobs worked in the week that holds this day")
    command.add_argument("--crew", action=Named, default="", metavar="C", help="only jobs that this crew works")
    add_page_options(command)


def run(args: Namespace) -> int:
    """Write or print the list."""
    office = open_office(args)
    week = office.read_day(args.week) if args.week else None
    return put_out(args, office, office.shopping_list(args.jobs, week=week, crew=args.crew, paper=args.paper))
