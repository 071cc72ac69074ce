"""The commands in the order of a job's way through the shop: name and what it does."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from importlib import import_module
from keyword import iskeyword
from typing import Protocol, cast


class Command(Protocol):
    """What a command's module offers."""

    def arguments(self, command: ArgumentParser) -> None:
        """Declare its arguments."""

    def run(self, args: Namespace) -> int:
        """Do it and return the exit code."""
        ...


COMMANDS: tuple[tuple[str, str], ...] = (
    ("demo", "load the demo shop into a scratch database, plan its week, print its pages"),
    ("load", "load job files and the shop file, all of them or none"),
    ("import", "take in a plain list of jobs and customers from a spreadsheet, shown first"),
    ("dump", "print a job, or the shop, as the file that load reads"),
    ("jobs", "list the jobs"),
    ("job", "show one job: phases, tasks, holds, material, change log"),
    ("plan", "plan the weeks ahead for all crews, then look for a better plan"),
    ("proposal", "show what a proposed plan saves and what it moves"),
    ("accept", "take the proposed plan as the plan in force"),
    ("week", "show the plan of a week"),
    ("why", "say what fixes a job's finish, or which promises clash and what can be done"),
    ("what-if", "plan with and without something supposed, side by side; keep nothing"),
    ("when", "say when a floor somebody asks for could be laid, beside all that is planned"),
    ("take-off", "say what a job's floors take: planks, cartons, pad, glue, base and strips"),
    ("heights", "say how high new floors stand and what they meet: floors, doors, flanges, counters, risers"),
    ("layout", "say how a room's planks are laid: rows, cuts in order, what to keep"),
    ("moves", "find a job's furniture stages: which section when, and where everything stands meanwhile"),
    ("furniture", "say in words what stands in a room, or see it"),
    ("pin", "keep a task's block with a crew on a day"),
    ("unpin", "let the planner move a pinned block again"),
    ("waiting", "list what waits for what, since when and until when, worst first"),
    ("ready", "record that a house was asked for being ready, and what was answered"),
    ("ask", "record that somebody else was asked for something, and what it holds"),
    ("promised", "record for when somebody else promises what was asked"),
    ("chased", "record that somebody else was asked again"),
    ("came", "record that what somebody else was asked for is there"),
    ("arrived", "record cartons or goods that came"),
    ("back-ordered", "record for when the supplier promises what has not come"),
    ("reading", "record a reading: air (or a logger's file), boards, subfloor, slab, surface"),
    ("check-lot", "record the check of a lot before its first carton is opened"),
    ("lots", "say which rooms each lot of a material goes into"),
    ("away", "record who is out on a day, lent to another crew, or working by themselves"),
    ("hours", "record other hours of a crew on one day, a day off, or say what they are"),
    ("dry-run", "record a crew sent to a house that was not ready, and see what it can do instead"),
    ("offers", "list ready work that fits a crew for the rest of its day, best first"),
    ("tick", "tick tasks off, or say that one has begun"),
    ("evening", "type a crew's printed sheet back: hours, what is done and how far, findings"),
    ("how-far", "say how far a task under way is: rows, ft², steps or a share"),
    ("found", "record what was found, what it holds and who is asked; take a way on from it"),
    ("undo", "take the last change back"),
    ("amend", "change what was agreed on a job: promise, state, title, days"),
    ("visit", "plan a small visit, or say that it was made or is called off; propose a time for one"),
    ("callback", "book what is to be put right on a finished job as a small job tied to it"),
    ("walk", "record a walk-through with the customer, before or after the work"),
    ("agreed", "record a change order, agreed or only asked"),
    ("money", "record the deposit in, the balance asked, the balance received"),
    ("returned", "record cartons that went back to their supplier"),
    ("told", "record the finish day that a customer was told"),
    ("day-plan", "write the day plan of each crew as PDF and text"),
    ("week-sheet", "write the week for the wall: days down, crews across, waits beside the work they hold"),
    ("notice", "write a customer's notice: what to clear, which days, what is out of use until when"),
    ("house-ready", "write the questions whether a house is ready, to be sent two working days ahead"),
    ("job-record", "write the record of a job for the file: what was laid, who, readings, findings, what was agreed"),
    ("shopping-list", "list what is still to be bought, by supplier and by the day it must be in the house"),
    ("printed", "list the sheets that were printed, and which of them say something else by now"),
    ("calendar", "write the plan in force as calendar files, for crews and customers"),
    ("export", "write jobs, hours or material as a table for a spreadsheet"),
    ("odds", "say with which chance each promise holds in the plan in force, and what drives the risk"),
    ("promise", "say the first day that holds for a job with a chance, given everything planned"),
    ("rates", "say each crew's own pace beside the book's, or hold a job's estimate against its hours"),
    ("templates", "list the task templates with their minutes and paces"),
    ("figure", "answer one question at the truck, such as a dew point, with its unit, rule and source"),
    ("log", "print the change log"),
    ("backup", "copy the database, whole, to a file"),
    ("restore", "put a backup in the place of the database; what stood there is kept beside it"),
    ("check", "say whether the database is whole, as a file and record by record"),
    ("completion", "print the lines that teach a shell to complete commands, options, jobs and crews"),
    ("schema", "print what a command's --json holds, as a JSON Schema"),
)


def module_of(name: str) -> Command:
    """Return the module of a command: it bears the command's name, with a ``_`` where that is a word of Python. Loaded when asked, for one command needs one."""
    module = f"{name}_" if iskeyword(name) else name.replace("-", "_")
    return cast(Command, import_module(f"crewjobs.cli.{module}"))
