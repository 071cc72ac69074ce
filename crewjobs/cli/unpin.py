"""`crewjobs unpin N TASK`: the planner may move the block again."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the task."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("task", type=int, metavar="TASK", help="the pinned task")
    add_json(command)


def run(args: Namespace) -> int:
    """Take the pin out."""
    done = open_office(args).unpin(args.number, [args.task])
    return emit(args, done, lambda: said(done.sentence, done.then))
