"""`crewjobs promise N --odds 90`: the first day that holds with a chance, given everything planned; nothing is kept."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap

if TYPE_CHECKING:
    from crewjobs.services.odds.odds_rows import PromiseView


def arguments(command: ArgumentParser) -> None:
    """Declare the job and the chance."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument(
        "--odds",
        type=float,
        default=90.0,
        metavar="PERCENT",
        help="the chance it is to hold with: 50 to 99 (default: 90)",
    )
    command.add_argument(
        "--ready",
        default="",
        metavar="DAY",
        help="as if what is not ordered, or has no day, were there on this day (of a job not booked yet: tomorrow)",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the day."""
    view = open_office(args).promise(args.number, args.odds, args.ready)
    return emit(args, view, lambda: "\n".join(_lines(view)))


def _lines(view: PromiseView) -> Iterator[str]:
    from crewjobs.cli.odds import driver_lines, taken_lines

    if view.stale:
        yield wrap(f"! {view.stale}", indent="  ", first="")
    yield from (wrap(sentence, indent="  ", first="") for sentence in view.sentences)
    yield from driver_lines(view.drivers, "  ")
    yield wrap(f"From {view.samples} samples; the standard error of that chance is {view.error * 100:.1f} points.")
    yield ""
    yield from taken_lines(view.taken)
