"""A table for a spreadsheet, written into a file: which, where to, of which days."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from textual.widgets import Input, Select, Static

from crewjobs.domain.wording import counted
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.widgets.field import Field

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen

TABLES: Final = (
    ("Jobs: dates, area, labor, money", "jobs"),
    ("Hours: every crew's, with waiting and dry runs", "hours"),
    ("Material: ordered, needed, came, left", "material"),
)


def ask_export(screen: CrewScreen) -> None:
    """Ask what goes out and where to, and say where it is."""

    def told(said: str | None) -> None:
        if said:
            screen.status.say(said)

    screen.app.push_screen(ExportDialog(), told)


class ExportDialog(Dialog[str]):
    """Closes with what was written."""

    TITLE_TEXT = "Export to a spreadsheet"

    def body(self) -> Iterable[Widget]:
        """Which table, into which file, of which days."""
        yield Choice(TABLES, value="jobs", allow_blank=False, compact=True, id="table")
        yield Field("file", "File", "jobs.csv", "such as jobs.csv")
        yield Field("since", "From", "", "a day; empty: from the first")
        yield Field("until", "To", "", "a day; empty: up to the last")
        yield Static(
            "A file that is there already is left alone. Entry notes are never in it; phones are in the table of jobs.",
            markup=False,
            classes="hint",
        )

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Write it, or not."""
        return (("save", "Write"), ("close", "Close"))

    def on_select_changed(self, event: Select.Changed) -> None:
        """The file is called as its table, unless it was given another name."""
        field = self.query_one("#field-file", Field).query_one(Input)
        if field.value in {f"{name}.csv" for _, name in TABLES}:
            field.value = f"{event.value}.csv"

    def pressed(self, _name: str) -> None:
        """Write it."""
        work(self, self._write, "export", exclusive=True)

    async def _write(self) -> None:
        office, what = self.crew_app.office, str(self.query_one("#table", Select).value)
        typed, since, until = (self.query_one(f"#field-{name}", Field).value for name in ("file", "since", "until"))
        if not typed:
            self.say("File: write its name, such as jobs.csv.")
            return
        if office is None:
            self.say("The records are not open: there is nothing to read or keep.")
            return
        file = Path(typed).expanduser()
        self.say("Writing …")
        outcome = await outcome_of(lambda: office.export_file(what, file, since=since, until=until))
        if outcome.value is None:
            self.say(*outcome.sentences)
            return
        self.dismiss(f"Wrote {file.absolute()}: {counted(outcome.value, 'row')}.")
