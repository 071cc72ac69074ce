"""`crewjobs pin N TASK CREW DAY`: the block stays there."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted


def arguments(command: ArgumentParser) -> None:
    """Declare task, crew and day."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("tasks", metavar="TASKS", help="a task of the block, or of several: 5,7,9")
    command.add_argument("crew", metavar="CREW", help="the crew that does it")
    command.add_argument("day", metavar="DAY", help="the day it starts: 2026-03-03, today, tomorrow or a weekday")
    add_json(command)


def run(args: Namespace) -> int:
    """Pin it; the next plan keeps it there or says why it cannot."""
    office = open_office(args)
    numbers = [word.strip() for word in args.tasks.split(",")]
    if not all(word.isdecimal() for word in numbers):
        raise Refused(f"tasks are pinned by their numbers, such as 5 or 5,7,9; {quoted(args.tasks)} is none.")
    done = office.pin(args.number, [int(word) for word in numbers], args.crew, office.read_day(args.day))
    return emit(args, done, lambda: said(done.sentence, done.then))
