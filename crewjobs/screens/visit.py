"""A visit of the week: why it is where it is, what moving it would cost and break, and pinning it to a crew and a day."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING

from textual.widgets import Select, Static

from crewjobs.screens.answer import Answer
from crewjobs.screens.kept_dialog import KeptDialog, taken_up_words
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.what_if import draw_what_if
from crewjobs.screens.widgets.choice import Choice
from crewjobs.screens.words import between, day
from crewjobs.services.answers.what_if_rows import WhatIfAsked, WhatIfView
from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.rows import Done, Visit, WeekView

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen


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


def ask_visit(screen: CrewScreen, visit: Visit, view: WeekView, kept: KeptForm | None = None) -> None:
    """Open a visit of a week, or with the place that was `kept` of it, and tell what was done, or open its job."""

    def visited(result: Done | int | None) -> None:
        if isinstance(result, Done):
            screen.told(Outcome(value=result))
        elif isinstance(result, int):
            screen.crew_app.open_job(result)

    screen.app.push_screen(VisitDialog(visit, view, kept), visited)


def ask_visit_again(screen: CrewScreen, job: int, kept: KeptForm) -> None:
    """Open it as it was `kept`, the same work in the same place; where the plan has it there no more, that is said."""
    try:
        stood = date.fromisoformat(kept.about.get("day", ""))
    except ValueError:
        stood = None

    def read(view: WeekView) -> None:
        visits = [visit for one in view.days for visit in one.visits]
        visit = next((visit for visit in visits if _opens(visit) == dict(kept.about)), None)
        if visit is None:
            from crewjobs.screens.taking_up import not_opened

            before = f" It stood with {kept.about.get('crew', '')} on {day(stood)}." if stood is not None else ""
            not_opened(screen.crew_app, kept, (f"The plan has another place for this work of job {job} now.{before}",))
        else:
            ask_visit(screen, visit, view, kept)

    monday = stood - timedelta(days=stood.weekday()) if stood is not None else None
    screen.ask_to_open(lambda office: office.week(monday), read)


def _opens(visit: Visit) -> dict[str, str]:
    """Return what opens a visit again: its work, and where the plan has it."""
    return {
        "job": str(visit.job),
        "tasks": ",".join(map(str, visit.tasks)),
        "crew": visit.crew,
        "day": visit.start.date().isoformat(),
    }


class VisitDialog(KeptDialog[Done | int]):
    """Closes with what was done, or with the job's number to open it; where it is to be moved to is kept meanwhile."""

    def __init__(self, visit: Visit, view: WeekView, kept: KeptForm | None = None) -> None:
        """Take the visit, its week, and the place that was chosen already when a link dropped."""
        super().__init__()
        self._visit = visit
        self._view = view
        self._taken = kept

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

    def on_mount(self) -> None:
        """The place that was chosen before is chosen; a crew or a day that is not there any more is said."""
        if self._taken is None:
            return
        gone = [self._taken.texts[name] for name in self._chosen() if not self._choose(name, self._taken.texts)]
        self.say_above(taken_up_words(self._taken), *(f"{one} is no more to be picked; pick it anew." for one in gone))

    def _choose(self, name: str, texts: Mapping[str, str]) -> bool:
        """Choose what was kept of a choice; say whether it is there to be chosen, or was left as it stood."""
        if name not in texts:
            return True
        days = {one.day.isoformat(): one.day for one in self._view.days}
        known: Mapping[str, str | date] = days if name == "day" else {crew: crew for crew in self._view.crews}
        if texts[name] not in known:
            return False
        self.query_one(f"#{name}", Select).value = known[texts[name]]
        return True

    def _chosen(self) -> dict[str, str]:
        """Return the crew and the day that are chosen; none where it cannot be moved."""
        return {str(pick.id): str(pick.value) for pick in self.query(Select)}

    def _moved(self) -> dict[str, str]:
        stands = {"crew": self._visit.crew, "day": self._visit.start.date().isoformat()}
        return {name: value for name, value in self._chosen().items() if value != stands[name]}

    def on_select_changed(self, _event: Select.Changed) -> None:
        """Keep it a moment later."""
        self.keep_soon()

    def kept(self) -> KeptForm | None:
        """Where it is to be moved to, where that is another place than it has."""
        moved = self._moved()
        if not moved:
            return None
        return KeptForm(form="move", title=f"Move {self.title_text()}", about=_opens(self._visit), texts=moved)

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
