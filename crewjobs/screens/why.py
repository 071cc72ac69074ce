"""Why a job is finished when it is, or which promises clash: a panel of sentences that can be scrolled."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

from crewjobs.screens.answer import Answer
from crewjobs.screens.choose import Choose
from crewjobs.screens.drawing import Line, heading, paragraph
from crewjobs.screens.outcome import Outcome
from crewjobs.services.answers.why_rows import WayOutRow, WhyJob, WhyView
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen


def ask_why(screen: CrewScreen, job: int | None) -> None:
    """Ask, and show the answer; without a job for all promises, which may take seconds."""

    def show(view: WhyView) -> None:
        row = view.job
        title = f"Why: {row.job}  {row.title}" if row is not None else "Why: promises"
        screen.app.push_screen(Why(title, view), taken)

    def taken(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done), looks=False)

    if job is None:
        what = "which promises clash, and what can be done"
        screen.crew_app.find_out(what, lambda office, stop: office.why(None, stop=stop), show)
    else:
        screen.ask_to_open(lambda office: office.why(job), show)


class Why(Answer[Done]):
    """Closes with what taking a way out did: its plan is proposed."""

    def __init__(self, title: str, view: WhyView) -> None:
        super().__init__(title, partial(draw_why, view))
        self._about = view.job.job if view.job is not None else None
        self._ways = [way for way in ways_of(view) if way.name]

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Take a way out where there is one, or close."""
        return (*((("take", "Take a way out"),) if self._ways else ()), ("close", "Close"))

    def pressed(self, _name: str) -> None:
        """Ask which way; the very plan that was shown is proposed."""

        def chosen(name: object) -> None:
            if isinstance(name, str) and name in {way.name for way in self._ways}:
                self.save(lambda office: office.take_way(name, self._about))

        options = [(way.name, way.sentence) for way in self._ways]
        self.app.push_screen(Choose("Which way out? Its plan is proposed, to be accepted or left.", options), chosen)


def ways_of(view: WhyView) -> tuple[WayOutRow, ...]:
    """Return all ways out of an answer, in the order in which they are shown."""
    order = (view.order,) if view.order is not None else ()
    return (*view.saves, *(way for clash in view.clashes for way in clash.ways), *order)


def draw_why(view: WhyView, width: int) -> list[Line]:
    """All sentences, each a paragraph; ways out hang behind an arrow."""
    room = width - 2
    lines = paragraph(view.stale, room, "warn", " ! ") if view.stale else []
    if view.job is not None:
        lines += _job(view.job, room)
    if view.late_groups:
        lines += [*paragraph(view.late_sum, room, "warn", " "), []]
    for group in view.late_groups:
        lines += paragraph(group.head, room, "strong", " ")
        for words in group.lines:
            lines += paragraph(words, room, "", " · ")
        lines.append([])
    for row in view.late:
        lines += [] if row.grouped else [*paragraph(row.sentence, room, "warn", " "), []]
    if any(row.explained for row in view.late):
        lines += [*paragraph("y on a job, in Jobs or the week, says why.", room, "muted", " "), []]
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
