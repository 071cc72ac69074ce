"""`crewjobs house-ready N`: the questions to send two working days ahead, with boxes to answer."""

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
    page = office.ready_questions(args.job, paper=args.paper)
    then = f"When they are asked: `crewjobs ready {args.job} --asked NAME`; their answers: `crewjobs ready {args.job} --all`."
    if page.all_answered:
        then = f"Every question is answered with yes: nothing is to be asked. What changes: `crewjobs ready {args.job} --not-ready ITEM`."
    return put_out(args, office, page, then, office.behind(args.job))
