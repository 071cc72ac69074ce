"""The odds of one job, or of every promise; of one job also the first day that would hold, which can be promised."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.widgets import Button, Input

from crewjobs.domain.job import JobState
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Target, heading, paragraph
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.odds.odds_rows import DriverRow, OddsRow, OddsView, PromiseView
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen

USUAL = "90"
_FINDING = "Looking for the day …"
_LOOKING = "Looking: every work that is planned is let happen thousands of times …"


def ask_odds(screen: CrewScreen, job: int | None) -> None:
    """Open the panel; the screen is told what promising a day did."""

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    if screen.is_open():
        screen.app.push_screen(OddsDialog(job), told)


class OddsDialog(Dialog[Done]):
    """Looks beside the screen; closes with what promising a day did."""

    def __init__(self, job: int | None) -> None:
        super().__init__()
        self._job = job
        self._odds: OddsView | None = None
        self._none = ""
        """Why there are no odds: the office's sentences."""
        self._finding = False
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

    def main_button(self) -> str:
        """The day is found first, then promised; of every promise there is only to read."""
        return "" if self._job is None else "promise" if self._found is not None else "find"

    def on_mount(self) -> None:
        """Look."""
        self._promise_button("")
        self.query_one(Sheet).show(self._draw)
        work(self, self._look, "odds", exclusive=True)

    def on_unmount(self) -> None:
        """Nobody waits for it any more."""
        self._stop.set()

    def _promise_button(self, label: str) -> None:
        """Show the button that changes something, by what it does; with no label, hide it. Find gets a focus it had."""
        for button in self.query(Button):
            if button.name == "promise":
                if button.has_focus:
                    next(other for other in self.query(Button) if other.name == "find").focus()
                button.display = bool(label)
                button.label = label

    async def _look(self) -> None:
        office, kept, job, stop = self.crew_app.office, self.crew_app.odds, self._job, self._stop
        if office is None:
            return
        outcome = await outcome_of(lambda: kept.found(office, job, stop.is_set))
        self._odds, self._none = outcome.value, " ".join(outcome.sentences)
        self.query_one(Sheet).show(self._draw)

    def entered(self, _field: Input) -> None:
        """Enter finds the day, and the field stays ready for another chance: it does not go on as in other dialogs."""
        self.pressed("find")

    def pressed(self, name: str) -> None:
        """Find the day, or promise the one that was found; a job nobody has said yes to is booked with it."""
        if name == "promise" and self._found is not None:
            view, version = self._found
            changes = {"state": JobState.BOOKED.value} if view.not_booked else {}
            if view.promised != view.day:
                changes["promised"] = view.day.isoformat()
            meanwhile = f"{_doing(view)}; the plan follows …"
            self.save(lambda office: office.edit(view.job, version, changes), meanwhile)
        elif name == "find":
            try:
                odds = float(self.query_one(Field).value.removesuffix("%").strip())
            except ValueError:
                self._not_so("a percentage from 50 to 99, such as 90")
                return
            self._not_so("")
            self.say()
            self._finding = True
            self._again()
            work(self, partial(self._find, odds), "find", exclusive=True)

    def _not_so(self, sentence: str) -> None:
        """Say beside the field what is wrong, with the field in sight and ready for more; an empty sentence takes it back."""
        self.query_one(Field).note(sentence)
        if sentence:
            self._found = None
            self._promise_button("")
            self._again()
            self.query_one(Input).focus()
            self.query_one("#body").scroll_home(animate=False)

    def _again(self) -> None:
        """Draw anew, from the top."""
        self.query_one(Sheet).show(self._draw)
        self.query_one(Sheet).scroll_home(animate=False)

    async def _find(self, odds: float) -> None:
        office, job, stop = self.crew_app.office, self._job, self._stop
        if office is None or job is None:
            return

        def call() -> tuple[PromiseView, int]:
            version = office.job(job).version  # read first: a change in between is refused, not written over
            return office.promise(job, odds, stop=stop.is_set), version

        outcome = await outcome_of(call)
        self._finding = False
        self._found = outcome.value
        if self._found is None:
            self._not_so("\n".join(outcome.sentences))
            return
        # The focus stays where it was, in the field or on Find: Enter once more finds again and changes nothing.
        self._promise_button(_doing_label(self._found[0]))
        self._again()

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        lines: list[Line] = []
        if self._finding:
            lines += [*paragraph(_FINDING, width - 2, "muted", " "), []]
        elif self._found is not None:
            lines += [*draw_promise(self._found[0], width), []]
        if self._odds is None:
            words, style = (self._none, "warn") if self._none else (_LOOKING, "muted")
            return [*lines, *paragraph(words, width - 2, style, " ")]
        return lines + draw_odds(self._odds, width)


def _doing_label(view: PromiseView) -> str:
    """What the button does with the day that was found; empty where all of it is so already."""
    if view.not_booked:
        return "Book it" if view.promised == view.day else "Book and promise it"
    return "" if view.promised == view.day else "Promise it"


def _doing(view: PromiseView) -> str:
    if view.not_booked:
        return "Booking it" if view.promised == view.day else "Booking and promising it"
    return "Promising it"


def draw_promise(view: PromiseView, width: int) -> list[Line]:
    """The day that was found, against what is planned and promised; how to type the same is left to the command."""
    room = width - 2
    lines = [heading(f"Holds with {view.odds:g} %", width)]
    for sentence in view.sentences:
        if "`" not in sentence:
            lines += paragraph(sentence, room, "strong", " ")
    if view.not_booked:
        lines += paragraph("It is not booked yet: promising that day books it too.", room, "accent", " ")
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
