"""`crewjobs heights N`: how high the new floors stand, and what they meet: floors, doors, flanges, counters, risers."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap


def arguments(command: ArgumentParser) -> None:
    """Declare the job."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    add_json(command)


def run(args: Namespace) -> int:
    """Print build-ups and what they meet."""
    from crewjobs.services.jobs.heights_words import lines_of

    view = open_office(args).heights(args.number)
    return emit(
        args, view, lambda: "\n".join(wrap(one.text, indent=one.indent, first=one.first) for one in lines_of(view))
    )
