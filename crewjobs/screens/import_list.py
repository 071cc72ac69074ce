"""A list of jobs from a spreadsheet, in two steps: its file, then what it would become; each column can be said to be another thing."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from textual.widgets import Button, Input, Select, Static

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, Target, paragraph
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.spreadsheets.import_rows import ImportColumn, ImportRow, ImportView

STATES: Final = (("asked", "asked"), ("quoted", "quoted"), ("booked", "booked"))
DATES: Final = (
    ("as its other days say", ""),
    ("day first", "day-first"),
    ("month first", "month-first"),
    ("a spreadsheet's numbers", "serial"),
)
HOW_DAYS: Final = "How days such as 3/4/2026 are written"
FIELDS: Final = (
    ("left alone", ""),
    ("customer: who pays", "customer"),
    ("address: where the floor is", "address"),
    ("title: what the job is called", "title"),
    ("phone", "phone"),
    ("mail", "mail"),
    ("state: asked, quoted or booked", "state"),
    ("wished: the day of the start", "wished"),
    ("promised: the day it is done by", "promised"),
    ("year_built: of the house", "year_built"),
    ("drive_min: minutes from the shop", "drive_min"),
    ("parking", "parking"),
    ("pets", "pets"),
    ("key_with: who has the key", "key_with"),
)
MOST_ROWS: Final = 60
"""Rows that are drawn; the sentence counts all."""


def ask_list(screen: CrewScreen) -> None:
    """Ask for the file, and say what keeping it did."""

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    screen.app.push_screen(ListDialog(), told)


class ListDialog(Dialog[Done]):
    """Asks for the file; closes with what was kept."""

    TITLE_TEXT = "Import a list of jobs"

    def body(self) -> Iterable[Widget]:
        """The file, and in which state jobs come in."""
        yield Field("file", "File", "", "such as jobs.csv")
        yield Static("In which state, where the list does not say", markup=False, classes="hint")
        yield Choice(STATES, value="asked", allow_blank=False, compact=True, id="state")
        yield Static(HOW_DAYS, markup=False, classes="hint")
        yield Choice(DATES, value="", allow_blank=False, compact=True, id="dates")
        yield Static(
            "A list saved as CSV, its first line naming the columns. Nothing is kept before you have seen what it becomes.",
            markup=False,
            classes="hint",
        )

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Look at it, or not."""
        return (("look", "Look at it"), ("close", "Close"))

    def entered(self, _field: Input) -> None:
        """Enter looks at it."""
        self.pressed("look")

    def pressed(self, _name: str) -> None:
        """Look at it."""
        work(self, self._look, "look", exclusive=True)

    async def _look(self) -> None:
        office, typed = self.crew_app.office, self.query_one("#field-file", Field).value
        state, dates = (str(self.query_one(f"#{name}", Select).value) for name in ("state", "dates"))
        if not typed:
            self.say("File: write its name, such as jobs.csv.")
            return
        if office is None:
            self.say("The records are not open: there is nothing to read or keep.")
            return
        file = Path(typed).expanduser()
        outcome = await outcome_of(lambda: office.look_at_list(file, state=state, dates=dates))
        self.say(*outcome.sentences)
        if outcome.value is not None:
            self.app.push_screen(MappingDialog(file, state, dates, outcome.value), self._kept)

    def _kept(self, done: Done | None) -> None:
        if done is not None:
            self.dismiss(done)


class MappingDialog(Dialog[Done]):
    """Shows columns and rows; a column that is said to be another thing is looked at anew. Closes with what was kept."""

    def __init__(self, file: Path, state: str, dates: str, view: ImportView) -> None:
        super().__init__()
        self._file = file
        self._state = state
        self._dates = dates
        self._view = view

    def title_text(self) -> str:
        """Which list."""
        return f"{self._view.source}: {self._view.delimiter}, {self._view.encoding}"

    def body(self) -> Iterable[Widget]:
        """How many rows become what, each column with what it is, then every row."""
        yield Static(self._view.sentence, markup=False, id="sentence", classes="strong")
        if self._view.kept:
            yield Static(
                "A list with this heading came in before: its columns are taken as then.", markup=False, classes="hint"
            )
        for place, column in enumerate(self._view.columns):
            yield _named(column)
            yield Choice(FIELDS, value=column.taken_as, allow_blank=False, compact=True, id=f"column-{place}")
        yield Sheet(id="answer")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Keep it, or not."""
        return (("keep", "Keep"), ("close", "Close"))

    def on_mount(self) -> None:
        """Show what it becomes."""
        self._show()
        self.call_after_refresh(lambda: self.query_one("#body").scroll_home(animate=False))

    def _show(self) -> None:
        self.query_one(Sheet).show(self._draw)
        self.query_one("#sentence", Static).update(self._view.sentence)
        new = 0 if self._view.faults else self._view.new
        button = self.query_one("#buttons").query(Button).first()
        button.label = f"Keep {new} {'job' if new == 1 else 'jobs'}" if new else "Nothing to keep"
        button.disabled = not new
        self.on_resize()

    def _columns(self) -> tuple[str, ...]:
        """Return every column as it is said here."""
        return tuple(
            f"{column.column}={self.query_one(f'#column-{place}', Select).value}"
            for place, column in enumerate(self._view.columns)
        )

    def on_select_changed(self, event: Select.Changed) -> None:
        """Look again, once a column is said to be another thing."""
        place = int((event.select.id or "column-0").removeprefix("column-"))
        if event.value != self._view.columns[place].taken_as:
            work(self, self._look, "look", exclusive=True)

    async def _look(self) -> None:
        office, columns = self.crew_app.office, self._columns()
        if office is None:
            self.say("The records are not open: there is nothing to read or keep.")
            return
        outcome = await outcome_of(
            lambda: office.look_at_list(self._file, columns=columns, state=self._state, dates=self._dates)
        )
        self.say(*outcome.sentences)
        if outcome.value is not None:
            self._view = outcome.value
            self._show()

    def pressed(self, _name: str) -> None:
        """Keep it."""
        columns = self._columns()
        self.save(lambda office: office.import_list(self._file, columns=columns, state=self._state, dates=self._dates))

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        view, inner = self._view, width - 2
        lines: list[Line] = [[]]
        for fault in view.faults:
            lines += paragraph(f"! {fault.words}", inner, "warn", " ")
        for note in view.notes:
            lines += paragraph(note, inner, "muted", " ")
        for row in view.rows[:MOST_ROWS]:
            lines += paragraph(_words(row), inner, "" if row.becomes == "new job" else "muted", " ")
        if len(view.rows) > MOST_ROWS:
            lines += paragraph(f"… and {len(view.rows) - MOST_ROWS} rows more", inner, "muted", " ")
        return lines


def _named(column: ImportColumn) -> Static:
    """Return a column's name with its first cells, on one line."""
    such = f": {', '.join(column.examples)}" if column.examples else ""
    label = Static(f"{column.column}{such}", markup=False, classes="hint")
    label.styles.height, label.styles.text_wrap, label.styles.text_overflow = 1, "nowrap", "ellipsis"
    return label


def _words(row: ImportRow) -> str:
    """Return a row as a line: ``3 new job: Kitchen, Ida Marsh, 14 Fennel Way, booked, promised 2026-03-20``."""
    dates = [f"{word} {day}" for word, day in (("wished", row.wished), ("promised", row.promised)) if day]
    told = ", ".join(filter(None, (row.title, row.customer, row.address, row.state, *dates)))
    return f"{row.line} {row.becomes}: {told}{f' ({row.why})' if row.why else ''}"
