"""`crewjobs callback N WHAT`: what is to be put right on a finished job, as a small job tied to it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare the finished job, what is to be done, where, how long and by when."""
    command.add_argument("number", type=int, metavar="N", help="the finished job's number")
    command.add_argument("what", metavar="WHAT", help="what is to be done, in a few words")
    command.add_argument(
        "--where", action=Named, default="", metavar="ROOM", help="a room or stairs of that job (default: the house)"
    )
    command.add_argument("--hours", default="", metavar="H", help="labor of one person, such as 1.5 (default: 2)")
    command.add_argument("--people", type=int, default=1, metavar="P", help="how many it takes at once (default: 1)")
    command.add_argument("--wished", default="", metavar="DAY", help="the wished day")
    command.add_argument("--promised", default="", metavar="DAY", help="the promised last day")
    add_json(command)


def run(args: Namespace) -> int:
    """Book it."""
    done = open_office(args).callback(
        args.number,
        args.what,
        where=args.where,
        hours=args.hours,
        people=args.people,
        wished=args.wished,
        promised=args.promised,
    )
    return emit(args, done, lambda: said(done.sentence, done.then))
