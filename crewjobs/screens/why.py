"""Why a job is finished when it is, or which promises clash: a panel of sentences that can be scrolled."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Target, heading, paragraph
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.why_rows import WhyJob, WhyView

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen


def ask_why(screen: CrewScreen, job: int | None) -> None:
    """Ask, and show the answer; without a job for all promises, which may take seconds."""
    if job is None:
        screen.status.say("Trying plans: which promises clash, and what can be done …")

    def show(view: WhyView) -> None:
        if job is None:
            screen.status.said = ()
        screen.app.push_screen(WhyDialog(view))

    screen.ask(lambda office: office.why(job), show)


class WhyDialog(Dialog[None]):
    """Only read; Esc or Close closes it."""

    def __init__(self, view: WhyView) -> None:
        super().__init__()
        self._view = view

    def title_text(self) -> str:
        """Which job, or all."""
        job = self._view.job
        return f"Why: {job.job}  {job.title}" if job is not None else "Why: promises"

    def body(self) -> Iterable[Widget]:
        """One sheet that scrolls."""
        yield Sheet(id="why")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Only closing."""
        return (("close", "Close"),)

    def pressed(self, _name: str) -> None:
        """There is nothing else to press."""

    def on_mount(self) -> None:
        """Draw it."""
        self.query_one(Sheet).show(self._draw)

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        return draw_why(self._view, width)


def draw_why(view: WhyView, width: int) -> list[Line]:
    """All sentences, each a paragraph; ways out hang behind an arrow."""
    room = width - 2
    lines = paragraph(view.stale, room, "warn", " ! ") if view.stale else []
    if view.job is not None:
        lines += _job(view.job, room)
    for sentence in view.late:
        lines += [*paragraph(sentence, room, "warn", " "), []]
    for clash in view.clashes:
        lines += [heading("Clash", width), *paragraph(clash.sentence, room, "", " ")]
        for way in clash.ways:
            lines += paragraph(way.sentence, room, "accent", " → ")
        if not clash.ways:
            lines += paragraph("No way out was found in the time there is.", room, "muted", " ")
        lines.append([])
    if view.order is not None:
        lines += [*paragraph(view.order.sentence, room, "accent", " → "), []]
    if view.job is None and not (view.late or view.clashes or view.order):
        lines += paragraph("Every promise holds in this plan.", room, "", " ")
    if view.note:
        lines += paragraph(view.note, room, "muted", " ")
    return lines


def _job(row: WhyJob, room: int) -> list[Line]:
    lines = paragraph(row.sentence, room, "", " ")
    for sentence in row.left_out:
        lines += paragraph(sentence, room, "warn", " ")
    for sentence in row.gives_a_date:
        lines += paragraph(sentence, room, "accent", " → ")
    for sentence in row.promise:
        lines += [[], *paragraph(sentence, room, "" if row.holds else "warn", " ")]
    return [*lines, []]
