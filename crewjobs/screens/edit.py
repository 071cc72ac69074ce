"""What was agreed about a job: its title, state, days. Somebody else's change in between is never written over."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from textual.widgets import Button, Static

from crewjobs.screens.choose import Choose
from crewjobs.screens.kept_lines import KeptLines
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.widgets.field import Field
from crewjobs.services.rows import Done, JobPage

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.forms.kept import KeptForm

_FIELDS = (
    ("title", "Title", ""),
    ("state", "State", "asked, quoted, booked, done, closed, called off"),
    ("promised", "Promised", "none (like 2026-03-06)"),
    ("wished", "Wished start", "none (like 2026-03-02)"),
    ("weight", "Weight", "1, 2 or 3"),
    ("blocked", "Blocked days", "none (like 2026-03-09, 2026-03-10)"),
)


_WHOLE = "whole"
"""The button that opens the form of the whole job."""


def ask_edit(screen: CrewScreen, number: int, kept: KeptForm | None = None) -> None:
    """Read the job and open the form, or as it was `kept`; what it did is told on the screen."""

    def told(done: Done | dict[str, str] | None) -> None:
        if isinstance(done, dict):
            from crewjobs.screens.draft.jobs import ask_whole_job

            ask_whole_job(screen, number, typed=done)
        elif done is not None:
            screen.told(Outcome(value=done))

    def read(page: JobPage) -> None:
        screen.app.push_screen(EditDialog(page, kept), told)

    screen.ask_to_open(lambda office: office.job(number), read)


class EditDialog(KeptLines[Done | dict[str, str]]):
    """Sends only what was changed, with the version the form was opened on.

    Closes with what was done, or with what was typed where the whole job is to be changed.
    """

    FORM = "edit"

    def __init__(self, page: JobPage, kept: KeptForm | None = None) -> None:
        """Take the job as it is, and what was typed already when a link dropped."""
        if kept is not None and kept.stood.isdecimal():
            # What somebody else changed since then is not written over: it is to be looked at first, as in an open form.
            page = replace(page, version=int(kept.stood))
        super().__init__({"job": str(page.row.number)}, kept, stood=str(page.version))
        self._page = page

    def title_text(self) -> str:
        """Which job."""
        return f"Edit job {self._page.row.number}"

    def body(self) -> Iterable[Widget]:
        """The fields, and a word on what has not been touched."""
        values = self._page.terms
        for name, label, hint in _FIELDS:
            yield Field(name, label, values.get(name, ""), hint)
        yield Static(
            "Weight, 1 to 3, is how much a broken promise weighs. Only what you change is written; an emptied field is none. "
            "Whole job: house, rooms, doorways, stairs, furniture, floors and orders.",
            markup=False,
            classes="hint",
        )

    def buttons(self) -> Iterable[tuple[str, str]]:
        """The last but one appears when somebody else changed the job."""
        off = () if self._page.terms.get("state") == "called off" else (("off", "Call off"),)
        return (("save", "Save"), (_WHOLE, "Whole job"), *off, ("look", "See stored"), ("close", "Close"))

    def on_mount(self) -> None:
        """Nothing to look at yet."""
        self._look_button().display = False

    def _look_button(self) -> Button:
        return next(button for button in self.query(Button) if button.name == "look")

    def changes(self) -> dict[str, str]:
        """What differs from what is stored, as typed."""
        before = self._page.terms
        return {field.key: field.value for field in self.query(Field) if field.value != before.get(field.key, "")}

    def pressed(self, name: str) -> None:
        """Save, or look again."""
        if name == _WHOLE:
            self.dismiss(self.changes())
            return
        if name == "look":
            work(self, self._look, "look", exclusive=True)
            return
        # What else was typed is kept with it: nothing of it is lost by the button that was pressed.
        changes = self.changes() | ({"state": "called off"} if name == "off" else {})
        if not changes:
            self.say("Nothing was changed in this form.")
            return
        if changes.get("state", "").strip().casefold() == "called off":
            work(self, partial(self._ask_off, changes), "off", exclusive=True, opens=True)
        else:
            self._write(changes)

    def _write(self, changes: dict[str, str]) -> None:
        number, version = self._page.row.number, self._page.version
        self.save(lambda office: office.edit(number, version, changes))

    async def _ask_off(self, changes: dict[str, str]) -> None:
        """Say what would be left behind, and ask, while it can still be decided."""
        office, number = self.crew_app.office, self._page.row.number
        if office is None:
            return
        left = await outcome_of(lambda: office.if_called_off(number))
        if left.value is None:
            self.say(*left.sentences)
            return
        answers = [("leave", "Leave it"), ("off", "Call it off")]

        def answered(answer: object) -> None:
            if answer == "off":
                self._write(changes)

        self.app.push_screen(Choose(f"Call job {number} off?", answers, "leave", told=left.value), answered)

    def refused(self, outcome: Outcome[Done]) -> None:
        """Where somebody else changed the job since, offer to look."""
        super().refused(outcome)
        self._look_button().display = outcome.meanwhile

    async def _look(self) -> None:
        office = self.crew_app.office
        if office is None:
            return
        number = self._page.row.number
        outcome = await outcome_of(lambda: office.job(number))
        if outcome.value is None:
            self.say(*outcome.sentences)
            return
        self._page = outcome.value
        self._stood = str(self._page.version)
        values = self._page.terms
        for field in self.query(Field):
            if field.key in values:
                same = field.value == values[field.key]
                field.note("" if same else f"stored now: {values[field.key] or 'nothing'}")
        self.say("What you typed is kept. Save writes it over what is stored now.")
        self._look_button().display = False
