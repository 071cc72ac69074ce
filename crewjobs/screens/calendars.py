"""Calendar files from the screens: whose, then written into the folder that day plans go to."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from crewjobs.domain.wording import counted
from crewjobs.screens.choose import Choose
from crewjobs.screens.outcome import outcome_of, work

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.calendars.calendar_rows import CalendarRow

ALL = "all"


def ask_calendar(screen: CrewScreen) -> None:
    """Ask whose calendar, write it, say where it is; the job and the crew under the hand stand first."""
    if screen.is_open():
        work(screen, partial(_ask, screen), "print", exclusive=True, opens=True)


async def _ask(screen: CrewScreen) -> None:
    """Ask among crews, the people who have small visits, the job under the hand, and all of them."""
    about, office = screen.about(), screen.crew_app.office
    crews = dict.fromkeys((*((about.crew,) if about.crew else ()), *screen.crew_app.crews))
    looked = await outcome_of(office.look_at_calendars) if office is not None else None
    rows = looked.value.calendars if looked is not None and looked.value is not None else ()
    people = [row.name for row in rows if row.name not in crews and row.visits_only]
    options: list[tuple[object, str]] = [(("crew", crew), f"{crew}: visits and what they wait for") for crew in crews]
    options += [(("crew", name), f"{name}: small visits") for name in people]
    if about.job is not None:
        options.insert(0, (("job", about.job), f"Job {about.job}: for its customer"))
    options.append(((ALL, None), "All crews and jobs, a file each"))

    def chosen(value: object) -> None:
        if isinstance(value, tuple):
            crew = value[1] if value[0] == "crew" else ""
            job = value[1] if value[0] == "job" else None
            work(screen, partial(_write, screen, crew, job), "print", exclusive=True, shuts=True)

    screen.app.push_screen(Choose("Whose calendar?", options), chosen)


async def _write(screen: CrewScreen, crew: str, job: int | None) -> None:
    office, folder = screen.crew_app.office, screen.crew_app.folder
    if office is None:
        return
    screen.status.busy = "Writing calendars"
    async with screen.crew_app.writing:
        outcome = await outcome_of(lambda: office.calendars(folder, crew=crew, job=job))
    screen.status.busy = ""
    if outcome.value is None:
        screen.refusal.say(outcome.sentences)
        return
    written = [row for row in outcome.value.calendars if row.file is not None]
    empty = [row.name for row in outcome.value.calendars if row.file is None]
    first = f"Calendars in {folder.absolute()}:" if written else "No calendar was written."
    none = [f"Nothing to come, no file: {', '.join(empty)}."] if empty else []
    screen.status.say(first, *(_line(row) for row in written), *none, lasts=True)


def _line(row: CalendarRow) -> str:
    """``calendar-birch.ics: 12 events, 2 new``."""
    changes = [f"{count} {word}" for count, word in ((row.new, "new"), (row.changed, "changed")) if count]
    changes += [f"{row.cancelled} no longer planned"] if row.cancelled else []
    name = row.file.name if row.file is not None else row.name
    return f"{name}: {counted(row.events, 'event')}, {', '.join(changes) or 'as written before'}"
