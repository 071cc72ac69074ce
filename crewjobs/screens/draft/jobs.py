"""A job written in the screens: a new one, one that is changed, and what comes next once it is made; the shop, too."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from crewjobs.screens.choose import Choose
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.draft import Draft


def ask_new_job(screen: CrewScreen, title: str = "New job") -> None:
    """Open the form of a new job; once it is made, ask what comes next."""

    def read(draft: Draft) -> None:
        def made(done: Done | None) -> None:
            if done is not None:
                screen.told(Outcome(value=done))
                _ask_next(screen, draft.number)

        screen.app.push_screen(_form(screen, title, draft, "Make it"), made)

    _read(screen, lambda office: office.new_job(), read)


def ask_whole_job(screen: CrewScreen, number: int) -> None:
    """Open the form of a job as it is: house, rooms, floors, doorways, stairs, orders, work, days."""

    def read(draft: Draft) -> None:
        def changed(done: Done | None) -> None:
            if done is not None:
                screen.told(Outcome(value=done))

        screen.app.push_screen(_form(screen, f"Job {number}", draft, "Save"), changed)

    _read(screen, lambda office: office.job_draft(number), read)


def ask_shop(screen: CrewScreen) -> None:
    """Open the form of the shop and its crews as they are."""

    def read(draft: Draft) -> None:
        def changed(done: Done | None) -> None:
            if done is not None:
                screen.told(Outcome(value=done))
                work(screen.app, screen.crew_app.read_shop, "open")

        office = screen.crew_app.office
        assert office is not None
        screen.app.push_screen(DraftForm("Shop", draft, office.check_shop, office.keep_shop, make="Save"), changed)

    _read(screen, lambda office: office.shop_draft(), read)


def _read(screen: CrewScreen, call: Callable[[OfficeFace], Draft], then: Callable[[Draft], None]) -> None:
    async def reading() -> None:
        office = screen.crew_app.office
        if office is None:
            screen.status.say("Still opening the records; try again in a moment.")
            return
        outcome = await outcome_of(lambda: call(office))
        if outcome.value is None:
            screen.refusal.say(outcome.sentences, title="Cannot be shown")
        else:
            then(outcome.value)

    # Not `screen.ask`: a dialog that closed makes the screen read itself anew, which would make this void.
    work(screen, reading, "draft", exclusive=True)


def _form(screen: CrewScreen, title: str, draft: Draft, make: str) -> DraftForm[Done]:
    office = screen.crew_app.office
    assert office is not None
    return DraftForm(title, draft, office.check_draft, office.keep_draft, make=make)


def _ask_next(screen: CrewScreen, number: int) -> None:
    """The job is made: its day plan, its floor, its house; or just its page."""
    app = screen.crew_app

    def chosen(name: object) -> None:
        app.open_job(number)
        front = app.front
        if front is None or name is None:
            return
        if name == "print":
            work(front, partial(_plan_and_print, front, number), "plan")
        elif name == "arrived":
            from crewjobs.screens.arrived import ask_arrived

            work(front, partial(_when_read, front, lambda: ask_arrived(front, number)), "arrived")
        elif name == "ready":
            from crewjobs.screens.record.about import About
            from crewjobs.screens.record.house import house_ready

            app.push_screen(house_ready(About(job=number, crews=app.crews)), lambda done: _told(front, done))

    options = [
        ("print", "Plan it, and print the day plan of its first day"),
        ("arrived", "Its floor is in the house already: record it"),
        ("ready", "The house was asked for: record what is ready"),
        ("look", "Look at the job"),
    ]
    app.push_screen(Choose(f"Job {number} is made. What next?", options, "print"), chosen)


async def _when_read(screen: CrewScreen, then: Callable[[], None]) -> None:
    """Do something once the screen has read what it shows: a question asked before would be void."""
    await screen.workers.wait_for_complete([one for one in screen.workers if one.group == "ask"])
    then()


def _told(screen: CrewScreen, done: Done | None) -> None:
    if done is not None:
        screen.told(Outcome(value=done))


async def _plan_and_print(screen: CrewScreen, number: int) -> None:
    """Plan all crews, then write the day plan of the first day somebody is at the job; or say why nobody is."""
    from crewjobs.screens.printing import days_of, write

    office = screen.crew_app.office
    if office is None:
        return
    screen.status.busy = "Planning all crews"
    planned = await outcome_of(lambda: office.plan(lambda *_: None, lambda: False))
    days = await outcome_of(lambda: days_of(office, number))
    screen.status.busy = ""
    if planned.value is None or days.value is None:
        screen.refusal.say((*planned.sentences, *days.sentences))
        return
    screen.load()
    if not days.value:
        why = [one for one in planned.value.then if one.startswith(f"Job {number}:")]
        screen.status.say("It has no day yet, so there is no day plan:", *(why or planned.value.then))
        return
    day, crew = days.value[0]
    await write(screen, day, crew)
