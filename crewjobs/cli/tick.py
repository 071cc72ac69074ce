"""`crewjobs tick N TASK…`: tick tasks off, say that one has begun, or take a tick back."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import NotWritten, OnHold, Refused

if TYPE_CHECKING:
    from crewjobs.services.rows import Done


def arguments(command: ArgumentParser) -> None:
    """Declare the tasks and the circumstances."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument(
        "tasks", nargs="*", default=[], type=int, metavar="TASK", help="task numbers, as `crewjobs job N` lists them"
    )
    command.add_argument("--phase", help="instead of task numbers: every open task of this phase in one place")
    command.add_argument(
        "--where", action=Named, default="house", help="with --phase: the room, 'room, section' or house"
    )
    command.add_argument(
        "--at", default="", metavar="MOMENT", help="when it was done, in the site's time (default: now)"
    )
    command.add_argument(
        "--because",
        default="",
        metavar="REASON",
        help="the reason of what is done although on hold, or the words a task is ticked only with; they are kept",
    )
    command.add_argument(
        "--take-back", action="store_true", help="the task is not done after all: its tick alone is taken back"
    )
    command.add_argument("--begun", action="store_true", help="the task has begun, it is not done yet")
    command.add_argument("--crew", action=Named, default="", help="with --begun: which crew is on it")
    add_json(command)


def run(args: Namespace) -> int:
    """Tick all that are named or none; of a whole phase what is ticked only with words stays open, which is said."""
    if bool(args.tasks) == bool(args.phase):
        raise Refused("say what to tick: task numbers, or --phase with --where.")
    try:
        done = _record(args)
    except NotWritten as words:
        raise Refused([f"{words.sentences[0]} It is given with --because.", *words.sentences[1:]]) from None
    except OnHold as hold:
        last = hold.sentences[-1].removesuffix(".")
        raise Refused([*hold.sentences[:-1], f"{last} with --because."]) from None
    return emit(args, done, lambda: said(done.sentence, done.then))


def _record(args: Namespace) -> Done:
    office = open_office(args)
    if args.take_back:
        if len(args.tasks) != 1 or args.begun or args.at or args.because:
            raise Refused("--take-back takes one task, and nothing else with it.")
        return office.untick(args.number, args.tasks[0])
    if args.begun:
        if len(args.tasks) != 1:
            raise Refused("--begun takes one task.")
        return office.start(args.number, args.tasks[0], crew=args.crew, at=args.at)
    if args.phase:
        return office.tick_phase(args.number, args.phase, args.where, at=args.at, because=args.because)
    return office.tick(args.number, args.tasks, at=args.at, because=args.because)
