"""Screen 2, Week: where each crew is, which waits run beside it, what is not planned and why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.base import NO_SHOP
from crewjobs.screens.drawing import Line, Piece, Target, paragraph
from crewjobs.screens.odds import OddsScreen
from crewjobs.screens.outcome import work
from crewjobs.screens.widgets.headline import Headline
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.screens.widgets.week_table import draw_small, draw_week
from crewjobs.screens.words import between, dated, day, instant
from crewjobs.services.rows import Visit, WeekView

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.record.about import About

_CHANGED = "The plan has changed: look again."
_NO_PLAN = "No plan yet. Press p to plan the weeks of all crews."


class WeekScreen(OddsScreen):
    """One week of the plan in force."""

    PLACE = "week"
    ABOUT = (
        "Days down, crews across; beside each day the waits that begin, run and end on it. Enter on a visit says why it "
        "is there and pins it; y says what fixes its job's finish, on a day which promises clash. Planning keeps pins and work "
        "begun, then looks for a better plan while you look around, until Esc or ten seconds end it; x shows what that "
        "would save and move, and takes it; c says the chances: the odds of the selected visit's job, or of every promise, and which day would hold; i supposes something (somebody off, a truck late, a job more) and shows "
        "the plan with it, keeping nothing; d writes the day plans of the selected day, D the week for the wall."
    )
    BINDINGS = [
        Binding("p", "plan", "plan"),
        Binding("enter,space", "choose", "why, pin", key_display="Enter"),
        Binding("left_square_bracket", "turn(-7)", "week before", key_display="["),
        Binding("right_square_bracket", "turn(7)", "week after", key_display="]"),
        Binding("t", "today", "this week"),
        Binding("d", "print", "day plans"),
        Binding("D", "print_week", "week sheet", key_display="D"),
        Binding("y", "why", "why"),
        Binding("c", "odds", "odds"),
        Binding("x", "proposal", "better plan"),
        Binding("r", "record", "record"),
        Binding("i", "what_if", "what if"),
    ]

    OF_ITSELF = (*OddsScreen.OF_ITSELF, "plan", "proposal")
    TURNS = ("turn", "today")

    def __init__(self) -> None:
        super().__init__()
        self._monday: date | None = None
        self._view: WeekView | None = None
        self._to_today = False
        """Whether today is to be looked for once the week is read."""
        self._chosen: tuple[Target, Visit | None] | None = None
        """What was chosen while the week was read anew, and the visit it was then."""

    def body(self) -> Iterable[Widget]:
        """One sheet that is walked in all directions."""
        yield PageTitle()
        yield Sheet(id="week", sideways=True)

    def load(self) -> None:
        """Read the week."""
        monday, self._chosen = self._monday, None
        self.ask(lambda office: office.week(monday), self._show)

    def _show(self, view: WeekView) -> None:
        turned = self._view is not None and self._view.monday != view.monday
        self._view = view
        now = self.query_one(Headline).now
        select: Target | None = None
        looks = self._to_today or turned or self.sheet.selected is None
        if now is not None and looks and timedelta(0) <= now.date() - view.monday < timedelta(days=7):
            select = ("day", now.date())
        elif turned and view.days:  # another week is read from its beginning, wherever one was in the one before
            select = ("day", view.days[0].day)
        self._to_today = False
        self._title(view)
        self.sheet.show(self._draw, select, on_top=True)
        if self._chosen is not None:
            (target, visit), self._chosen = self._chosen, None
            self._open_anew(target, visit)
        if view.promises:
            self.look_at_odds()
        else:
            self.no_odds()

    def _title(self, view: WeekView) -> None:
        title = self.query_one(PageTitle)
        title.display = bool(self.crew_app.shop)
        title.left = (Piece(f"Week of {dated(view.monday)}", "strong", "today"),)
        made = f", made {instant(view.made_at)}" if view.made_at is not None else ""
        title.aside = (Piece(f"  plan {view.plan_number}{made}", "muted"),) if view.plan_number else ()
        title.right = (Piece(" ‹ ", "key", "before"), Piece("week", "muted", "today"), Piece(" › ", "key", "after"))

    def on_page_title_clicked(self, event: PageTitle.Clicked) -> None:
        """Another week by tap."""
        {"before": lambda: self.action_turn(-7), "after": lambda: self.action_turn(7), "today": self.action_today}[
            str(event.target)
        ]()

    def odds_changed(self) -> None:
        """Chances beside the promises."""
        if self._view is not None:
            self.sheet.show(self._draw)

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        view = self._view
        if view is None:
            return []
        if not self.crew_app.shop:
            return [[], *paragraph(NO_SHOP, width - 2, "", " ")]
        if not view.plan_number:
            return [[], *paragraph(_NO_PLAN, width - 2, "", " "), *draw_small(view, width)]
        return draw_week(view, width, self.query_one(Headline).now, self.odds, self.odds_note)

    def selected_day(self) -> date | None:
        """The day of what is selected."""
        target = self.sheet.selected
        if isinstance(target, tuple) and isinstance(target[1], date):
            return target[1]
        return self._view.monday if self._view else None

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """A visit says why it is there and can be pinned; of a day one of its visits is chosen first."""
        target = event.target
        if not isinstance(target, tuple) or self._view is None:
            return
        if self.changing:
            self.status.say("Writing …: press Enter again in a moment.")
        elif self.reading:  # nothing is chosen of a plan that may be in force no more
            self._chosen = target, self._visit(target) if target[0] == "visit" else None
        else:
            self._open(target)

    def _open_anew(self, target: Target, was: Visit | None) -> None:
        """Open what was chosen while the week was read, unless another visit stands in its place by now."""
        if not self._in_front() or not isinstance(target, tuple):
            return
        if was is not None and not _same(was, self._visit(target)):
            self.status.say(_CHANGED)
        else:
            self._open(target)

    def _open(self, target: tuple[object, ...]) -> None:
        if target[0] == "day" and isinstance(target[1], date):
            self._choose_of(target[1])
            return
        visit = self._visit(target)
        if visit is not None:
            self._open_visit(visit)

    def _choose_of(self, chosen: date, *told: str) -> None:
        """Ask which visit of a day is meant; `told` first."""
        from crewjobs.screens.choose import Choose

        visits = [visit for one in self._view.days if one.day == chosen for visit in one.visits] if self._view else []
        if not visits:
            self.status.say(f"Nobody visits a house on {day(chosen)}.")
            return
        options = [
            (place, f"{visit.crew}, {between(visit.start, visit.end)}: job {visit.job}, {visit.title}")
            for place, visit in enumerate(visits)
        ]

        def picked(place: object) -> None:
            if not isinstance(place, int):
                return
            visit = visits[place]
            now = [other for one in self._view.days if one.day == chosen for other in one.visits] if self._view else []
            if any(_same(visit, other) for other in now):
                self._open_visit(visit)
            else:  # the week was read anew below the list
                self._choose_of(chosen, _CHANGED)

        title = f"Which visit of {day(chosen)}? Why it is there, Pin, Try it elsewhere"
        self.app.push_screen(Choose(title, options, told=told), picked)

    def _open_visit(self, visit: Visit) -> None:
        from crewjobs.screens.visit import ask_visit

        if self._view is not None:
            ask_visit(self, visit, self._view)

    def _visit(self, target: tuple[object, ...]) -> Visit | None:
        for one in self._view.days if self._view else ():
            if one.day == target[1] and isinstance(target[2], int) and target[2] < len(one.visits):
                return one.visits[target[2]]
        return None

    def action_turn(self, days: int) -> None:
        """A week back or forward."""
        if self._view is not None:
            self._monday = (self._monday or self._view.monday) + timedelta(days=days)  # from the one asked for last
            self.turns_to_another()
            self.load()

    def action_today(self) -> None:
        """The week that runs, today on top."""
        self._monday, self._to_today = None, True
        self.turns_to_another()
        self.load()

    def action_plan(self) -> None:
        """Plan all crews."""
        self.crew_app.plan()

    def action_proposal(self) -> None:
        """Show what the proposed plan saves and moves."""
        from crewjobs.screens.proposal import show_proposal

        show_proposal(self)

    def about(self) -> About:
        """The selected visit's job and crew, and the day."""
        target = self.sheet.selected
        visit = self._visit(target) if isinstance(target, tuple) and len(target) > 2 else None
        job, crew = (visit.job, visit.crew) if visit is not None else (None, "")
        return replace(super().about(), job=job, crew=crew, day=self.selected_day())

    def action_why(self) -> None:
        """Say what fixes the finish of the selected visit's job; elsewhere which promises clash."""
        from crewjobs.screens.why import ask_why

        target = self.sheet.selected
        visit = self._visit(target) if isinstance(target, tuple) and len(target) > 2 else None
        ask_why(self, visit.job if visit is not None else None)

    def action_odds(self) -> None:
        """Say the odds of the selected visit's job; elsewhere of every promise."""
        from crewjobs.screens.odds_dialog import ask_odds

        target = self.sheet.selected
        visit = self._visit(target) if isinstance(target, tuple) and len(target) > 2 else None
        ask_odds(self, visit.job if visit is not None else None)

    def action_what_if(self) -> None:
        """Suppose something about the selected visit's crew, day or job, and see the plan with it; keep nothing."""
        from crewjobs.screens.what_if import ask_what_if

        ask_what_if(self, self.about())

    def action_print_week(self) -> None:
        """Write the sheet of the week that is shown into the folder."""
        if self._view is not None:
            from crewjobs.screens.printing import write_week

            work(self, partial(write_week, self, self._view.monday), "print", exclusive=True)

    def action_print(self) -> None:
        """Write the day plans of the selected day into the folder."""
        chosen = self.selected_day()
        if chosen is not None:
            from crewjobs.screens.printing import write

            work(self, partial(write, self, chosen), "print", exclusive=True)


def _same(visit: Visit, other: Visit | None) -> bool:
    """Return whether two visits, each of a plan, are the same work of the same crew at the same time."""
    return other is not None and all(
        getattr(visit, name) == getattr(other, name) for name in ("job", "crew", "start", "end", "tasks")
    )
