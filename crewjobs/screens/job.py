"""The page of one job: phases × sections, tasks and what holds them, material, cautions, change log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.ask_text import ask_how_far
from crewjobs.screens.drawing import Line, Piece, Target
from crewjobs.screens.odds import OddsScreen
from crewjobs.screens.untick import ask_untick
from crewjobs.screens.widgets.job_page import draw_page
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import JobPage

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.record.about import About

_FINISHED = ("done", "not needed")


class JobScreen(OddsScreen):
    """Opened above the list or wherever a job is pointed at; Esc goes back there."""

    PLACE = "jobs"
    NAME = "a job's page"
    ABOUT = (
        "One job, whole. [ ] is to do, [/] under way, [x] done, [-] not needed; ‖ says what holds a task and until when. "
        "Enter ticks the selected task; on a phase of a section it ticks all that is left of it. A task on hold can "
        "still be recorded: it asks for the reason and keeps it. Enter on material records that it has come. y says what "
        "fixes its finish, c the chance of its days and which day would hold. f says how far the selected task is. F records what demolition uncovered: it holds what it must at once. r records what else happened: the house ready or not, others asked, visits, walk-throughs, "
        "money."
    )
    BINDINGS = [
        Binding("enter,space", "choose", "tick", key_display="Enter"),
        Binding("s", "start", "start"),
        Binding("a", "arrived", "arrived"),
        Binding("l", "lots", "lots"),
        Binding("y", "why", "why"),
        Binding("c", "odds", "odds"),
        Binding("f", "how_far", "how far"),
        Binding("F", "found", "found", key_display="F"),
        Binding("r", "record", "record"),
        Binding("e", "edit", "edit"),
        Binding("w", "when", "when"),
        Binding("d", "print", "day plan"),
        Binding("escape", "back", "back", key_display="Esc"),
    ]

    OF_ITSELF = (*OddsScreen.OF_ITSELF, "edit", "why", "odds", "record", "found", "when", "print")
    """They are about this job, whichever of its tasks is selected."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number
        self._page: JobPage | None = None
        self._at = ""

    def body(self) -> Iterable[Widget]:
        """The job's name, and one sheet that is walked in all directions."""
        yield PageTitle()
        yield Sheet(id="job", sideways=True, unfolds=True)

    def load(self) -> None:
        """Read the job."""
        self.ask(lambda office: office.job(self.number), self._show)

    def cannot_show(self, sentences: tuple[str, ...]) -> None:
        """Of a job that was taken back there is no page: back to where it was opened, with what was said here."""
        app = self.crew_app
        gone = any(f"there is no job {self.number}" in sentence.casefold() for sentence in sentences)
        if not gone or not self.is_active or len(app.screen_stack) < 2:
            super().cannot_show(sentences)
            return
        told, takes = self.status.said, self.status.takes
        if app.job == self.number:
            app.job = None
        app.pop_screen()
        if app.front is not None:
            app.speaks(app.front)
            app.front.status.say(*told, f"There is no job {self.number} any more: its page is closed.", takes=takes)

    def _show(self, page: JobPage) -> None:
        first = self._page is None
        self._page = page
        select: Target | None = None
        if first:
            todo = next((one for one in page.tasks if one.state not in _FINISHED and not one.hold), None)
            select = ("task", todo.number) if todo else None
        self.query_one(PageTitle).left = (Piece(f"{page.row.number}  {page.row.title}", "strong"),)
        self.query_one(PageTitle).right = (Piece(page.row.state, "muted"),)
        looked_at = page.row.state == "booked" and page.row.tasks_done < page.row.tasks_all
        if not looked_at:
            self.no_odds()  # before it is drawn: those of a time when it was booked are not shown
        # How the job stands is read first: the page opens at its head, also where the first task stands below.
        self.sheet.show(self._draw, select, reveal=False)
        if looked_at:
            self.look_at_odds(self.number)

    def odds_changed(self) -> None:
        """The days it is likely done by."""
        if self._page is not None:
            self.sheet.show(self._draw)

    def _draw(self, width: int, selected: Target | None) -> list[Line]:
        if self._page is None:
            return []
        return draw_page(self._page, width, self._at, selected, self.odds_of(self.number), self.odds_note)

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Tick a task or a phase, or record material."""
        target = event.target
        if not isinstance(target, tuple) or self._page is None:
            return
        if target[0] == "task":
            done = next((row for row in self._page.tasks if row.number == target[1] and row.state == "done"), None)
            if done is not None:
                ask_untick(self, self.number, done.number, done.title)
            else:
                self._tick(target[1])
        elif target[0] == "cell":
            self._tick_phase(target[1], target[2])
        else:
            self._arrived(target[1])

    def _tick(self, task: int, because: str = "") -> None:
        job, at = self.number, self._at
        self.act(
            lambda office: office.tick(job, [task], at=at, because=because),
            lambda reason: self._tick(task, reason),
            ("task", task),
        )

    def _tick_phase(self, phase: str, where: str, because: str = "") -> None:
        job, at = self.number, self._at
        self.act(
            lambda office: office.tick_phase(job, phase, where, at=at, because=because),
            lambda reason: self._tick_phase(phase, where, reason),
            ("cell", phase, where),
        )

    def _selected(self, kind: str) -> object:
        target = self.sheet.selected
        return target[1] if isinstance(target, tuple) and target[0] == kind else None

    def action_start(self) -> None:
        """Say that the selected task has begun."""
        task = self._selected("task")
        if isinstance(task, int):
            job, at = self.number, self._at
            self.act(lambda office: office.start(job, task, at=at), key=("start", task))
        else:
            self.status.say("Select a task first, then s says it has begun.")

    def action_arrived(self) -> None:
        """Material has come."""
        chosen = self._selected("material")
        self._arrived(chosen if isinstance(chosen, str) else "")

    def _arrived(self, material: str) -> None:
        from crewjobs.screens.arrived import ask_arrived

        ask_arrived(self, self.number, material)

    def action_lots(self) -> None:
        """The lead says which rooms each lot goes into."""
        from crewjobs.screens.lots import ask_lots

        chosen = self._selected("material")
        ask_lots(self, self.number, chosen if isinstance(chosen, str) else "")

    def about(self) -> About:
        """This job."""
        return replace(super().about(), job=self.number)

    def action_found(self) -> None:
        """Record what was found at this job."""
        from crewjobs.screens.record.menu import ask_finding

        ask_finding(self, self.about())

    def action_how_far(self) -> None:
        """Say how far the selected task is."""
        task = self._selected("task")
        row = next((one for one in self._page.tasks if one.number == task), None) if self._page else None
        if row is not None:
            ask_how_far(self, self.number, row, self._at)
        else:
            self.status.say("Select a task first, then f says how far it is.")

    def action_why(self) -> None:
        """Say what fixes the job's finish."""
        from crewjobs.screens.why import ask_why

        ask_why(self, self.number)

    def action_odds(self) -> None:
        """Say how likely the job's days are."""
        from crewjobs.screens.odds_dialog import ask_odds

        ask_odds(self, self.number)

    def action_edit(self) -> None:
        """Edit what was agreed."""
        from crewjobs.screens.edit import ask_edit

        ask_edit(self, self.number)

    def action_when(self) -> None:
        """Say from when the next ticks count."""
        from crewjobs.screens.ask_text import AskWhen

        self.app.push_screen(AskWhen("Ticks and starts count from", self._at), self._when)

    def _when(self, typed: str | None) -> None:
        if typed is not None:
            self._at = typed
            self.load()

    def action_print(self) -> None:
        """Write the day plan of one of this job's days."""
        from crewjobs.screens.printing import ask_day_plan

        ask_day_plan(self, self.number)

    def leave(self) -> None:
        """Back to where it was opened."""
        self.turn_back()
