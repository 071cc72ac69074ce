"""The commands in the order of a job's way through the shop: name, what it does, module."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import Protocol, cast

from crewjobs.cli import (
    amend,
    arrived,
    back_ordered,
    backup,
    check_lot,
    day_plan,
    demo,
    dump,
    how_far,
    job,
    jobs,
    load,
    log,
    lots,
    pin,
    plan,
    templates,
    tick,
    undo,
    unpin,
    waiting,
    week,
)


class Command(Protocol):
    """What a command's module offers."""

    def arguments(self, command: ArgumentParser) -> None:
        """Declare its arguments."""

    def run(self, args: Namespace) -> int:
        """Do it and return the exit code."""
        ...


COMMANDS: tuple[tuple[str, str, Command], ...] = tuple(
    (name, words, cast(Command, module))
    for name, words, module in (
        ("demo", "load the demo shop into a scratch database, plan its week, print its pages", demo),
        ("load", "load job files and the shop file, all of them or none", load),
        ("dump", "print a job as the file that load reads", dump),
        ("jobs", "list the jobs", jobs),
        ("job", "show one job: phases, tasks, holds, material, change log", job),
        ("plan", "plan the weeks ahead for all crews", plan),
        ("week", "show the plan of a week", week),
        ("pin", "keep a task's block with a crew on a day", pin),
        ("unpin", "let the planner move a pinned block again", unpin),
        ("waiting", "list what waits for what, since when and until when, worst first", waiting),
        ("arrived", "record cartons or goods that came", arrived),
        ("back-ordered", "record for when the supplier promises what has not come", back_ordered),
        ("check-lot", "record the check of a lot before its first carton is opened", check_lot),
        ("lots", "say which rooms each lot of a material goes into", lots),
        ("tick", "tick tasks off, or say that one has begun", tick),
        ("how-far", "say how far a task under way is: rows, ft², steps or a share", how_far),
        ("undo", "take the last change back", undo),
        ("amend", "change what was agreed on a job: promise, state, title, days", amend),
        ("day-plan", "write the day plan of each crew as PDF and text", day_plan),
        ("templates", "list the task templates with their minutes and paces", templates),
        ("log", "print the change log", log),
        ("backup", "copy the database, whole, to a file", backup),
    )
)
