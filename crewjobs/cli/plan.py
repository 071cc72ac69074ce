"""`crewjobs plan`: plan the weeks ahead, then look for a better plan."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from dataclasses import replace

from crewjobs.cli.interrupt import until_interrupted
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused

SECONDS = 2.0
"""How long a better plan is looked for unless told otherwise."""
MOST_SECONDS = 3600.0


def arguments(command: ArgumentParser) -> None:
    """Declare how long to look and the output."""
    command.add_argument(
        "--seconds",
        type=float,
        default=SECONDS,
        metavar="S",
        help=f"look so long for a better plan, Ctrl-C ends it sooner; 0: plan at once only (default: {SECONDS:g})",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Plan all booked jobs, pins and work begun stay; what is better still is proposed, not taken."""
    if not 0 <= args.seconds <= MOST_SECONDS:
        raise Refused(f"--seconds {args.seconds:g}: look 0 to {MOST_SECONDS:g} seconds.")
    office, shows = open_office(args), sys.stderr.isatty()

    def show(done: int, of: int, what: str) -> None:
        _line(f"{done} of {of} {what:<30.30}" if done < of else "")

    done = office.plan(progress=show if shows else None)
    if args.seconds:
        with until_interrupted() as stop:
            watch = (lambda rounds, saves: _line(f"round {rounds}: {saves or 'nothing better yet'}")) if shows else None
            better = office.improve(args.seconds, watch=watch, stop=stop)
        if shows:
            _line("")
        done = replace(done, change=better.change, then=(*done.then, better.sentence, *better.then))
    return emit(args, done, lambda: said(done.sentence, done.then))


def _line(words: str) -> None:
    print(f"\r{words:<60.60}", end="" if words else "\r", file=sys.stderr, flush=True)
