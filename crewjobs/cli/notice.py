"""`crewjobs notice N`: the notice to a customer: what to clear, which days, what is out of use until when."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.page_options import add_page_options, put_out


def arguments(command: ArgumentParser) -> None:
    """Declare the job, and where the page goes."""
    command.add_argument("job", type=int, metavar="N", help="the job's number")
    add_page_options(command)


def run(args: Namespace) -> int:
    """Write or print the page."""
    office = open_office(args)
    then = f"When they are told: `crewjobs told {args.job}` records the day."
    return put_out(args, office, office.notice(args.job, paper=args.paper), then, office.behind(args.job))
