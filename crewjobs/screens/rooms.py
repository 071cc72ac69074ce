"""Screen 5, Rooms: the house of one job drawn, with its furniture stages stepped through."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.domain.errors import Refused
from crewjobs.screens.answer import Answer
from crewjobs.screens.base import NO_JOB, NO_JOBS, NO_SHOP, CrewScreen
from crewjobs.screens.drawing import Line, Piece, Target, paragraph
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.house_drawing import draw_rooms, draw_stage, stage_of
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.moving.rooms_rows import RoomsView
from crewjobs.services.rows import Done, JobRow

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.record.about import About

NO_STAGES = "There are no stages yet: p finds them."
Read = tuple[tuple[JobRow, ...], RoomsView | None]


class RoomsScreen(CrewScreen):
    """One job at a time: the one looked at last, else the first that is furnished."""

    PLACE = "rooms"
    ABOUT = (
        "The rooms of one job, each drawn to the same scale: what is worked, what is laid, what cures, and by letter where every "
        "piece of furniture stands. ← and → step through the furniture stages (• is where the job is), Enter shows all carries of one. p finds the "
        "stages, m finds them anew from where things stand now, Esc stops and keeps the best so far. e says in words what "
        "stands in a room. L shows how the planks are laid, row by row. [ and ] go to the jobs before and after, g to any."
    )
    BINDINGS = [
        Binding("enter,space", "choose", "carries", key_display="Enter"),
        Binding("p", "plan", "find stages"),
        Binding("left", "step(-1)", "stage before", key_display="←"),
        Binding("right", "step(1)", "stage after", key_display="→"),
        Binding("m", "from_here", "from here"),
        Binding("e", "edit", "furniture"),
        Binding("L", "layout", "cut list", key_display="L"),
        Binding("left_square_bracket", "turn(-1)", "job before", key_display="["),
        Binding("right_square_bracket", "turn(1)", "job after", key_display="]"),
        Binding("g", "other", "job"),
        Binding("r", "record", "record"),
        Binding("plus", "new", "new job", key_display="+", show=False),
    ]

    TURNS = ("turn", "other")

    def __init__(self) -> None:
        super().__init__()
        self._jobs: tuple[JobRow, ...] = ()
        self._view: RoomsView | None = None
        self._read = False

    def body(self) -> Iterable[Widget]:
        """Which job, and the house."""
        yield PageTitle()
        yield Sheet(id="rooms", unfolds=True, tells=True)

    def load(self) -> None:
        """Read the rooms of the job looked at last."""
        wanted = self.crew_app.job
        if self._view is not None and wanted not in (None, self._view.job):
            self.turns_to_another()
        self.ask(lambda office: _read(office, wanted), self._show)

    def _show(self, read: Read) -> None:
        self._jobs, view = read
        self._read = True
        was = self._view.job if self._view is not None else None
        gone = was is not None and was not in {row.number for row in self._jobs} and (view is None or view.job != was)
        if gone and was == self.crew_app.job:  # taken back while it was shown: no other house comes in its place unsaid
            told, takes = self.status.said, self.status.takes
            self.status.say(*told, f"There is no job {was} any more: its rooms are closed.", takes=takes)
            self.crew_app.job = None
        other = view is not None and (self._view is None or self._view.job != view.job)
        found = view is not None and self._view is not None and len(self._view.stages) != len(view.stages)
        self._view = view
        title = self.query_one(PageTitle)
        if view is None:
            title.left = title.right = ()
        else:
            self.crew_app.job = view.job
            if self.is_current and other:
                self.crew_app.note_place()
            title.left = (Piece(f"{view.job}  {view.title}", "strong", "job"), Piece(" ▾", "key", "job"))
            title.right = (Piece(" ‹ ", "key", "before"), Piece("job", "muted", "job"), Piece(" › ", "key", "after"))
        select: Target | None = ("stage", view.here) if view is not None and view.stages and (other or found) else None
        self.sheet.show(self._draw, select)

    def _draw(self, width: int, selected: Target | None) -> list[Line]:
        if self._view is None:
            if not self._read:
                return []
            return [[], *paragraph(NO_JOBS if self.crew_app.shop else NO_SHOP, width - 2, "", " ")]
        return draw_rooms(self._view, width, self.sheet.size.height, selected)

    def on_page_title_clicked(self, event: PageTitle.Clicked) -> None:
        """Another job by tap."""
        {"before": lambda: self.action_turn(-1), "after": lambda: self.action_turn(1), "job": self.action_other}[
            str(event.target)
        ]()

    def _of_a_job(self) -> RoomsView | None:
        """Return the job that is shown; where there is none, say what is to be done first."""
        if self._view is None and self._read:
            self.status.say(NO_JOB if self.crew_app.shop else NO_SHOP)
        return self._view

    def action_choose(self) -> None:
        """Enter: all carries of the stage that is shown; without stages there are none."""
        view = self._of_a_job()
        if view is None:
            return
        if view.stages:
            super().action_choose()
        else:
            self.status.say(NO_STAGES)

    def on_sheet_chosen(self, _event: Sheet.Chosen) -> None:
        """All carries of the stage that is shown."""
        if self._view is None or not self._view.stages:
            return
        stage = stage_of(self._view, self.sheet.selected)
        self.app.push_screen(
            Answer[None](stage.label, lambda width: _whole(stage.sentence, draw_stage(stage, width), width))
        )

    def action_step(self, way: int) -> None:
        """The stage before or after."""
        view = self._of_a_job()
        if view is None:
            return
        if not view.stages:
            self.status.say(NO_STAGES)
            return
        number = stage_of(view, self.sheet.selected).number + way
        if 0 <= number < len(view.stages):
            self.sheet.select(("stage", number))

    def action_plan(self) -> None:
        """Find the furniture stages."""
        if (view := self._of_a_job()) is not None:
            self.crew_app.find_moves(view.job, again=bool(view.stages))

    def action_from_here(self) -> None:
        """Find them anew from where things stand."""
        if (view := self._of_a_job()) is not None:
            self.crew_app.find_moves(view.job, again=False)

    def action_edit(self) -> None:
        """Say what stands in a room."""
        from crewjobs.screens.record.furniture import furniture

        view = self._of_a_job()
        if view is None:
            return
        names = tuple(room.name for room in view.rooms)
        if not names:
            self.status.say("This job has no rooms, only stairs.")
            return
        self.app.push_screen(furniture(view.job, names), self._furnished)

    def _furnished(self, done: Done | None) -> None:
        if done is not None:
            self.told(Outcome(value=done))

    def about(self) -> About:
        """The job whose rooms are shown."""
        return replace(super().about(), job=self._view.job if self._view is not None else None)

    def action_layout(self) -> None:
        """How the planks of its floors are laid."""
        from crewjobs.screens.floor_layout import FloorLayoutScreen

        if (view := self._of_a_job()) is not None:
            self.app.push_screen(FloorLayoutScreen(view.job))

    def action_new(self) -> None:
        """Write a new job: it is what a house is asked for without one."""
        self.crew_app.new_job()

    def action_turn(self, way: int) -> None:
        """The next job of the list, or the one before."""
        numbers = [row.number for row in self._jobs]
        view = self._of_a_job()
        if view is None or not numbers:
            return
        now = self.crew_app.job if self.crew_app.job is not None else view.job
        here = numbers.index(now) if now in numbers else -max(way, 0)
        self._go(numbers[(here + way) % len(numbers)])

    def action_other(self) -> None:
        """Choose a job from the list."""
        from crewjobs.screens.choose import Choose

        if self.is_open() and (view := self._of_a_job()) is not None:
            options = [(row.number, f"{row.number}  {row.title}") for row in self._jobs]
            self.app.push_screen(Choose("Rooms of which job?", options, view.job), self._picked)

    def _picked(self, number: object) -> None:
        if isinstance(number, int):
            self._go(number)

    def _go(self, number: int) -> None:
        self.crew_app.job = number
        if not self.status.undoable:  # what was said of another job
            self.status.say()
        self.load()


def _read(office: OfficeFace, wanted: int | None) -> Read:
    """Return the jobs, and the rooms of the one wanted; of none, those of the first furnished job, else of the first."""
    jobs = office.jobs()
    if wanted is not None:
        try:
            return jobs, office.rooms(wanted)
        except Refused:  # its loading was taken back since it was looked at
            pass
    first: RoomsView | None = None
    for row in jobs:
        view = office.rooms(row.number)
        if any(room.furniture for room in view.rooms):
            return jobs, view
        first = first or view
    return jobs, first


def _whole(sentence: str, lines: list[Line], width: int) -> list[Line]:
    return [*paragraph(sentence, width - 2, "strong", " "), [], *lines]
