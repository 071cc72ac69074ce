"""`crewjobs furniture`: say in words what stands in a room, or see it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare job, room and words."""
    command.add_argument("job", type=int)
    command.add_argument("room", help="such as living, or 'living room'")
    command.add_argument(
        "words",
        nargs="?",
        help="such as 'usual bedroom, 2 bookcase, piano stays, sofa 90 x 38 in', or none; left out: what is said so far",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Change it, or print it in the words that would."""
    office = open_office(args)
    if args.words is None:
        words = office.furniture_of(args.job, args.room)
        return emit(args, {"job": args.job, "room": args.room, "furniture": words}, lambda: words)
    done = office.furnish(args.job, args.room, args.words)
    return emit(args, done, lambda: said(done.sentence, done.then))
