"""Material or goods have come: how many, which lot, since when in the rooms; or a new date for what has not come."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widgets import Input, Static

from crewjobs.screens.ask_text import WHEN
from crewjobs.screens.kept_lines import KeptLines
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.field import Field, count_in
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.rows import Done, JobPage, MaterialRow

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen


def ask_arrived(screen: CrewScreen, number: int, material: str = "", kept: KeptForm | None = None) -> None:
    """Read the job's material, ask which of it where there is more than one, then ask how much.

    Args:
        screen: where it is asked and where the answer is told.
        number: the job.
        material: its name, where it is known already.
        kept: what was typed of that material when the screens ended.
    """

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    def ask(row: MaterialRow) -> None:
        screen.app.push_screen(ArrivedDialog(number, row, kept), told)

    def read(page: JobPage) -> None:
        rows = {row.name: row for row in page.materials}
        if kept is not None and material not in rows:
            from crewjobs.screens.taking_up import not_opened

            not_opened(screen.crew_app, kept, (f"Job {number} has no {material} any more.",))
            return
        if not rows:
            screen.status.say(f"Job {number} has no material to arrive.")
        elif material in rows or len(rows) == 1:
            ask(rows.get(material) or next(iter(rows.values())))
        else:
            from crewjobs.screens.choose import Choose

            options = [
                (row.name, f"{row.name}: {row.cartons_come} of {row.cartons_ordered} {row.unit}")
                for row in rows.values()
            ]
            missing = next((row.name for row in rows.values() if row.cartons_come < row.cartons_ordered), None)
            screen.app.push_screen(
                Choose("What has come?", options, missing), lambda name: ask(rows[str(name)]) if name in rows else None
            )

    screen.ask_to_open(lambda office: office.job(number), read)


class ArrivedDialog(KeptLines[Done]):
    """Closes with what was recorded."""

    FORM = "arrived"

    def __init__(self, job: int, material: MaterialRow, kept: KeptForm | None = None) -> None:
        """Take what has come of which job, and what was typed already when a link dropped."""
        super().__init__({"job": str(job), "material": material.name}, kept)
        self._job = job
        self._material = material

    def title_text(self) -> str:
        """Which material of which job."""
        return f"Arrived: {self._material.name}, job {self._job}"

    def body(self) -> Iterable[Widget]:
        """How many, lot, time, rooms, and until when the rest is promised."""
        row = self._material
        yield Static(
            f"{row.cartons_come} of {row.cartons_ordered} {row.unit} have come so far.", markup=False, classes="hint"
        )
        missing = max(row.cartons_ordered - row.cartons_come, 0)
        yield Field("cartons", row.unit.capitalize(), f"{missing:g}" if missing else "", "how many came now")
        if row.in_lots:
            yield Field("lot", "Lot", "", "as printed on the carton or roll")
        yield Field("at", "When", "", WHEN)
        if row.in_lots:
            yield YesNo("They lie in the conditioned rooms already", id="in-rooms")
            yield Static("The acclimation clock starts when they are in the rooms.", markup=False, classes="hint")
        yield Field("back", "Rest promised", "", "wed 10:00, 2026-03-18; none: nobody can say")
        why = "of the new day, or in although the house is not ready" if row.in_lots else "of the new day"
        yield Field("because", "Because", "", why)
        yield Static("Nothing came? Empty the count and give the new day.", markup=False, classes="hint")

    def pressed(self, _name: str) -> None:
        """Record it."""
        cartons, back = self.query_one("#field-cartons", Field), self.query_one("#field-back", Field).value
        job, material, in_lots = self._job, self._material.name, self._material.in_lots
        why = self.query_one("#field-because", Field).value
        if not cartons.value.strip() and back.strip():
            self.save(lambda office: office.back_ordered(job, material, back, why))
            return
        count = count_in(cartons.value, self._material.unit)
        if count is None:
            as_what = "such as 4.27" if self._material.unit == "m" else "as a whole number"
            cartons.note(f"Write how many {self._material.unit} came, {as_what}.")
            cartons.query_one(Input).focus()
            return
        cartons.note("")
        at = self.query_one("#field-at", Field).value
        lot = self.query_one("#field-lot", Field).value if in_lots else ""
        in_rooms = in_lots and self.query_one(YesNo).value
        self.save(
            lambda office: office.arrived(
                job, material, count, lot=lot, at=at, in_rooms=in_rooms, back_ordered=back, because=why
            )
        )
