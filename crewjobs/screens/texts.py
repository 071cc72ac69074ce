"""What the palette shows as text on a sheet, and what it writes: a job's take-off and heights, printed sheets, the change log, a backup."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING

from textual.app import SystemCommand

from crewjobs.screens.answer import text_answer
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.services.text_lines import TextLine

if TYPE_CHECKING:
    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.laying.layout_rows import TakeOffView


def text_commands(app: CrewApp, screen: CrewScreen) -> Iterable[SystemCommand]:
    """Yield what the palette offers; of a job where one is in hand."""
    job = screen.about().job or app.job
    if job is not None:
        words = "what its floors take: cartons, trim, supplies; finds layouts that are not there yet"
        yield SystemCommand(f"Take-off, job {job}", words, partial(show_take_off, app, job))
        yield SystemCommand(
            f"Heights, job {job}",
            "how high the new floors stand and what they meet",
            partial(show_heights, screen, job),
        )
    yield SystemCommand(
        "Printed sheets",
        "what is out there on paper, and what of it says something else by now",
        partial(show_printed, screen),
    )
    yield SystemCommand("Log of changes", "who did what, newest first", partial(show_log, screen))
    yield SystemCommand("Backup", "a copy of all records, beside them", partial(write_backup, screen))


def show_take_off(app: CrewApp, job: int) -> None:
    """Find out what a job's floors take, and show it."""
    from crewjobs.services.laying.take_off_words import lines_of

    def shown(view: TakeOffView) -> None:
        app.push_screen(text_answer(f"Take-off, job {job}", tuple(lines_of(view))))

    app.find_out(f"take-off of job {job}", lambda office, stop: office.take_off(job, stop=stop), shown)


def show_heights(screen: CrewScreen, job: int) -> None:
    """Show how high a job's new floors stand."""
    from crewjobs.services.jobs.heights_words import lines_of

    _show(screen, f"Heights, job {job}", lambda office: tuple(lines_of(office.heights(job))))


def show_printed(screen: CrewScreen) -> None:
    """Show which sheets were printed and whether each still holds."""
    from crewjobs.services.pages.printed_words import lines_of

    def read(office: OfficeFace) -> tuple[TextLine, ...]:
        return tuple(TextLine(line, "", "    ") for line in lines_of(office.printed_sheets(every=True)))

    _show(screen, "Printed sheets", read)


def show_log(screen: CrewScreen) -> None:
    """Show the change log."""

    def read(office: OfficeFace) -> tuple[TextLine, ...]:
        rows = office.changes()
        return tuple(
            TextLine(
                f"{row.at:%a} {row.at.day} {row.at:%b %H:%M}  {row.who or 'somebody'}: {row.what}"
                + (" (taken back)" if row.undone else ""),
                "",
                "    ",
            )
            for row in rows
        ) or (TextLine("Nothing has been changed yet."),)

    _show(screen, "Log of changes, newest first", read)


def _show(screen: CrewScreen, title: str, read: Callable[[OfficeFace], tuple[TextLine, ...]]) -> None:
    async def shown() -> None:
        office = screen.crew_app.office
        if office is None:
            return
        outcome = await outcome_of(lambda: read(office))
        if outcome.value is None:
            screen.refusal.say(outcome.sentences, title="Cannot be shown")
        else:
            screen.app.push_screen(text_answer(title, outcome.value))

    work(screen, shown, "text", exclusive=True, opens=True)


def write_backup(screen: CrewScreen) -> None:
    """Copy the records beside themselves, and say where the copy is."""

    async def copied() -> None:
        office = screen.crew_app.office
        if office is None:
            return
        screen.status.busy = "Copying the records"
        outcome = await outcome_of(office.backup)
        screen.status.busy = ""
        if outcome.value is None:
            screen.refusal.say(outcome.sentences)
        else:
            screen.status.say(f"Copied to {outcome.value}.", lasts=True)

    work(screen, copied, "print", exclusive=True, shuts=True)
