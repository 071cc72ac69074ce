"""A visit of the week: why it is where it is, what moving it would cost and break, and pinning it to a crew and a day."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from textual.widgets import Select, Static

from crewjobs.screens.answer import Answer
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.what_if import draw_what_if
from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.words import between, day
from crewjobs.services.answers.what_if_rows import WhatIfAsked, WhatIfView
from crewjobs.services.rows import Done, Visit, WeekView

if TYPE_CHECKING:
    from textual.widget import Widget


class Trial(Answer[bool]):
    """What a move costs and breaks; kept from here, or closed with nothing kept."""

    def __init__(self, view: WhatIfView) -> None:
        # How it would be recorded by hand is not said: Pin it stands below.
        shown = dataclasses.replace(view, commands=(), by_hand="")
        super().__init__("If it is moved", lambda width: draw_what_if(shown, width))

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Keep it, too."""
        return (("pin", "Pin it"), *super().buttons())

    def pressed(self, _name: str) -> None:
        """It is to be kept."""
        self.dismiss(True)


class VisitDialog(Dialog[Done | int]):
    """Closes with what was done, or with the job's number to open it."""

    def __init__(self, visit: Visit, view: WeekView) -> None:
        super().__init__()
        self._visit = visit
        self._view = view

    def title_text(self) -> str:
        """Job and title."""
        return f"{self._visit.job}  {self._visit.title}"

    def body(self) -> Iterable[Widget]:
        """What, why, and where it may be pinned."""
        visit = self._visit
        start = visit.start.date()
        when = f"{visit.crew}, {day(start)}, {between(visit.start, visit.end)}"
        yield Static(when, markup=False, classes="strong")
        yield Static(visit.what, markup=False)
        why = f"Why here: {visit.reason}" if visit.reason else "All of it is ticked." if visit.done else ""
        yield Static(why, markup=False, classes="why")
        if visit.recorded:
            yield Static(f"Recorded: {visit.recorded}.", markup=False)
        if visit.begun:
            yield Static("Work here has begun; a new plan keeps it where it is.", markup=False, classes="hint")
        if visit.pinned:
            yield Static("Pinned: a new plan keeps its crew and day.", markup=False, classes="hint")
        days = [one.day for one in self._view.days]
        if not visit.tasks:
            return
        yield Static("Move to; Try it says what that costs and breaks, Pin keeps it:", markup=False, classes="hint")
        yield Choice(
            [(crew, crew) for crew in self._view.crews], value=visit.crew, allow_blank=False, compact=True, id="crew"
        )
        yield Choice([(day(one), one) for one in days], value=start, allow_blank=False, compact=True, id="day")

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Unpin only what is pinned."""
        unpin = (("unpin", "Unpin"),) if self._visit.pinned else ()
        move = (("try", "Try it"), ("pin", "Pin"), *unpin) if self._visit.tasks else ()
        return (*move, ("job", "Open job"), ("close", "Close"))

    def main_button(self) -> str:
        """Pin keeps the place that is chosen; of what is all done only the job can be opened."""
        return "pin" if self._visit.tasks else super().main_button()

    def pressed(self, name: str) -> None:
        """Pin, unpin or open."""
        job, tasks = self._visit.job, self._visit.tasks
        if name == "job":
            self.dismiss(job)
        elif name == "unpin":
            self.save(lambda office: office.unpin(job, tasks))
        else:
            crew, chosen = self.query_one("#crew", Select).value, self.query_one("#day", Select).value
            if not (isinstance(crew, str) and isinstance(chosen, date)):
                return
            if name == "try":
                self.say("Planning with it and without it …")
                work(self, partial(self._try, crew, chosen), "try", exclusive=True)
            else:
                self._pin(crew, chosen)

    def _pin(self, crew: str, chosen: date) -> None:
        self.save(lambda office: office.pin(self._visit.job, self._visit.tasks, crew, chosen, visit=True))

    async def _try(self, crew: str, chosen: date) -> None:
        """Show the plan with the visit moved beside the one without; nothing is kept, and the dialog stays as it is."""
        office = self.crew_app.office
        if office is None:
            return
        asked = WhatIfAsked(visits=((self._visit.job, self._visit.tasks, crew, chosen),))
        outcome = await outcome_of(lambda: office.what_if(asked))
        self.say(*outcome.sentences)
        if (view := outcome.value) is not None:
            self.app.push_screen(Trial(view), lambda keep: self._pin(crew, chosen) if keep else None)
