"""`crewjobs accept`: take the proposed plan."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the output."""
    add_json(command)


def run(args: Namespace) -> int:
    """Take it, repaired to what is known now, if it still is better than the plan in force."""
    done = open_office(args).accept()
    return emit(args, done, lambda: said(done.sentence, done.then))
