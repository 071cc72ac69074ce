"""A proposed plan: what it saves and what it moves, to be accepted or left."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

from crewjobs.screens.answer import Answer
from crewjobs.screens.drawing import Line, heading, paragraph
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.words import instant
from crewjobs.services.rows import Done, MoveRow, ProposalView

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen


def show_proposal(screen: CrewScreen) -> None:
    """Show the plan that is proposed; the screen is told what accepting it did."""

    def accepted(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done), looks=False)

    def show(view: ProposalView) -> None:
        screen.app.push_screen(Proposal(view), accepted)

    screen.ask_to_open(lambda office: office.proposal(), show)


class Proposal(Answer[Done]):
    """Closes with what accepting did."""

    def __init__(self, view: ProposalView) -> None:
        title = f"Plan {view.number} is proposed in the place of plan {view.in_force}"
        super().__init__(title, partial(draw_proposal, view))

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Take it or not."""
        return (("accept", "Accept"), ("close", "Leave"))

    def pressed(self, _name: str) -> None:
        """Accept: looked at again with what is known now."""
        self.save(lambda office: office.accept())


def draw_proposal(view: ProposalView, width: int) -> list[Line]:
    """What it saves, then job by job what moves from where to where."""
    room = width - 2
    lines: list[Line] = []
    if view.changed:
        since = "1 change" if view.changed == 1 else f"{view.changed} changes"
        lines += paragraph(f"{since} since it was made: accepting looks again.", room, "warn", " ! ")
    lines.append(heading("Against the plan in force", width))
    for words in view.saves:
        lines += paragraph(words, room, "accent", " ")
    lines += [[], heading("It moves", width)]
    for job in dict.fromkeys(row.job for row in view.moves):
        mine = [row for row in view.moves if row.job == job]
        lines += paragraph(f"{job}  {mine[0].title}", room, "strong", " ")
        if any(row.told for row in mine):
            lines += paragraph("The customer was told a finish.", room, "warn", " ! ")
        for row in mine:
            lines += paragraph(_move(row), room, "", "   ")
    return lines


def _move(row: MoveRow) -> str:
    was = f"{row.was_crew} {instant(row.was)}" if row.was else "no place"
    now = f"{row.crew} {instant(row.now)}" if row.now else "no place"
    if row.was and row.now and row.was_crew == row.crew:
        now = instant(row.now)
    return f"{was} → {now}: {row.what}"
