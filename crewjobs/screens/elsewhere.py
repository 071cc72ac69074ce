"""What the palette finds beyond the screen in front: what keys do on other screens, and forms of a job that is still to be chosen."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Final

from textual.app import SystemCommand

from crewjobs.screens.base import NO_JOB
from crewjobs.screens.choose import Choose
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.widgets.headline import PLACES

if TYPE_CHECKING:
    from textual.screen import Screen

    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.record.about import About

_PATIENCE_SECONDS: Final = 10.0
"""A screen that is not read by then is shown, and its key is left to the hand."""
_LOOK_SECONDS: Final = 0.02


@dataclass(frozen=True, slots=True)
class _There:
    """What a key does on another screen; without a `key` one goes there and selects first. `words` are people's for it."""

    place: str
    name: str
    key: str = ""
    told: str = ""
    words: str = ""


_THERE: Final = (
    _There("on_site", "Tick a task", told="Enter on the task", words="done check off"),
    _There("on_site", "Start a task", told="s on the task", words="begun"),
    _There("on_site", "How far a task is", told="f on the task", words="part done progress"),
    _There("on_site", "Evening: hours and sheet of a crew", "h", "key h", "time sheet end of the day"),
    _There("rooms", "Furniture of a room", "e", "key e", "sofa piano what stands there"),
    _There("rooms", "Furniture stages", "p", "key p finds them", "moves sections"),
    _There("rooms", "Cut list", "L", "key L: how the planks are laid, row by row", "layout rows cuts"),
    _There("week", "What if", "i", "key i: with and without something supposed", "suppose"),
    _There("week", "Chances of promises", "c", "key c", "odds risk late"),
    _There("week", "Better plan", "x", "key x: what is proposed", "proposal accept"),
    _There("week", "Pin a visit", told="Enter on the visit", words="fix unpin why"),
    _There("jobs", "Find a job", "slash", "key /: by words", "search customer"),
    _There("waiting", "Material has come", told="a on what waits", words="arrived delivery cartons truck"),
    _There("waiting", "Lots", told="l on what waits: which rooms each goes into", words="cartons dye"),
    _There("rates", "Rate set by hand", "e", "key e", "pace pin"),
)


def elsewhere(app: CrewApp, over: Screen[object]) -> Iterator[tuple[SystemCommand, str]]:
    """Yield the commands that the screen in front does not have, each with what people also call it; `over` a dialog none."""
    from crewjobs.screens.edit import ask_edit
    from crewjobs.screens.printing import ALL_TO_BUY, PAGES, write_page_on
    from crewjobs.screens.record.menu import forms_of_a_job

    screen = app.front
    if screen is None or app.office is None or over.is_modal:
        return
    about, names = screen.about(), dict(PLACES)
    for there in _THERE:
        if there.place != screen.PLACE or screen.NAME:
            told = f"in {names[there.place][2:]}, {there.told}"
            yield SystemCommand(there.name, told, partial(_go_there, app, about, there)), there.words
    asks = "of the job in hand" if about.job is not None else "asks of which job"
    for words, opened in forms_of_a_job(screen) if about.job is None else ():
        call = partial(_of_a_job, screen, about, opened)
        yield SystemCommand(f"Record: {words[:1].lower()}{words[1:]}", f"a form; {asks}", call), ""
    for kind, words in PAGES if about.job is None else ():
        call = partial(_of_a_job, screen, about, partial(_write, screen, kind))
        yield SystemCommand(words, f"PDF, text and HTML; {asks}", call), "page paper print"
    call = partial(write_page_on, screen, ALL_TO_BUY, 0)
    yield SystemCommand("Shopping list of all booked jobs", "PDF, text and HTML", call), "page paper print buy order"
    edit: Callable[[About], None] = lambda one: ask_edit(screen, one.number)  # noqa: E731
    call = partial(_of_a_job, screen, about, edit)
    yield SystemCommand("Call off a job", f"a button of its form; {asks}", call), "cancel cancelled"
    restore = "Restoring a backup is a command, with these screens closed: crewjobs restore FILE."
    yield (
        SystemCommand("Restore a backup", "a command: crewjobs restore FILE", partial(screen.status.say, restore)),
        "bring back old records",
    )


def _write(screen: CrewScreen, kind: str, about: About) -> None:
    from crewjobs.screens.printing import write_page_on

    write_page_on(screen, kind, about.number)


def _go_there(app: CrewApp, about: About, there: _There) -> None:
    if about.job is not None:
        app.job = about.job
    app.action_go(there.place)
    if there.key:
        work(app, partial(_press_once_read, app, there), "elsewhere", exclusive=True, opens=True)
    elif app.front is not None:
        app.front.status.say(f"{there.name}: {there.told}.")


async def _press_once_read(app: CrewApp, there: _There) -> None:
    """Press the key when the screen shows what it acts on."""
    for _ in range(int(_PATIENCE_SECONDS / _LOOK_SECONDS)):
        here = app.front
        if here is not None and there.place == here.PLACE and here.drawn and not here.reading:
            app.press(there.key)
            return
        await asyncio.sleep(_LOOK_SECONDS)


def _of_a_job(screen: CrewScreen, about: About, opened: Callable[[About], None]) -> None:
    """Open it for the job in hand, else for one that is asked for."""
    if about.job is not None:
        opened(about)
        return

    def chosen(number: object) -> None:
        if isinstance(number, int):
            opened(replace(about, job=number))

    async def ask() -> None:
        office = screen.crew_app.office
        outcome = await outcome_of(office.jobs) if office is not None else None
        if outcome is None or outcome.value is None:
            screen.status.say(*(outcome.sentences if outcome is not None else ()))
        elif not outcome.value:
            screen.status.say(NO_JOB)
        else:
            options = [(row.number, f"{row.number}  {row.title}") for row in outcome.value]
            screen.app.push_screen(Choose("Of which job?", options, screen.crew_app.job), chosen)

    work(screen, ask, "which job", exclusive=True, opens=True)
