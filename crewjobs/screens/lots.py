"""Lots: checked before the first carton is opened, and the lead's word on which rooms each goes into."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widgets import Input, Static

from crewjobs.screens.kept_lines import KeptLines
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.field import Field, count_in
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.rows import Done, JobPage, MaterialRow

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.forms.kept import KeptForm


def ask_lots(screen: CrewScreen, number: int, material: str = "", kept: KeptForm | None = None) -> None:
    """Read the job's lots, ask of which material where several have come, then ask where each goes; or as it was `kept`."""

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    def ask(row: MaterialRow) -> None:
        screen.app.push_screen(LotsDialog(number, row, kept), told)

    def read(page: JobPage) -> None:
        rows = {row.name: row for row in page.materials if row.lots}
        if kept is not None and material not in rows:
            from crewjobs.screens.taking_up import not_opened

            not_opened(screen.crew_app, kept, (f"Job {number} has no lots of {material} any more.",))
        elif not rows:
            screen.status.say(f"No lot has come for job {number}.")
        elif material in rows or len(rows) == 1:
            ask(rows.get(material) or next(iter(rows.values())))
        else:
            from crewjobs.screens.choose import Choose

            options = [(row.name, f"{row.name}: {len(row.lots)} lots") for row in rows.values()]
            first = next((row.name for row in rows.values() if row.lots_asked), None)
            screen.app.push_screen(
                Choose("Lots of which material?", options, first),
                lambda name: ask(rows[str(name)]) if name in rows else None,
            )

    screen.ask_to_open(lambda office: office.job(number), read)


class LotsDialog(KeptLines[Done]):
    """Closes with what was recorded: a check, or the lead's word."""

    FORM = "lots"

    def __init__(self, job: int, material: MaterialRow, kept: KeptForm | None = None) -> None:
        """Take whose lots, and what was typed already when a link dropped."""
        super().__init__({"job": str(job), "material": material.name}, kept)
        self._job = job
        self._material = material

    def title_text(self) -> str:
        """Which material of which job."""
        return f"Lots: {self._material.name}, job {self._job}"

    def body(self) -> Iterable[Widget]:
        """The lots as they stand, where each goes, and a lot's check."""
        for line in (*self._material.lots, *self._material.lots_asked):
            yield Static(line, markup=False, classes="hint")
        yield Field("rooms", "Lots to rooms", "", "A for all rooms; or A=living,hall B=bath")
        yield Field("because", "Because", "", "only for what would be refused")
        yield Static(
            "Or check a lot before its first carton is opened or its roll is cut:", markup=False, classes="hint"
        )
        yield Field("lot", "Lot checked", "", "its name")
        yield Field("cartons", "Counted", "", self._material.unit)
        yield Field("damaged", "Damaged", "", f"{self._material.unit} that cannot be laid; empty is none")
        yield YesNo("The color differs from the signed sample", id="color")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """The lead's word, or a check."""
        return (("save", "Goes there"), ("check", "Checked"), ("close", "Close"))

    def pressed(self, name: str) -> None:
        """Record the check or the word."""
        job, material = self._job, self._material.name
        if name == "check":
            self._check()
            return
        words, because = self._split(self._typed("rooms")), self._typed("because")
        self.save(lambda office: office.lots(job, material, words, because=because))

    def _check(self) -> None:
        job, material, lot = self._job, self._material.name, self._typed("lot")
        counts = {}
        for name in ("cartons", "damaged"):
            field = self.query_one(f"#field-{name}", Field)
            count = count_in(field.value or ("0" if name == "damaged" else ""), self._material.unit)
            number = "number" if self._material.unit == "m" else "whole number"
            field.note("" if count is not None else f"Write a {number} of {self._material.unit}.")
            if count is None:
                field.query_one(Input).focus()
                return
            counts[name] = count
        differs = self.query_one(YesNo).value
        self.save(
            lambda office: office.check_lot(
                job, material, lot, counts["cartons"], damaged=counts["damaged"], color_differs=differs
            )
        )

    def _typed(self, name: str) -> str:
        return self.query_one(f"#field-{name}", Field).value.strip()

    @staticmethod
    def _split(typed: str) -> tuple[str, ...]:
        """Split ``A=living, main stairs B=bath`` before each lot's name: a word that is followed by an equals sign."""
        if "=" not in typed:
            return tuple(typed.split())
        words: list[str] = []
        for number, piece in enumerate(pieces := typed.split("=")):
            if number == 0:
                words.append(piece.strip())
            elif number < len(pieces) - 1:
                places, _, lot = piece.rpartition(" ")
                words[-1] += f"={places.strip()}"
                words.append(lot)
            else:
                words[-1] += f"={piece.strip()}"
        return tuple(words)
