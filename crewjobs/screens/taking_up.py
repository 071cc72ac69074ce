"""A form that was open when the screens ended is opened again, with what was typed in it."""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Final

from crewjobs.domain.wording import listed
from crewjobs.screens.outcome import Outcome, outcome_of, work

if TYPE_CHECKING:
    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.services.rows import Done

_SMALL: Final = ("record", "furniture", "row lies", "arrived", "edit", "how far", "lots", "rate")
"""Forms of few lines about a house, a crew or a day."""
_OF_ROOMS: Final = ("furniture", "row lies")


def take_up(screen: CrewScreen, kept: KeptForm) -> None:
    """Open the form over a screen; one that this version does not know is let go."""
    from crewjobs.screens.draft.jobs import ask_new_job, ask_shop, ask_whole_job

    number = kept.about.get("job", "")
    if kept.form in _SMALL:
        job = int(number) if number.isdecimal() else None
        # Not the screen's work: a page whose job is gone closes meanwhile.
        work(screen.crew_app, partial(_take_up_small, screen.crew_app, kept, job), "taken up", opens=True)
        return
    match kept.form:
        case "job" if number.isdecimal():
            ask_whole_job(screen, int(number), kept)
        case "job":
            ask_new_job(screen, kept.title, kept)
        case "shop":
            ask_shop(screen, kept=kept)
        case "evening":
            with suppress(ValueError):
                _evening(screen, kept, date.fromisoformat(kept.about.get("day", "")))


def _evening(screen: CrewScreen, kept: KeptForm, day: date) -> None:
    """Open the sheet of its crew; where none has that name any more, ask whose it is, and keep it until that is said."""
    from crewjobs.screens.choose import Choose
    from crewjobs.screens.evening import ask_evening

    app, crew = screen.crew_app, kept.about.get("crew", "")
    if crew in app.crews or not app.crews:
        ask_evening(screen, crew, day, kept)
        return

    def said(chosen: object) -> None:
        if isinstance(chosen, str) and chosen:
            ask_evening(screen, chosen, day, kept)
        elif app.forms is not None and chosen is not None:
            app.forms.drop()
        elif app.forms is not None:
            app.forms.put_back(kept)
            screen.status.say(
                f"The sheet of {crew} stays kept: it is asked for again when the screens are next opened."
            )

    told = f"{kept.title} was being typed when the screens ended, and there is no crew {crew} any more."
    options = [*((name, name) for name in app.crews), ("", "nobody's: what was typed is let go")]
    app.push_screen(Choose("Whose sheet is it now?", options, told=(told,)), said)


async def _take_up_small(app: CrewApp, kept: KeptForm, number: int | None) -> None:
    """Open it, unless its job is gone since: then that is said."""
    office = app.office
    if office is None:
        return
    outcome = await outcome_of(lambda: _rooms_of(office, number, asked=kept.form in _OF_ROOMS))
    front = app.front
    if front is None:
        return
    rooms = outcome.value
    if rooms is None:
        why = outcome.sentences
        if any(f"there is no job {number}" in one.casefold() for one in why):
            why = (f"There is no job {number} any more: what was typed ({kept.title}) is not taken up.",)
            _let_go(app)
        front.status.say(*why)
        return
    from crewjobs.screens.arrived import ask_arrived
    from crewjobs.screens.ask_text import ask_how_far_again
    from crewjobs.screens.edit import ask_edit
    from crewjobs.screens.lots import ask_lots
    from crewjobs.screens.pin_rate import ask_rate_again
    from crewjobs.screens.record.furniture import furniture
    from crewjobs.screens.record.menu import ask_again
    from crewjobs.screens.record.row_lies import row_lies

    def told(done: Done | None) -> None:
        if done is not None:
            front.told(Outcome(value=done))

    match kept.form:
        case "record":
            ask_again(front, kept)
        case "arrived" if number is not None:
            ask_arrived(front, number, kept.about.get("material", ""), kept)
        case "edit" if number is not None:
            ask_edit(front, number, kept)
        case "how far" if number is not None:
            ask_how_far_again(front, number, kept)
        case "lots" if number is not None:
            ask_lots(front, number, kept.about.get("material", ""), kept)
        case "rate":
            ask_rate_again(front, kept)
        case "furniture" if number is not None and rooms:
            front.app.push_screen(furniture(number, rooms, kept), told)
        case "row lies" if number is not None and kept.about.get("room", "") in rooms:
            front.app.push_screen(row_lies(number, kept.about["room"], kept), told)
        case _:
            _let_go(app)
            typed = listed([text for text in kept.texts.values() if text], most=9)
            front.status.say(f"Not taken up, for its room is no more in job {number}: {kept.title}, {typed}.")


def _let_go(app: CrewApp) -> None:
    if app.forms is not None:
        app.forms.drop()


def _rooms_of(office: OfficeFace, number: int | None, *, asked: bool) -> tuple[str, ...]:
    """Return the names of a job's rooms where they are asked; none of no job.

    Raises:
        Refused: there is no such job.
    """
    if number is None:
        return ()
    office.job(number)
    return tuple(room.name for room in office.rooms(number).rooms) if asked else ()
