"""`crewjobs proposal`: what a better plan saves, and what would move."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.looking import add_seconds, check_seconds, look
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, moment, said, wrap

if TYPE_CHECKING:
    from crewjobs.services.rows import MoveRow, ProposalView


def arguments(command: ArgumentParser) -> None:
    """Declare how long to look and the output."""
    add_seconds(command, "only show what waits")
    add_json(command)


def run(args: Namespace) -> int:
    """Look for a better plan unless one is proposed that knows all that is recorded, and print what waits."""
    check_seconds(args)
    office = open_office(args)
    if args.seconds and not office.proposal_waits():
        done = look(office, args.seconds)
        if (
            not office.proposal_waits()
        ):  # none is better, or nobody has seen the plan in force and this one took its place
            return emit(args, done, lambda: said(done.sentence, done.then))
    view = office.proposal()
    return emit(args, view, lambda: proposal_text(view))


def proposal_text(view: ProposalView) -> str:
    """Return a proposal as text: what it saves, then every visit that moves."""
    head = f"Plan {view.number}, proposed {moment(view.made_at)}, against plan {view.in_force} in force"
    lines = [wrap(head, indent="  ", first="")]
    if view.changed:
        since = "1 change" if view.changed == 1 else f"{view.changed} changes"
        lines.append(
            wrap(f"! {since} since then: accepting looks again whether it still saves this.", indent="  ", first="")
        )
    lines += [
        "",
        "Against the plan in force",
        *(wrap(words, indent="    ", first="  ") for words in view.saves or ("nothing",)),
    ]
    lines += ["", "It moves", *([] if view.moves else ["  nothing"])]
    for job in dict.fromkeys(row.job for row in view.moves):
        mine = [row for row in view.moves if row.job == job]
        told = " (a finish was told)" if any(row.told for row in mine) else ""
        lines.append(wrap(f"job {job} {mine[0].title}{told}", indent="    ", first="  "))
        lines += [wrap(move_words(row), indent="      ", first="    ") for row in mine]
    lines += ["", wrap("`crewjobs accept` takes it; without that the plan in force stays.", indent="  ", first="")]
    return "\n".join(lines)


def move_words(row: MoveRow) -> str:
    """Return where work was and where it goes, then what it is."""
    was = f"{row.was_crew} {moment(row.was)}" if row.was else "no place"
    now = f"{row.crew} {moment(row.now)}" if row.now else "no place"
    if row.was and row.now and row.was_crew == row.crew:
        now = moment(row.now)
    return f"{was} → {now}: {row.what}"
