"""Screen 4, On site: one crew's day in one column; a tap ticks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING, Final

from textual.binding import Binding

from crewjobs.screens.ask_text import ask_how_far, named
from crewjobs.screens.base import NO_SHOP, CrewScreen
from crewjobs.screens.drawing import Line, Piece, Target, paragraph
from crewjobs.screens.untick import ask_untick
from crewjobs.screens.widgets.headline import Headline
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.site_day import (
    EVENING,
    draw_day,
    draw_earlier,
    first_open,
    group_name,
    has_next,
    is_left,
    next_task,
    none_left,
)
from crewjobs.screens.words import day
from crewjobs.services.rows import SiteDay, SiteTask

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.record.about import About


_DAY_COLUMNS: Final = 17
"""Of the longest day's name, ``Wed 30 Sep, today``: ‹ and › stay under the thumb whichever day is between them."""


class OnSiteScreen(CrewScreen):
    """Made for one thumb and 40 columns first."""

    PLACE = "on_site"
    CHOSEN = "a task"
    ABOUT = (
        "One crew's day. Tap a task, or press Enter on it, when it is done, and on a ticked one to take its tick back; P ticks all that is left today of its "
        "phase in its section. ‖ says what holds a task and until when: if it was really done all the same, the program asks for the "
        "reason and keeps it. f says how far the selected task is (9/19 rows). F records what demolition uncovered: it holds what it must at once. h takes in the whole sheet in the evening: hours, "
        "what is done, findings. r records a dry run, who is out, and what else happened. w sets from when ticks count. v goes to the first day of which something is not ticked, and back. u takes the last step back."
    )
    BINDINGS = [
        Binding("enter,space", "choose", "tick", key_display="Enter"),
        Binding("P", "tick_phase", "all", key_display="P"),
        Binding("g", "other", "crew"),
        Binding("left_square_bracket", "turn(-1)", "day before", key_display="["),
        Binding("right_square_bracket", "turn(1)", "day after", key_display="]"),
        Binding("left", "step(-1)", "day before", key_display="←", show=False),
        Binding("right", "step(1)", "day after", key_display="→", show=False),
        Binding("w", "when", "when"),
        Binding("s", "start", "start"),
        Binding("f", "how_far", "how far"),
        Binding("F", "found", "found", key_display="F"),
        Binding("h", "evening", "evening"),
        Binding("r", "record", "record"),
        Binding("t", "today", "today"),
        Binding("v", "view", "not ticked", show=False),
    ]

    TURNS = ("turn", "step", "today", "other")

    def __init__(self) -> None:
        super().__init__()
        self._crew = ""
        self._day: date | None = None
        self._asked_of: tuple[str, date | None] = ("", None)
        """Whose day was read last, and which; None: today."""
        self._view: SiteDay | None = None
        self._at = ""
        self._undone = False

    def body(self) -> Iterable[Widget]:
        """Whose day it is, and the day."""
        yield PageTitle(id="whose")
        unticked = PageTitle(id="unticked")
        unticked.display = False
        yield unticked
        yield Sheet(id="site", tap=True, unfolds=True)

    def load(self) -> None:
        """Read the crew's day."""
        crews = self.crew_app.crews
        if not crews:
            self._view = None
            if self.crew_app.office is not None:
                self.sheet.show(self._draw)
                self.call_after_refresh(self._is_drawn)
            else:
                self.waits_for_the_records()
            return
        if not self._crew:
            self._begin(crews)
        if self._crew not in crews:  # no other crew's day comes into its place of itself: Enter would tick its work
            self._view = None
            self._title_alone(self._crew)
            self.sheet.show(self._draw)
            self.call_after_refresh(self._is_drawn)
            return
        crew, chosen = self._crew, self._day
        if self._view is not None and (crew, chosen) != self._asked_of:
            self.turns_to_another()
        self._asked_of = crew, chosen
        self.ask(lambda office: office.site_day(crew, chosen), self._show)

    def _begin(self, crews: tuple[str, ...]) -> None:
        """With the crew, day and time one was at, else with the first crew today."""
        app = self.crew_app
        self._crew = app.crew or crews[0]
        self._day = date.fromisoformat(app.site_day) if app.site_day else None
        self._at = app.ticks_from

    def _note(self) -> None:
        """Whose day this is, for when the link drops."""
        app = self.crew_app
        app.crew, app.site_day, app.ticks_from = self._crew, self._day.isoformat() if self._day else "", self._at
        app.note_place()

    def _show(self, view: SiteDay) -> None:
        fresh = self._view is None or (view.crew, view.day) != (self._view.crew, self._view.day)
        was_left = self._view is not None and not fresh and has_next(self._view)
        let_go = (
            self._view is not None and not fresh and not was_left and has_next(view)
        )  # what held all of it is settled
        ticked = self._view is not None and not fresh and (self._ticked(view) or (was_left and not has_next(view)))
        again, self._undone = self._undone, False
        self._view = view
        if self.is_current:
            self._note()
        left = next_task(view, self.sheet.selected if ticked else None) or first_open(view)
        nearest = left if has_next(view) else None
        goal: Target = ("task", nearest.job, nearest.number) if nearest else EVENING
        select = goal if view.houses and (fresh or ticked or again or let_go) else None
        self._title(view)
        self.sheet.show(self._draw, select, with_head=fresh)

    def undone(self) -> None:
        """What was taken or put back may be the task to go on with: the eye goes there, too."""
        self._undone = True

    def _ticked(self, view: SiteDay) -> bool:
        """Whether what is selected was just ticked, so that the eye may go on to the next.

        The plan follows a tick, and what is done may be on the page no more: then the hand must not stay on what
        has come into its place, such as the box that ticks a whole group.
        """
        target = self.sheet.selected
        rows = [task for house in view.houses for task in house.tasks]
        if isinstance(target, tuple) and target[0] == "phase":
            return not any((task.job, task.phase, task.where) == target[1:] and is_left(task) for task in rows)
        before = self._row(target)
        if before is not None and before.state == "done":
            return False  # it was already: who looks at it stays there
        here = next((task for task in rows if ("task", task.job, task.number) == target), None)
        return here.state == "done" if here is not None else isinstance(target, tuple)

    def _title_alone(self, crew: str) -> None:
        title = self.query_one("#whose", PageTitle)
        title.left, title.right = (Piece(crew, "strong", "crew"), Piece(" ▾  ", "key", "crew")), ()
        self.query_one("#unticked", PageTitle).display = False

    def _title(self, view: SiteDay) -> None:
        now = self.query_one(Headline).now
        today = ", today" if now is not None and view.day == now.date() else ""
        title = self.query_one("#whose", PageTitle)
        title.left = (Piece(view.crew, "strong", "crew"), Piece(" ▾  ", "key", "crew"))
        title.right = (
            Piece(" ‹ ", "key", "before"),
            Piece(f"{day(view.day)}{today}".center(_DAY_COLUMNS), "strong", "today"),
            Piece(" › ", "key", "after"),
        )
        left, line = view.unticked, self.query_one("#unticked", PageTitle)
        line.display = left is not None
        if left is not None:
            line.left = (Piece(f"! Not ticked since {day(left.since)}: {left.tasks}", "warn", "unticked"),)
            line.right = (Piece("v › ", "key", "unticked"),)

    def _draw(self, width: int, selected: Target | None) -> list[Line]:
        view = self._view
        if view is None and self._crew and self.crew_app.crews and self._crew not in self.crew_app.crews:
            gone = f"There is no crew {self._crew} any more. g chooses whose day is shown."
            return [[], *paragraph(gone, width - 2, "", " ")]
        if view is None:
            return [[], *paragraph(NO_SHOP, width - 2, "", " ")]
        lines: list[Line] = []
        if self._at:
            lines += paragraph(f"Ticks count from: {self._at}", width - 2, "warn", " ! ")
        if not view.houses:
            known = view.recorded or (f"{view.crew} has no visit on {day(view.day)}.",)
            told = [*known[:-1], f"{known[-1]} [ and ] go to other days, g to another crew."]
            empty = [line for words in told for line in paragraph(words, width - 2, "", " ")]
            return [*lines, *draw_earlier(view, width), [], *empty]
        return [*lines, *draw_day(view, width, selected)]

    def on_page_title_clicked(self, event: PageTitle.Clicked) -> None:
        """Crew and day by tap."""
        {
            "crew": self.action_other,
            "before": lambda: self.action_turn(-1),
            "after": lambda: self.action_turn(1),
            "today": self.action_today,
            "unticked": self.action_view,
        }[str(event.target)]()

    def on_sheet_moved(self, event: Sheet.Moved) -> None:
        """The bottom line says what Enter does with what is selected."""
        row = self._row(event.target)
        done = "untick" if row is not None and row.state == "done" else ""
        self.query_one(KeyLine).enter = "evening" if event.target == EVENING else done

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Tick a task, or all of a phase of a section; with nothing left, the sheet of the day."""
        target = event.target
        if isinstance(target, tuple) and target[0] == "task":
            row = self._row(target)
            if row is not None and row.state == "done":
                ask_untick(self, row.job, row.number, row.title)
            else:
                self._timed(lambda at: self._tick(target[1], target[2], at), [row] if row is not None else [])
        elif isinstance(target, tuple):
            self._tick_group(target[1], target[2], target[3])
        elif target == EVENING:
            self.action_evening()

    def _row(self, target: Target | None) -> SiteTask | None:
        """The task that a target is."""
        rows = (task for house in (self._view.houses if self._view else ()) for task in house.tasks)
        return next((row for row in rows if ("task", row.job, row.number) == target), None)

    def _tick(self, job: int, task: int, at: str, because: str = "") -> None:
        self.act(
            lambda office: office.tick(job, [task], at=at, because=because),
            lambda reason: self._tick(job, task, at, reason),
            ("task", job, task),
        )

    def _tick_group(self, job: int, phase: str, where: str) -> None:
        """What is left of a phase of a section on this day, after asking where it is more than one task.

        Later days' tasks of it are not meant.
        """
        rows = [task for house in (self._view.houses if self._view else ()) for task in house.tasks]
        left = [row for row in rows if (row.job, row.phase, row.where) == (job, phase, where) and is_left(row)]

        def tick() -> None:
            self._timed(lambda at: self._tick_all(job, phase, where, [row.number for row in left], at), left)

        if not left:
            self.status.say(none_left(rows, job, phase, where))
        elif len(left) == 1:
            tick()
        else:
            from crewjobs.screens.choose import Choose

            many = [("leave", "Leave them"), ("tick", f"Tick all {len(left)}")]
            title = f"Tick {len(left)} tasks of job {job} at once? {group_name(phase, where)}"
            self.app.push_screen(
                Choose(title, many, "leave"),
                lambda answer: tick() if answer == "tick" else None,
            )

    def _tick_all(self, job: int, phase: str, where: str, tasks: list[int], at: str, because: str = "") -> None:
        self.act(
            lambda office: office.tick_phase(job, phase, where, only=tasks, at=at, because=because),
            lambda reason: self._tick_all(job, phase, where, tasks, at, reason),
            ("phase", job, phase, where),
        )

    def action_tick_phase(self) -> None:
        """All that is left today of the phase of the section that is selected."""
        target = self.sheet.selected
        if not isinstance(target, tuple) or self._view is None:
            self.first("a task")
            return
        if target[0] == "phase":
            self._tick_group(target[1], target[2], target[3])
            return
        for house in self._view.houses:
            for task in house.tasks:
                if (task.job, task.number) == target[1:]:
                    self._tick_group(task.job, task.phase, task.where)
                    return

    def action_start(self) -> None:
        """Say that the selected task has begun."""
        target = self.sheet.selected
        if isinstance(target, tuple) and target[0] == "task":
            row = self._row(target)
            if row is not None:
                self._timed(partial(self._start, row.job, row.number), [row], begins=True)
        else:
            self.first("a task")

    def _start(self, job: int, task: int, at: str) -> None:
        crew = self._crew
        self.act(lambda office: office.start(job, task, crew=crew, at=at), key=("start", job, task))

    def action_how_far(self) -> None:
        """Say how far the selected task is."""
        target = self.sheet.selected
        if not isinstance(target, tuple) or target[0] != "task":
            self.status.say("Select a task first, then f says how far it is.")
            return
        row = self._row(target)
        if row is not None:
            self._timed(partial(ask_how_far, self, row.job, row), [row])

    def action_evening(self) -> None:
        """Type the crew's sheet of this day back."""
        from crewjobs.screens.evening import ask_evening

        if self._view is not None:
            ask_evening(self, self._view.crew, self._view.day)

    def action_found(self) -> None:
        """Record what was found at the house of the selected task."""
        from crewjobs.screens.record.menu import ask_finding

        about = self.about()
        if about.job is None:
            self.status.say("Select a task of the house first, then F records what was found there.")
            return
        ask_finding(self, about)

    def about(self) -> About:
        """The house of the selected task, or the day's only one; the crew, the day, the task's place."""
        target = self.sheet.selected
        houses = self._view.houses if self._view else ()
        job = target[1] if isinstance(target, tuple) else houses[0].job if len(houses) == 1 else None
        day = self._view.day if self._view else None
        row = self._row(target)
        return replace(super().about(), job=job, crew=self._crew, day=day, place=row.where if row is not None else "")

    def action_other(self) -> None:
        """Pick another crew."""
        from crewjobs.screens.choose import Choose

        crews = self.crew_app.crews
        if not self.is_open():
            return
        if not crews:
            self.status.say("There is no crew yet.")
            return
        self.app.push_screen(Choose("Whose day?", [(crew, crew) for crew in crews], self._crew), self._pick)

    def _pick(self, crew: object) -> None:
        if isinstance(crew, str):
            self._crew = crew
            self.load()

    def action_turn(self, days: int) -> None:
        """A day back or forward."""
        before = self._day or (self._view.day if self._view is not None else None)
        if before is None:
            return
        self._day = before + timedelta(days=days)  # from the day that was asked for last, be it still on its way
        self.load()

    def action_step(self, days: int) -> None:
        """A day back or forward, too: the day has nothing to its left or right."""
        self.action_turn(days)

    def action_today(self) -> None:
        """Back to today."""
        self._day = None
        self.load()

    def action_view(self) -> None:
        """Go to the crew's first day of which something is not ticked, and back to today.

        Where it is other crews' alone, what is told of it comes into sight.
        """
        view, now = self._view, self.query_one(Headline).now
        left = view.unticked if view is not None else None
        if view is not None and now is not None and view.day < now.date():
            self.action_today()
        elif left is None:
            self.status.say("Of the days before nothing is left to tick.")
        elif left.own is None:
            self.sheet.scroll_home(animate=False)
        else:
            self._day = left.own
            self.load()

    def action_when(self) -> None:
        """Say from when the next ticks count."""
        from crewjobs.screens.ask_text import AskWhen

        self.app.push_screen(AskWhen("Ticks count from", self._at), self._when)

    def _when(self, typed: str | None) -> None:
        if typed is not None:
            self._at = typed
            self.load()

    def _timed(self, record: Callable[[str], None], rows: Sequence[SiteTask], *, begins: bool = False) -> None:
        """Record something of some tasks; on the page of a day gone by only once it is said from when it counts.

        What cures or acclimates counts from then. What is proposed is when the plan had them done, or begun. Where a later day
        knew it open yet, no moment of this one would be taken: that is said instead of asking.
        """
        view, now = self._view, self.query_one(Headline).now
        if self._at or view is None or now is None or view.day >= now.date():
            record(self._at)
            return
        later = next((row.not_yet for row in rows if row.not_yet), "")
        if later:
            self.status.say(f"{later}: nothing before that is taken any more; record it on the page of a later day.")
            return
        from crewjobs.screens.ask_text import AskWhen

        times = [row.time.removeprefix("was ")[:5] if begins else row.until for row in rows]
        proposed = f"{view.day.isoformat()} {max(times)}" if times and all(times) else ""
        self.app.push_screen(
            AskWhen(
                f"{day(view.day)} is gone by: {'begun' if begins else 'done'} when?",
                proposed,
                f"{_named(rows)}The plan had it then. What cures or dries counts from what you say.",
            ),
            lambda typed: record(typed) if typed is not None else None,
        )


def _named(rows: Sequence[SiteTask]) -> str:
    """Say in short of which task, or how many, is asked: the dialog may cover it; empty where it is not known."""
    if len(rows) == 1:
        return f"{named(rows[0])} "
    return f"{len(rows)} tasks of job {rows[0].job}. " if rows else ""
