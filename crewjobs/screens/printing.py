"""Pages from the screens: a job's day plans, notice, questions, record and shopping list, the week; written into the folder."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING

from crewjobs.screens.calendars import ask_calendar
from crewjobs.screens.choose import Choose
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.widgets.headline import Headline
from crewjobs.screens.words import day

if TYPE_CHECKING:
    from pathlib import Path

    from crewjobs.screens.base import CrewScreen

_WEEKS = 4
PAGES = (
    ("notice", "Notice for the customer"),
    ("house-ready", "Questions whether the house is ready"),
    ("shopping-list", "Shopping list"),
    ("job-record", "Record for the file"),
)
"""A job's pages by the name of their command."""
ALL_TO_BUY = "shopping-list"
"""Of job 0 it is the list of all booked jobs."""
_CALENDAR = "calendar"


def days_of(office: OfficeFace, number: int) -> tuple[tuple[date, str], ...]:
    """The days on which crews, and people with small visits, go to a job in the four weeks from now."""
    found: dict[tuple[date, str], None] = {}
    view = office.week()
    for _ in range(_WEEKS):
        for one in view.days:
            for visit in one.visits:
                if visit.job == number:
                    found[one.day, visit.crew] = None
            for small in one.small:
                if small.job == number and not small.done:
                    found[one.day, small.who] = None
        view = office.week(view.monday + timedelta(days=7))
    return tuple(found)


def ask_day_plan(screen: CrewScreen, number: int) -> None:
    """Ask which page of a job, or the day plan of which of its days; write it, say where it is."""

    def chosen(value: object) -> None:
        if isinstance(value, tuple):
            work(screen, partial(write, screen, value[0], value[1]), "print", exclusive=True, shuts=True)
        elif value == _CALENDAR:
            ask_calendar(screen)
        elif isinstance(value, str):
            write_page_on(screen, value, number)

    def read(days: tuple[tuple[date, str], ...]) -> None:
        options: list[tuple[Hashable, str]] = [((when, crew), f"Day plan, {day(when)}, {crew}") for when, crew in days]
        none = "" if days else f" No visit is planned in the next {_WEEKS} weeks, so there is no day plan."
        screen.app.push_screen(
            Choose(
                f"Print which page?{none}", [*options, *PAGES, (_CALENDAR, "Calendar: a file for any calendar program")]
            ),
            chosen,
        )

    screen.ask_to_open(lambda office: days_of(office, number), read)


def write_on(screen: CrewScreen, days: int) -> None:
    """Write every crew's day plan of today or of a day so many later, and say where they are."""
    now = screen.query_one(Headline).now
    if now is not None:
        work(screen, partial(write, screen, now.date() + timedelta(days=days)), "print", exclusive=True, shuts=True)


def write_page_on(screen: CrewScreen, kind: str, number: int) -> None:
    """Write a page of a job, beside the screen."""
    work(screen, partial(write_page, screen, kind, number), "print", exclusive=True, shuts=True)


async def write_page(screen: CrewScreen, kind: str, number: int) -> None:
    """Write a page of a job as PDF, text and HTML, and say where they are."""
    office, folder = screen.crew_app.office, screen.crew_app.folder
    if office is not None:
        what = f"{dict(PAGES)[kind]}, job {number}" if number else f"{dict(PAGES)[kind]} of all booked jobs"
        await _written(
            screen,
            what,
            lambda: office.job_pages(kind, number, folder),
            lambda: office.job_not_printed(kind, number),
        )


def write_week_on(screen: CrewScreen) -> None:
    """Write the sheet of the week that runs, and say where it is."""
    now = screen.query_one(Headline).now
    if now is not None:
        work(screen, partial(write_week, screen, now.date()), "print", exclusive=True, shuts=True)


async def write_week(screen: CrewScreen, chosen: date) -> None:
    """Write the sheet of the week that holds a day, and say where it is."""
    office, folder = screen.crew_app.office, screen.crew_app.folder
    if office is not None:
        await _written(screen, f"Week sheet of {day(chosen)}", lambda: office.week_pages(chosen, folder))


def _here(screen: CrewScreen) -> CrewScreen:
    """The screen that is looked at by now: there it is told how a print ended."""
    return screen.crew_app.front or screen


async def _written(
    screen: CrewScreen, what: str, pages: Callable[[], tuple[Path, ...]], missing: Callable[[], str] = str
) -> None:
    screen.status.busy = f"Writing {what[0].lower()}{what[1:]}"
    outcome = await outcome_of(lambda: (pages(), missing()))
    screen.status.busy = ""
    if outcome.value is None:
        _here(screen).refusal.say(outcome.sentences)
    else:
        folder = screen.crew_app.folder.absolute()
        paths, lacks = outcome.value
        names = ", ".join(path.name for path in paths)
        _here(screen).status.say(f"{what} in {folder}:", names, *filter(None, (lacks,)), lasts=True)


async def write(screen: CrewScreen, chosen: date, crew: str = "") -> None:
    """Write the day plans of a day, of one crew or of all, and say where they are."""
    office, folder = screen.crew_app.office, screen.crew_app.folder
    if office is None:
        return
    whose = f"{crew}'s day plan" if crew else "Day plans"
    screen.status.busy = f"Writing {whose[0].lower()}{whose[1:]} of {day(chosen)}" if not crew else f"Writing {whose}"
    outcome = await outcome_of(lambda: office.day_plans(chosen, folder, crew=crew))
    screen.status.busy = ""
    paths: tuple[Path, ...] | None = outcome.value
    if paths is None:
        _here(screen).refusal.say(outcome.sentences)
    elif paths:
        _here(screen).status.say(
            f"{whose} of {day(chosen)} in {folder.absolute()}:", ", ".join(path.name for path in paths), lasts=True
        )
    else:
        _here(screen).status.say(f"Nobody works on {day(chosen)}, so there is no day plan.")
