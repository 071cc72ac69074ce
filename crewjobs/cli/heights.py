"""`crewjobs heights N`: how high the new floors stand, and what they meet: floors, doors, flanges, counters, risers."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap

if TYPE_CHECKING:
    from crewjobs.services.jobs.heights_rows import HeightsView


def arguments(command: ArgumentParser) -> None:
    """Declare the job."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    add_json(command)


def run(args: Namespace) -> int:
    """Print build-ups and what they meet."""
    view = open_office(args).heights(args.number)
    return emit(args, view, lambda: "\n".join(_lines(view)))


def _lines(view: HeightsView) -> Iterator[str]:
    yield wrap(f"Job {view.job}: {view.title}. Heights over the subfloor:", indent="  ", first="")
    yield from (wrap(room, indent="    ", first="  ") for room in view.rooms)
    for title, rows in (
        ("To settle before material is ordered:", [row for row in view.rows if row.look]),
        ("As it should be:", [row for row in view.rows if not row.look]),
    ):
        if rows:
            yield ""
            yield title
            yield from (wrap(f"- {row.sentence}.", indent="    ", first="  ") for row in rows)
    if not view.rows:
        yield ""
        yield "The new floors meet nothing by their height that is known here."
    if view.taken_as:
        yield ""
        yield "Taken as usual, since the job does not say (a tape decides):"
        yield from (wrap(f"- {sentence}", indent="    ", first="  ") for sentence in view.taken_as)
