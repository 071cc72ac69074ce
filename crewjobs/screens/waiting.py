"""Screen 1, Waiting: what is stuck, until when, and whom to call."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.base import NO_SHOP, CrewScreen
from crewjobs.screens.drawing import Line, Target, paragraph
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.waits import draw_summary, draw_waits

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.face import OfficeFace
    from crewjobs.screens.record.about import About
    from crewjobs.services.rows import WaitRow

_OPENING = "Opening the records …"
_NOTHING = "Nothing is waited for: no material is out and nothing cures. Press 2 for the week, 4 for today's work."

_NO_JOB = (
    "No job yet. + writes one in a form: house, rooms, floor, order, days; then p in Week plans it, and its day plan can be "
    "printed."
)


class WaitingScreen(CrewScreen):
    """The screen that opens first."""

    PLACE = "waiting"
    CHOSEN = "what is waited for"
    ABOUT = (
        "Everything a job waits for by the clock or from outside, worst first. The tape runs from the instant the wait "
        "began to the instant it is ready; a cross on it is a midnight. Where it says “hours only”, the hours are what "
        "the maker asks at least, and nobody read the air; of wood a reading decides. + writes a new job, the first one too."
    )
    BINDINGS = [
        Binding("enter,space", "choose", "open job", key_display="Enter"),
        Binding("a", "arrived", "arrived"),
        Binding("l", "lots", "lots"),
        Binding("r", "record", "record"),
        Binding("plus", "new", "new job", key_display="+"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[WaitRow, ...] = ()
        self._jobs = True
        """Whether there is any job that is not closed; looked at only where nothing is waited for."""

    def body(self) -> Iterable[Widget]:
        """One sheet."""
        yield Sheet(id="waits", unfolds=True)

    def on_mount(self) -> None:
        """Something stands there before the records are open."""
        self.sheet.show(lambda width, _: [[], *paragraph(_OPENING, width - 2, "muted", " ")])

    def load(self) -> None:
        """Read the waits."""

        def read(office: OfficeFace) -> tuple[tuple[WaitRow, ...], bool]:
            rows = office.waiting()
            return rows, bool(rows) or bool(office.jobs(False))

        self.ask(read, self._show)

    def _show(self, found: tuple[tuple[WaitRow, ...], bool]) -> None:
        self._rows, self._jobs = found
        self.sheet.show(self._draw)

    def _draw(self, width: int, selected: Target | None) -> list[Line]:
        if not self._rows:
            sentence = NO_SHOP if not self.crew_app.shop else _NOTHING if self._jobs else _NO_JOB
            return [[], *paragraph(sentence, width - 2, "", " ")]
        return [*draw_summary(self._rows, width), *draw_waits(self._rows, width, selected)]

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Open the job that waits."""
        self._with_job(event.target, self.crew_app.open_job)

    def action_new(self) -> None:
        """Write a new job."""
        self.crew_app.new_job()

    def action_arrived(self) -> None:
        """Material of the selected job has come."""
        from crewjobs.screens.arrived import ask_arrived

        self._with_job(self.sheet.selected, lambda number: ask_arrived(self, number))

    def action_lots(self) -> None:
        """The lead says which rooms each lot of the selected job goes into."""
        from crewjobs.screens.lots import ask_lots

        self._with_job(self.sheet.selected, lambda number: ask_lots(self, number))

    def about(self) -> About:
        """The selected job."""
        target = self.sheet.selected
        job = target[2] if isinstance(target, tuple) and target[0] == "wait" else None
        return replace(super().about(), job=job)

    def _with_job(self, target: object, then: Callable[[int], None]) -> None:
        if isinstance(target, tuple) and target[0] == "wait":
            then(target[2])
        else:
            self.first("what is waited for")
