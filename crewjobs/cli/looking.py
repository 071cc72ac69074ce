"""Looking for a better plan for some seconds: the option, the line that tells how far it is, Ctrl-C."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from crewjobs.cli.interrupt import until_interrupted
from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.services.office import Office
    from crewjobs.services.rows import Done

SECONDS = 2.0
"""How long a better plan is looked for unless told otherwise."""
MOST_SECONDS = 3600.0
TAKES = "`crewjobs proposal` lists what moves, `crewjobs accept` takes it; the plan in force stays till then."


def add_seconds(command: ArgumentParser, none: str) -> None:
    """Declare how long to look; `none` says what 0 means."""
    command.add_argument(
        "--seconds",
        type=float,
        default=SECONDS,
        metavar="S",
        help=f"look so long for a better plan, Ctrl-C ends it sooner; 0: {none} (default: {SECONDS:g})",
    )


def check_seconds(args: Namespace) -> None:
    """Check how long is asked for.

    Raises:
        Refused: less than nothing, or more than an hour.
    """
    if not 0 <= args.seconds <= MOST_SECONDS:
        raise Refused(f"--seconds {args.seconds:g}: look 0 to {MOST_SECONDS:g} seconds.")


def look(office: Office, seconds: float, unseen: int | None = None) -> Done:
    """Look for a better plan, to take the place of an `unseen` first one; on a terminal a line tells the rounds and what is saved so far."""
    shows = sys.stderr.isatty()
    watch = (lambda rounds, saves: line(f"round {rounds}: {saves or 'nothing better yet'}")) if shows else None
    with until_interrupted() as stop:
        better = office.improve(seconds, watch=watch, stop=stop, unseen=unseen)
    if shows:
        line("")
    return better


@contextmanager
def watched() -> Iterator[Callable[[str], None] | None]:
    """Give what tells in one line on a terminal how far it is, None elsewhere; the line is gone after."""
    if not sys.stderr.isatty():
        yield None
        return
    try:
        yield line
    finally:
        line("")


def line(words: str) -> None:
    """Show how far it is in one line that the next one overwrites."""
    print(f"\r{words:<60.60}", end="" if words else "\r", file=sys.stderr, flush=True)
