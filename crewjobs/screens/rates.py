"""Screen 6, Rates: the book's rates against each crew's own, and estimates against hours."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.binding import Binding

from crewjobs.screens.base import NO_SHOP, CrewScreen
from crewjobs.screens.drawing import Line, Piece, Target, paragraph
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.against_bars import draw_lately
from crewjobs.screens.widgets.page_title import PageTitle
from crewjobs.screens.widgets.rate_table import crew_words, draw_rates
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rates.rates_rows import LatelyView, RatesView
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.record.about import About

_OF_A_CREW = ("other", "turn", "step", "edit")
_READING = "Learning from the hours …"


class RatesScreen(CrewScreen):
    """Two views of the same hours: rates of one crew, and estimates of the jobs worked last."""

    PLACE = "rates"
    ABOUT = (
        "What hours tell. Of one crew (g, [ and ]) each rate by phase: the book's, its own, the band that holds its mean pace with 80 %, "
        "and how many jobs are behind it; ━ is the band, ◆ the rate, ┊ the book's, all on one scale, slower to the left. What is odd in the "
        "records stands below: Enter opens the job. v shows estimates against hours of the jobs worked last instead, each phase in bars and "
        "in words. e (or Enter on a rate) sets a rate by hand, or lets it be as it is learned again; the planner takes it then. Hours are recorded with h in On site; a sub has a capacity, not rates."
    )
    BINDINGS = [
        Binding("enter,space", "choose", "open", key_display="Enter"),
        Binding("e", "edit", "set by hand"),
        Binding("v", "view", "view"),
        Binding("g", "other", "crew"),
        Binding("left_square_bracket", "turn(-1)", "crew before", key_display="["),
        Binding("right_square_bracket", "turn(1)", "crew after", key_display="]"),
        Binding("left", "step(-1)", "crew before", key_display="←", show=False),
        Binding("right", "step(1)", "crew after", key_display="→", show=False),
        Binding("r", "record", "record"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._crew = ""
        self._hours = False
        self._rates: RatesView | None = None
        self._lately: LatelyView | None = None

    def body(self) -> Iterable[Widget]:
        """Whose rates, and the sheet."""
        yield PageTitle()
        yield Sheet(id="rates", unfolds=True)

    def load(self) -> None:
        """Learn in a thread; what was learned before stays in sight meanwhile."""
        if self.crew_app.office is not None and not self.crew_app.shop:
            self.sheet.show(lambda width, _: [[], *paragraph(NO_SHOP, width - 2, "", " ")])
            return
        if self._nothing_yet:
            self._show_sheet()
        if self._hours:
            self.ask(lambda office: office.lately(), self._show_lately)
        else:
            self.ask(lambda office: office.rates(), self._show_rates)

    @property
    def _nothing_yet(self) -> bool:
        return (self._lately if self._hours else self._rates) is None

    def _show_rates(self, view: RatesView) -> None:
        self._rates = view
        names = [one.crew for one in view.crews]
        was = self._crew
        if self._crew not in names:
            known = (one.crew for one in view.crews if one.rows)
            self._crew = next(known, names[0] if names else "")
            if was and self._crew:
                self.status.say(f"There is no crew {was} any more: these are the rates of {self._crew}.")
        self._show_sheet()

    def _show_lately(self, view: LatelyView) -> None:
        self._lately = view
        self._show_sheet()

    def _show_sheet(self) -> None:
        title = self.query_one(PageTitle)
        if self._hours:
            title.left = (Piece("Estimates", "strong"),)
        else:
            title.left = (Piece(self._crew, "strong", "crew"), Piece(" ▾", "key", "crew")) if self._crew else ()
        title.right = (
            Piece("rates", "muted" if self._hours else "strong", "rates"),
            Piece("  ", ""),
            Piece("estimates", "strong" if self._hours else "muted", "estimates"),
            Piece("  v", "key", "other"),
        )
        self.sheet.show(self._draw)

    def _draw(self, width: int, selected: Target | None) -> list[Line]:
        if self._nothing_yet:
            return [[], *paragraph(_READING, width - 2, "muted", " ")]
        if self._hours:
            return draw_lately(self._lately, width, selected) if self._lately is not None else []
        return draw_rates(self._rates, self._crew, width, selected) if self._rates is not None else []

    def on_page_title_clicked(self, event: PageTitle.Clicked) -> None:
        """Crew and view by tap."""
        if event.target == "crew":
            self.action_other()
        elif event.target == "other" or (event.target == "estimates") != self._hours:
            self.action_view()

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Open the job behind an estimate or an odd record; set a rate by hand."""
        target = event.target
        if isinstance(target, tuple) and target[0] in ("job", "ask"):
            self.crew_app.open_job(target[-1])
        elif isinstance(target, tuple):
            self.action_edit()

    def action_edit(self) -> None:
        """Set the selected rate by hand, or let it be as it is learned again."""
        from crewjobs.screens.pin_rate import PinRate

        if not self._crew:
            self.status.say("There is no crew yet whose rates could be set by hand.")
            return
        rows = [row for one in self._rates.crews if one.crew == self._crew for row in one.rows] if self._rates else []
        chosen = next((row for row in rows if ("rate", self._crew, row.template) == self.sheet.selected), None)
        self.app.push_screen(PinRate(self._crew, chosen), self._pinned)

    def _pinned(self, done: Done | None) -> None:
        if done is not None:
            self.told(Outcome(value=done), looks=False)

    def about(self) -> About:
        """The crew whose rates are shown."""
        return replace(super().about(), crew="" if self._hours else self._crew)

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool | None:
        """Estimates are of all crews: there is none to go to."""
        return not (self._hours and action in _OF_A_CREW)

    def action_view(self) -> None:
        """The other view."""
        self._hours = not self._hours
        self.refresh_bindings()
        self.sheet.selected = None
        self.sheet.scroll_home(animate=False)
        self._show_sheet()
        self.load()

    def action_turn(self, way: int) -> None:
        """The next crew, or the one before."""
        names = [one.crew for one in self._rates.crews] if self._rates is not None else []
        if names:
            self._pick(names[(names.index(self._crew) + way) % len(names)])

    def action_step(self, way: int) -> None:
        """The crew before or after, too: rates have nothing to their left or right."""
        self.action_turn(way)

    def action_other(self) -> None:
        """Pick another crew."""
        from crewjobs.screens.choose import Choose

        if self.is_open() and self._rates is not None and self._rates.crews:
            options = [(one.crew, crew_words(one)) for one in self._rates.crews]
            self.app.push_screen(Choose("Whose rates?", options, self._crew), self._pick)

    def _pick(self, crew: object) -> None:
        if isinstance(crew, str) and crew != self._crew:
            self._crew = crew
            self.sheet.selected = None
            self.sheet.scroll_home(animate=False)
            self._show_sheet()
