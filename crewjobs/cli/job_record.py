"""`crewjobs job-record N`: the record of a job for the file."""

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
    return put_out(args, office, office.job_record(args.job, paper=args.paper), behind=office.behind(args.job))
