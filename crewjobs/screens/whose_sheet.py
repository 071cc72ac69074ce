"""An evening sheet whose crew has another name since: whose it is is asked, until the sheet of that crew has its houses."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from crewjobs.domain.wording import listed
from crewjobs.screens.choose import Choose
from crewjobs.screens.evening import no_sheet
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.words import day as day_of
from crewjobs.services.forms.kept_evening import UNKNOWN, lines_of

if TYPE_CHECKING:
    from crewjobs.screens.app import CrewApp
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.services.rows import EveningSheet


def ask_whose(
    app: CrewApp,
    kept: KeptForm,
    day: date,
    told: tuple[str, ...],
    opened: Callable[[EveningSheet], None],
    closed: Callable[[object], None],
    nobody: tuple[str, ...] = (),
) -> None:
    """Ask for the crew, and read its sheet; where that has none of the houses, say so and ask again.

    Args:
        app: the screens.
        kept: what is typed.
        day: the sheet's.
        told: what is said before the crews.
        opened: called with the sheet of the crew that was chosen.
        closed: called with None where no crew was chosen, with an empty text where `nobody` was.
        nobody: what is offered below the crews, if anything is.
    """

    def said(chosen: object) -> None:
        if isinstance(chosen, str) and chosen:
            work(app, partial(of_crew, chosen), "whose", exclusive=True, opens=True)
        else:
            closed(chosen)

    async def of_crew(crew: str) -> None:
        office = app.office
        if office is None:
            return
        outcome = await outcome_of(lambda: office.evening_sheet(crew, day))
        sheet = outcome.value
        why = outcome.sentences if sheet is None else tuple(filter(None, (_misfit(sheet, kept),)))
        if sheet is None or why:
            ask_whose(app, kept, day, (*why, *told[-1:]), opened, closed, nobody)
        else:
            opened(sheet)

    options = [*((name, name) for name in app.crews), *(("", words) for words in nobody)]
    app.push_screen(Choose("Whose sheet is it now?", options, told=told), said)


def _misfit(sheet: EveningSheet, kept: KeptForm) -> str:
    """Return why what is typed is not of this sheet; empty where it may be."""
    jobs = [job for job in lines_of(kept) if job != UNKNOWN]
    if not sheet.houses:
        return no_sheet(sheet)
    if jobs and not {str(house.job) for house in sheet.houses}.intersection(jobs):
        of = f"job{'s' if len(jobs) > 1 else ''} {listed(jobs)}"
        return (
            f"{sheet.crew}'s sheet for {day_of(sheet.day)} has none of the houses of which something is typed ({of})."
        )
    return ""
