"""`crewjobs why`: what fixes a job's finish, or which promises clash and what can be done."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said, wrap

if TYPE_CHECKING:
    from crewjobs.services.answers.why_rows import LateRow, WayOutRow, WhyJob, WhyView


def arguments(command: ArgumentParser) -> None:
    """Declare which job."""
    command.add_argument(
        "job", nargs="?", type=int, metavar="N", help="the job's number (default: all promises that do not hold)"
    )
    command.add_argument(
        "--take", default="", metavar="WAY", help="propose the plan behind a way out, as the answer names it: slip-7"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the answer, or take a way out of it."""
    office = open_office(args)
    if args.take:
        done = office.take_way(args.take, args.job)
        then = (
            *done.then,
            "`crewjobs proposal` says what moves, `crewjobs accept` takes it, `crewjobs undo` takes it back.",
        )
        return emit(args, done, lambda: said(done.sentence, then))
    view = office.why(args.job)
    return emit(args, view, lambda: why_text(view))


def why_text(view: WhyView) -> str:
    """Return the answer as text: a sentence a line."""
    lines = [wrap(f"! {view.stale}", indent="  ", first="")] if view.stale else []
    if view.job is not None:
        lines += _job(view.job)
    if view.late_groups:
        lines += [wrap(f"{view.late_sum} `crewjobs why N` says more of one.", indent="  ", first="")]
        for group in view.late_groups:
            lines += [wrap(group.head, indent="    ", first="  ")]
            lines += [wrap(line, indent="      ", first="    ") for line in group.lines]
    lines += [_late(row) for row in view.late if not row.grouped]
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


def _late(row: LateRow) -> str:
    more = f" (`crewjobs why {row.job}` says why)." if row.explained else ""
    return wrap(f"{row.sentence[:-1]}{more}" if more else row.sentence, indent="  ", first="")


def _way(way: WayOutRow) -> str:
    takes = f": `{way.command}` proposes it." if way.command else ""
    return wrap(f"{way.sentence[:-1]}{takes}" if takes else way.sentence, indent="    ", first="  → ")
