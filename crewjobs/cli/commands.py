"""The commands in the order of a job's way through the shop: name, what it does, module."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import Protocol, cast

from crewjobs.cli import (
    accept,
    agreed,
    amend,
    arrived,
    ask,
    away,
    back_ordered,
    backup,
    callback,
    came,
    chased,
    check_lot,
    day_plan,
    demo,
    dry_run,
    dump,
    evening,
    how_far,
    job,
    jobs,
    load,
    log,
    lots,
    money,
    offers,
    pin,
    plan,
    promised,
    proposal,
    ready,
    returned,
    templates,
    tick,
    told,
    undo,
    unpin,
    visit,
    waiting,
    walk,
    week,
    what_if,
    when,
    why,
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
        ("plan", "plan the weeks ahead for all crews, then look for a better plan", plan),
        ("proposal", "show what a proposed plan saves and what it moves", proposal),
        ("accept", "take the proposed plan as the plan in force", accept),
        ("week", "show the plan of a week", week),
        ("why", "say what fixes a job's finish, or which promises clash and what can be done", why),
        ("what-if", "plan with and without something supposed, side by side; keep nothing", what_if),
        ("when", "say when a floor somebody asks for could be laid, beside all that is planned", when),
        ("pin", "keep a task's block with a crew on a day", pin),
        ("unpin", "let the planner move a pinned block again", unpin),
        ("waiting", "list what waits for what, since when and until when, worst first", waiting),
        ("ready", "record that a house was asked for being ready, and what was answered", ready),
        ("ask", "record that somebody else was asked for something, and what it holds", ask),
        ("promised", "record for when somebody else promises what was asked", promised),
        ("chased", "record that somebody else was asked again", chased),
        ("came", "record that what somebody else was asked for is there", came),
        ("arrived", "record cartons or goods that came", arrived),
        ("back-ordered", "record for when the supplier promises what has not come", back_ordered),
        ("check-lot", "record the check of a lot before its first carton is opened", check_lot),
        ("lots", "say which rooms each lot of a material goes into", lots),
        ("away", "record who is out on a day, lent to another crew, or working by themselves", away),
        ("dry-run", "record a crew sent to a house that was not ready, and see what it can do instead", dry_run),
        ("offers", "list ready work that fits a crew for the rest of its day, best first", offers),
        ("tick", "tick tasks off, or say that one has begun", tick),
        ("evening", "type a crew's printed sheet back: hours, what is done and how far, findings", evening),
        ("how-far", "say how far a task under way is: rows, ft², steps or a share", how_far),
        ("undo", "take the last change back", undo),
        ("amend", "change what was agreed on a job: promise, state, title, days", amend),
        ("visit", "plan a small visit, or say that it was made or is called off; propose a time for one", visit),
        ("callback", "book what is to be put right on a finished job as a small job tied to it", callback),
        ("walk", "record a walk-through with the customer, before or after the work", walk),
        ("agreed", "record a change order, agreed or only asked", agreed),
        ("money", "record the deposit in, the balance asked, the balance received", money),
        ("returned", "record cartons that went back to their supplier", returned),
        ("told", "record the finish day that a customer was told", told),
        ("day-plan", "write the day plan of each crew as PDF and text", day_plan),
        ("templates", "list the task templates with their minutes and paces", templates),
        ("log", "print the change log", log),
        ("backup", "copy the database, whole, to a file", backup),
    )
)
