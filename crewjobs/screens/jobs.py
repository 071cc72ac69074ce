"""Screen 3, Jobs: every job in one list; Enter opens one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.widgets import Input

from crewjobs.domain.wording import chance_words
from crewjobs.screens.base import NO_JOBS, NO_SHOP
from crewjobs.screens.drawing import Line, Piece, Target, filled, heading, paragraph
from crewjobs.screens.odds import LOOKING, OddsScreen
from crewjobs.screens.widgets.hinted import HintedInput
from crewjobs.screens.widgets.job_list import ORDERS, draw_jobs, matching, ordered
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.rows import JobRow

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.record.about import About

_LEAF = 100
"""Jobs drawn at once, so that a key is answered at once after years of jobs, too."""


class JobsScreen(OddsScreen):
    """The list, its order and its filter."""

    PLACE = "jobs"
    CHOSEN = "a job"
    ABOUT = (
        "All jobs that are not closed. Type / and some words to find one by number, house, customer, address or what it "
        "waits for; o changes the order, v adds the closed ones. + writes a new job in a form, e changes one, its rooms too. Odds "
        "are the chance that a job is done by its promised day; "
        "c says what they stand on and which day would hold."
    )
    BINDINGS = [
        Binding("enter,space", "choose", "open", key_display="Enter"),
        Binding("plus", "new", "new job", key_display="+"),
        Binding("slash", "find", "find", key_display="/"),
        Binding("o", "order", "order"),
        Binding("v", "view", "closed too"),
        Binding("r", "record", "record"),
        Binding("e", "edit", "edit"),
        Binding("y", "why", "why"),
        Binding("c", "odds", "odds"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[JobRow, ...] | None = None
        self._shown: list[JobRow] = []
        self._everything = False
        self._order = ORDERS[0]
        self._limit = _LEAF

    def body(self) -> Iterable[Widget]:
        """A field to find in, hidden until it is wanted, and the list."""
        find = HintedInput(placeholder="find: words of number, house, customer, address …", compact=True, id="find")
        find.display = False
        yield find
        yield Sheet(id="jobs")

    def load(self) -> None:
        """Read the jobs."""
        everything = self._everything
        self.ask(lambda office: office.jobs(everything), self._show)

    def _show(self, rows: tuple[JobRow, ...]) -> None:
        self._rows = rows
        self._again()
        if any(row.promised is not None for row in rows):
            self.look_at_odds()
        else:
            self.no_odds()

    def odds_changed(self) -> None:
        """Chances beside the promises."""
        self._again()

    def _again(self) -> None:
        if self._rows is not None:
            typed = self.query_one("#find", Input).value
            chances = {row.job: row.chance for row in self.odds.rows} if self.odds is not None else {}
            self._shown = ordered(matching(self._rows, typed), self._order, chances)
            before = self.sheet.selected
            fresh = before is None and self._shown
            self.sheet.show(self._draw, ("job", self._shown[0].number) if fresh else None)
            if _is_job(before) and not _is_job(self.sheet.selected) and self._shown:
                self.sheet.select(("job", self._shown[0].number))  # the job is gone from the list: never its headings

    def _draw(self, width: int, _selected: Target | None) -> list[Line]:
        if not self._rows:
            return [[], *paragraph(NO_JOBS if self.crew_app.shop else NO_SHOP, width - 2, "", " ")]
        count = (
            f"{len(self._shown)} of {len(self._rows)}" if len(self._shown) != len(self._rows) else str(len(self._rows))
        )
        title = f"{count} job{'s' if len(self._rows) != 1 else ''}"
        note = "closed ones too" if self._everything else "not closed"
        lines = [heading(title, width, f"{note}, by {self._order.name}")]
        lines += paragraph(self.odds_note, width - 2, "muted", " ")
        if not self._shown:
            return [*lines, [], *paragraph("Nothing found. Esc shows all again.", width - 2, "", " ")]
        lines += draw_jobs(self._shown[: self._limit], width, self._order, self._odds_words())
        rest = len(self._shown) - self._limit
        if rest > 0:
            words = f"{rest:,} more: / finds among them, Enter here shows the next {min(rest, _LEAF):,}."
            more = paragraph(words, width - 2, "accent", target="more")
            lines += [filled([Piece(" ", "mark", "more"), *line], width, "more") for line in more]
        return lines

    def _odds_words(self) -> dict[int, str]:
        if self.odds is not None:
            return {row.job: chance_words(row.chance) if row.chance is not None else "none" for row in self.odds.rows}
        looking = self.odds_note == LOOKING
        return {row.number: "…" for row in self._rows or () if row.promised is not None and looking}

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Open a job, or order by a heading."""
        target = event.target
        if target == "more":
            self._limit += _LEAF
            self._again()
        if not isinstance(target, tuple):
            return
        if target[0] == "job":
            self.crew_app.open_job(target[1])
        else:
            self._order = next((one for one in ORDERS if one.name == target[1]), self._order)
            self._again()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Find while typing."""
        if event.input.id == "find":
            self._again()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Back to the list, the words stay."""
        if event.input.id == "find":
            self.sheet.focus()

    def action_find(self) -> None:
        """Open the field."""
        field = self.query_one("#find", Input)
        field.display = True
        field.focus()

    def action_order(self) -> None:
        """The next order."""
        self._order = ORDERS[(ORDERS.index(self._order) + 1) % len(ORDERS)]
        self._again()

    def action_view(self) -> None:
        """With or without the closed ones."""
        self._everything = not self._everything
        self.load()

    def action_why(self) -> None:
        """Say what fixes the finish of the selected job."""
        from crewjobs.screens.why import ask_why

        target = self.sheet.selected
        if isinstance(target, tuple) and target[0] == "job":
            ask_why(self, target[1])
        else:
            self.first("a job")

    def action_odds(self) -> None:
        """Say the odds of the selected job."""
        from crewjobs.screens.odds_dialog import ask_odds

        target = self.sheet.selected
        if isinstance(target, tuple) and target[0] == "job":
            ask_odds(self, target[1])
        else:
            self.first("a job")

    def about(self) -> About:
        """The selected job."""
        target = self.sheet.selected
        job = target[1] if isinstance(target, tuple) and target[0] == "job" else None
        return replace(super().about(), job=job)

    def action_new(self) -> None:
        """Write a new job."""
        self.crew_app.new_job()

    def action_edit(self) -> None:
        """Edit the selected job."""
        target = self.sheet.selected
        if isinstance(target, tuple) and target[0] == "job":
            from crewjobs.screens.edit import ask_edit

            ask_edit(self, target[1])
        else:
            self.first("a job")

    def leave(self) -> None:
        """Esc shows all jobs again."""
        field = self.query_one("#find", Input)
        field.value = ""
        field.display = False
        self.sheet.focus()
        super().leave()


def _is_job(target: object) -> bool:
    return isinstance(target, tuple) and target[0] == "job"
