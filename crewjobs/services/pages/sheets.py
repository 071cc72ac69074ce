"""A crew's day on paper, as text and PDF."""

from __future__ import annotations

import importlib.util
import os
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.wall import to_utc
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.paper.model import DayPlan
from crewjobs.services.findings.house_told import with_houses
from crewjobs.services.pages.crew_houses import crew_houses
from crewjobs.services.pages.day_recorded import page_words
from crewjobs.services.pages.page import build_day_plan
from crewjobs.services.pages.revisions import numbered
from crewjobs.services.pages.visit_page import visit_page, who_visits
from crewjobs.services.people.people import find_person
from crewjobs.services.weeks.days_done import DaysDone
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.wording import no_crew

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

NO_PLAN = "nothing is planned yet: `crewjobs plan` does it."


def day_plans(
    uow: UnitOfWork, catalogue: Catalogue, now: datetime, day: date, crew: str, *, lead_copy: bool, paper: str
) -> tuple[DayPlan, ...]:
    """Return the pages of one crew, or of all, for a day.

    Raises:
        Refused: there is no such crew, or nothing is planned.
    """
    return _crew_pages(
        uow, with_houses(uow, planned_or_refused(uow)), catalogue, now, day, crew, lead_copy=lead_copy, paper=paper
    )


def _crew_pages(
    uow: UnitOfWork,
    found: Planned,
    catalogue: Catalogue,
    now: datetime,
    day: date,
    crew: str,
    *,
    lead_copy: bool,
    paper: str,
) -> tuple[DayPlan, ...]:
    found = replace(found, small=uow.small_visits(to_utc(found.shop.zone, day, 0)))
    crews = [crew_named(found, crew)] if crew else [one for one in found.shop.crews if not one.only or day in one.only]
    days, made = DaysDone(uow, found, day, day, now), []
    for one in crews:
        stretches = days.day(one.name, day)
        houses = crew_houses(found, days, one, stretches, day, now)
        recorded = page_words(uow, found, houses, one, day, now)
        made.append(
            build_day_plan(found, catalogue, one, houses, day, now, lead_copy=lead_copy, paper=paper, recorded=recorded)
        )
    return tuple(made)


def pages(
    uow: UnitOfWork, catalogue: Catalogue, now: datetime, day: date, who: str, *, lead_copy: bool, paper: str
) -> tuple[DayPlan, ...]:
    """Return every page of a day: the crews', then one for each person with small visits, the shop's lead first.

    With `who` those of one crew and its people, or of one person.

    Raises:
        Refused: there is no such crew or person, or nothing is planned.
    """
    away = uow.away()
    shop, found = with_parts(uow.shop(), away), planned(uow)
    if found is not None:
        found = with_houses(uow, found)
    chosen = next((crew for crew in shop.crews if crew.name.casefold() == who.strip().casefold()), None)
    visiting = who_visits(uow, shop, day)
    if who and chosen is None:
        try:
            person = find_person(shop, who).name
        except Refused:
            raise Refused(no_crew(who, shop)) from None
        return (numbered(uow, visit_page(uow, found, catalogue, now, day, person, lead_copy=lead_copy, paper=paper)),)
    if chosen is not None:
        mine = {worker.name for worker in (*chosen.workers, *present(shop, away, chosen.name, day))}
        visiting = tuple(name for name in visiting if name in mine)
    if found is None and not visiting:
        raise Refused(NO_PLAN)
    crews = _crew_pages(uow, found, catalogue, now, day, who, lead_copy=lead_copy, paper=paper) if found else ()
    known = [name for name in visiting if _known(shop, name)]
    persons = (visit_page(uow, found, catalogue, now, day, name, lead_copy=lead_copy, paper=paper) for name in known)
    return tuple(numbered(uow, page) for page in (*crews, *persons))


def _known(shop: Shop, name: str) -> bool:
    """Return whether somebody is still in the shop: who left it has no page, and their visits say so in the week."""
    return (shop.lead is not None and shop.lead.name == name) or any(
        worker.name == name for crew in shop.crews for worker in crew.workers
    )


def day_plan_text(uow: UnitOfWork, catalogue: Catalogue, now: datetime, day: date, who: str, *, lead_copy: bool) -> str:
    """Return the pages of a crew, a person or (with an empty name) of everybody as text, one after the other."""
    from crewjobs.paper.text import day_plan_text as text_of

    return "\n\n".join(text_of(page) for page in pages(uow, catalogue, now, day, who, lead_copy=lead_copy, paper=""))


def write(plans: Sequence[DayPlan], folder: Path, *, html: bool = False) -> tuple[Path, ...]:
    """Write each page as text and, where the machine can typeset, as PDF, with `html` as one HTML file too; return the files.

    Raises:
        Refused: the folder or a file cannot be written.
    """
    from crewjobs.paper.day_plan_document import day_plan_document
    from crewjobs.paper.document_html import document_html
    from crewjobs.paper.pdf import day_plan_pdf
    from crewjobs.paper.text import day_plan_text as text_of
    from crewjobs.storage.paths import shown, without_dots

    pages = list(zip(page_names(plans), plans, strict=True))
    written: list[Path] = []
    folder = without_dots(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, plan in pages:
            if can_typeset():
                written.append(whole_file(folder / f"{name}.pdf", day_plan_pdf(plan)))
            written.append(whole_file(folder / f"{name}.txt", text_of(plan).encode()))
            if html:
                page = document_html(day_plan_document(plan))
                written.append(whole_file(folder / f"{name}.html", page.encode()))
    except OSError as error:
        raise Refused(f"the pages cannot be written to {shown(folder)}: {error.strerror}.") from None
    return tuple(written)


def can_typeset() -> bool:
    """Return whether this machine has the typesetting library (there is no wheel for Windows on ARM)."""
    return importlib.util.find_spec("typst") is not None


def page_names(plans: Sequence[DayPlan]) -> list[str]:
    """Return a name for the files of each page; crews whose names differ only in signs get one each all the same."""
    names: list[str] = []
    for plan in plans:
        name, number = _page_name(plan), 2
        while name in names:
            name, number = f"{_page_name(plan)}-{number}", number + 1
        names.append(name)
    return names


def _page_name(plan: DayPlan) -> str:
    """Return the usual name of a page's files, such as ``day-plan-2026-03-03-birch``."""
    crew = re.sub(r"[^\w]+", "-", plan.crew_name.lower()).strip("-") or "crew"
    return f"day-plan-{plan.day.isoformat()}-{crew}{'-lead' if plan.lead_copy else ''}"


def whole_file(path: Path, data: bytes) -> Path:
    """Write a file of which a reader never sees half: it is written beside and put in place at once; return where it is."""
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        beside.write_bytes(data)
        os.replace(beside, path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise
    return path


def planned_or_refused(uow: UnitOfWork) -> Planned:
    """Return the plan in force.

    Raises:
        Refused: nothing is planned.
    """
    found = planned(uow)
    if found is None:
        raise Refused(NO_PLAN)
    return found


def crew_named(found: Planned, name: str) -> Crew:
    """Return a crew of the shop by its name, in whatever case.

    Raises:
        Refused: there is no such crew.
    """
    for crew in found.shop.crews:
        if crew.name.casefold() == name.strip().casefold():
            return crew
    raise Refused(no_crew(name, found.shop))
