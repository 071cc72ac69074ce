"""How the planks of a job are laid: each floor's rows drawn to scale, and below them its cut list."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.base import CrewScreen
from crewjobs.screens.drawing import Line, Piece, Target
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.laid_floor import draw_floors, floor_of
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.laying.layout_rows import LayoutsView
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

NONE_YET = "There is no layout yet: p finds one."


class FloorLayoutScreen(CrewScreen):
    """Opened above Rooms; Esc goes back there."""

    PLACE = "rooms"
    NAME = "how the planks are laid"
    ABOUT = (
        "How the planks of a job are laid, one floor at a time: each row drawn to scale from your left to your right, then its cuts in "
        "laying order: which plank each is cut from, and what to keep of it for which row. p finds the fewest planks (where "
        "there is a layout already, fewer still); Esc stops and keeps the best so far. ← and → go to other floors. r says that a row "
        "lies and what was measured from it: the rest is then planned anew."
    )
    BINDINGS = [
        Binding("p", "plan", "lay out"),
        Binding("left", "step(-1)", "floor before", key_display="←"),
        Binding("right", "step(1)", "next floor", key_display="→"),
        Binding("r", "record", "row lies"),
        Binding("escape", "back", "back", key_display="Esc"),
    ]

    def __init__(self, job: int) -> None:
        super().__init__()
        self.job = job
        self._view: LayoutsView | None = None

    def body(self) -> Iterable[Widget]:
        """Which job, and its floors."""
        yield PageTitle()
        yield Sheet(id="layout", unfolds=True, tells=True)

    def load(self) -> None:
        """Read the layouts that are kept."""
        self.ask(lambda office: office.layouts(self.job), self._show)

    def _show(self, view: LayoutsView) -> None:
        first = self._view is None
        self._view = view
        title = self.query_one(PageTitle)
        title.left = (Piece(f"{view.job}  {view.title}", "strong"),)
        title.right = (Piece("how it is laid", "muted"),)
        self.sheet.show(self._draw, ("floor", 0) if first and view.floors else None)

    def _draw(self, width: int, selected: Target | None) -> list[Line]:
        return draw_floors(self._view, width, selected) if self._view is not None else []

    def action_plan(self) -> None:
        """Find layouts, or better ones."""
        if self._view is not None:
            self.crew_app.lay_out(self.job, again=not self._view.missing)

    def action_step(self, way: int) -> None:
        """The floor before or after."""
        if self._view is None or not self._view.floors:
            self.status.say(NONE_YET)
            return
        number = floor_of(self._view, self.sheet.selected) + way
        if 0 <= number < len(self._view.floors):
            self.sheet.select(("floor", number))

    def action_record(self) -> None:
        """Say that a row lies."""
        from crewjobs.screens.record.row_lies import row_lies

        if self._view is None or not self._view.floors:
            self.status.say(NONE_YET)
            return
        floor = self._view.floors[floor_of(self._view, self.sheet.selected)]
        if floor.way != "rows":
            self.status.say("Only rows of equal planks are planned anew from a row that lies.")
            return
        self.app.push_screen(row_lies(self.job, floor.rooms[0]), self._said)

    def _said(self, done: Done | None) -> None:
        if done is not None:
            self.told(Outcome(value=done), looks=False)

    def leave(self) -> None:
        """Back to Rooms."""
        self.turn_back()
