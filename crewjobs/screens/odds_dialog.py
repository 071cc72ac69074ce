"""The odds of one job, or of every promise; of one job also the first day that would hold, which can be promised."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.widgets import Button

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Target, heading, paragraph
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.odds_rows import DriverRow, OddsRow, OddsView, PromiseView
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen

USUAL = "90"
_LOOKING = "Looking: every work that is planned is let happen thousands of times …"


def ask_odds(screen: CrewScreen, job: int | None) -> None:
    """Open the panel; the screen is told what promising a day did."""

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    screen.app.push_screen(OddsDialog(job), told)


class OddsDialog(Dialog[Done]):
    """Looks beside the screen; closes with what promising a day did."""

    def __init__(self, job: int | None) -> None:
        super().__init__()
        self._job = job
        self._odds: OddsView | None = None
        self._found: tuple[PromiseView, int] | None = None
        self._stop = threading.Event()

    def title_text(self) -> str:
        """Of what."""
        return f"Odds of job {self._job}" if self._job is not None else "Odds of every promise"

    def body(self) -> Iterable[Widget]:
        """How sure it is to be, and one sheet that scrolls."""
        if self._job is not None:
            yield Field("odds", "Holds with, %", USUAL, "50 to 99")
        yield Sheet(id="answer")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Find a day and promise it, or close."""
        if self._job is None:
            return (("close", "Close"),)
        return (("find", "Find the day"), ("promise", "Promise it"), ("close", "Close"))

    def on_mount(self) -> None:
        """Look."""
        self._promise_shown(shown=False)
        self.query_one(Sheet).show(self._draw)
        work(self, self._look, "odds", exclusive=True)

    def on_unmount(self) -> None:
        """Nobody waits for it any more."""
        self._stop.set()

    def _promise_shown(self, *, shown: bool) -> None:
        for button in self.query(Button):
            if button.name == "promise":
                button.display = shown

    async def _look(self) -> None:
        office, kept, job, stop = self.crew_app.office, self.crew_app.odds, self._job, self._stop
        if office is None:
            return
        outcome = await outcome_of(lambda: kept.found(office, job, stop.is_set))
        self._odds = outcome.value
        self.query_one(Sheet).show(self._draw if outcome.value is not None else lambda _width, _target: [])
        self.say(*outcome.sentences)

    def on_input_submitted(self) -> None:
        """Enter finds the day."""
        self.pressed("find")

    def pressed(self, name: str) -> None:
        """Find the day, or promise the one that was found."""
        if name == "promise" and self._found is not None:
            view, version = self._found
            changes = {"promised": view.day.isoformat()}
            self.save(lambda office: office.edit(view.job, version, changes), "Promising it; the plan follows …")
        elif name == "find":
            try:
                odds = float(self.query_one(Field).value.removesuffix("%").strip())
            except ValueError:
                self.query_one(Field).note("a percentage from 50 to 99, such as 90")
                return
            self.query_one(Field).note("")
            self.say("Looking for the day …")
            work(self, partial(self._find, odds), "odds", exclusive=True)

    async def _find(self, odds: float) -> None:
        office, job, stop = self.crew_app.office, self._job, self._stop
        if office is None or job is None:
            return

        def call() -> tuple[PromiseView, int]:
            version = office.job(job).version  # read first: a change in between is refused, not written over
            return office.promise(job, odds, stop=stop.is_set), version

        outcome = await outcome_of(call)
        self.say(*outcome.sentences)
        self._found = outcome.value
        can = self._found is not None and self._found[0].promised != self._found[0].day
        self._promise_shown(shown=can)
        self.query_one(Sheet).show(self._draw)
        self.query_one(Sheet).scroll_home(animate=False)
        if can:
            next(button for button in self.query(Button) if button.name == "promise").focus()

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        lines: list[Line] = []
        if self._found is not None:
            lines += [*draw_promise(self._found[0], width), []]
        if self._odds is None:
            return lines or paragraph(_LOOKING, width - 2, "muted", " ")
        return lines + draw_odds(self._odds, width)


def draw_promise(view: PromiseView, width: int) -> list[Line]:
    """The day that was found, against what is planned and promised; how to type the same is left to the command."""
    room = width - 2
    lines = [heading(f"Holds with {view.odds:g} %", width)]
    for sentence in view.sentences:
        if "`" not in sentence:
            lines += paragraph(sentence, room, "strong", " ")
    if view.promised == view.day:
        lines += paragraph("That day is promised already.", room, "accent", " ")
    error = f"From {view.samples} samples; the standard error of that chance is {view.error * 100:.1f} points."
    return [*lines, *paragraph(error, room, "muted", " ")]


def draw_odds(view: OddsView, width: int) -> list[Line]:
    """Each job's odds and what moves them, then what they stand on."""
    room = width - 2
    lines = [heading(f"In plan {view.plan_number}", width)]
    lines += paragraph(view.stale, room, "warn", " ! ")
    for row in view.rows:
        lines += _row(row, room)
    if not view.rows:
        lines += paragraph("No booked job with work left has a promise.", room, "", " ")
    lines += [[], heading("What this stands on", width)]
    for sentence in view.taken:
        lines += paragraph(sentence, room, "muted", " · ")
    error = (
        f"{view.samples} samples; standard error of a chance at most {view.error * 100:.1f} points."
        if view.error
        else ""
    )
    return [*lines, *paragraph(error, room, "muted", " · ")]


def _row(row: OddsRow, room: int) -> list[Line]:
    lines = paragraph(f"{row.sentence[:1].upper()}{row.sentence[1:]}", room, "warn" if row.note else "strong", " ")
    lines += paragraph(f"{row.days[:1].upper()}{row.days[1:]}.", room, "", " ") if row.days else []
    return lines + _drivers(row.drivers, room)


def _drivers(drivers: Sequence[DriverRow], room: int) -> list[Line]:
    lines = paragraph("What moves it most:", room, "", " ") if drivers else []
    for driver in drivers:
        lines += paragraph(driver.words, room, "", " · ")
    return lines
