"""Why a job is finished when it is, or which promises clash: a panel of sentences that can be scrolled."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from crewjobs.screens.answer import Answer
from crewjobs.screens.drawing import Line, heading, paragraph
from crewjobs.services.why_rows import WhyJob, WhyView

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen


def ask_why(screen: CrewScreen, job: int | None) -> None:
    """Ask, and show the answer; without a job for all promises, which may take seconds."""
    if job is None:
        screen.status.say("Trying plans: which promises clash, and what can be done …")

    def show(view: WhyView) -> None:
        if job is None:
            screen.status.said = ()
        row = view.job
        title = f"Why: {row.job}  {row.title}" if row is not None else "Why: promises"
        screen.app.push_screen(Answer[None](title, partial(draw_why, view)))

    screen.ask(lambda office: office.why(job), show)


def draw_why(view: WhyView, width: int) -> list[Line]:
    """All sentences, each a paragraph; ways out hang behind an arrow."""
    room = width - 2
    lines = paragraph(view.stale, room, "warn", " ! ") if view.stale else []
    if view.job is not None:
        lines += _job(view.job, room)
    for sentence in view.late:
        lines += [*paragraph(sentence, room, "warn", " "), []]
    for way in view.saves:
        lines += [*paragraph(way.sentence, room, "accent", " → "), []]
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
