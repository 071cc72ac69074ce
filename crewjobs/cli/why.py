"""`crewjobs why`: what fixes a job's finish, or which promises clash and what can be done."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap

if TYPE_CHECKING:
    from crewjobs.services.why_rows import WayOutRow, WhyJob, WhyView


def arguments(command: ArgumentParser) -> None:
    """Declare which job."""
    command.add_argument(
        "job", nargs="?", type=int, metavar="N", help="the job's number (default: all promises that do not hold)"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the answer."""
    view = open_office(args).why(args.job)
    return emit(args, view, lambda: why_text(view))


def why_text(view: WhyView) -> str:
    """Return the answer as text: a sentence a line."""
    lines = [wrap(f"! {view.stale}", indent="  ", first="")] if view.stale else []
    if view.job is not None:
        lines += _job(view.job)
    lines += [wrap(sentence, indent="  ", first="") for sentence in view.late]
    lines += [_way(way) for way in view.saves]
    for clash in view.clashes:
        lines += ["", wrap(clash.sentence, indent="  ", first="")]
        lines += [_way(way) for way in clash.ways] or ["  No way out was found in the time there is."]
    if view.order is not None:
        lines += ["", _way(view.order)]
    if view.job is None and not (view.late or view.clashes or view.order):
        lines.append("Every promise holds in this plan.")
    if view.note:
        lines.append(wrap(f"({view.note})"))
    return "\n".join(lines).lstrip("\n")


def _job(row: WhyJob) -> list[str]:
    sentences = [row.sentence, *row.left_out, *row.promise]
    lines = [wrap(sentence, indent="  ", first="") for sentence in sentences]
    return [*lines, *(wrap(sentence, indent="    ", first="  → ") for sentence in row.gives_a_date)]


def _way(way: WayOutRow) -> str:
    return wrap(way.sentence, indent="    ", first="  → ")
