"""Sheets that were printed against what they would say now: which of those out there are to be printed again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.printed import PrintedSheet, SheetKind
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.wall import to_wall
from crewjobs.services.pages import job_record, notice, ready_questions, sheets, shopping, week_sheet
from crewjobs.services.pages.revisions import AnyPage, comparable, digest_of

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

HOLDS = "says the same now"
ANOTHER = "says something else now: print it again"
NOT_COMPARED = "not compared: print it again to see"


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedRow:
    """The newest revision of a sheet: when it was printed (shop's wall clock), by which plan, and whether it still holds.

    `holds` is None where that is not known; `words` say it.
    """

    name: str
    kind: str
    revision: int
    printed_at: datetime
    plan: int
    day: date | None
    job: int | None
    holds: bool | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedView:
    """Printed sheets, those that hold no more first, then by when they were printed, the last one first; `past` counts those of days that are over and not told."""

    sheets: tuple[PrintedRow, ...]
    past: int


def printed_sheets(uow: UnitOfWork, catalogue: Catalogue, now: datetime, *, every: bool = False) -> PrintedView:
    """Return the newest revision of each sheet that was printed, with `every` those of days that are over, too."""
    newest = {(one.kind, one.about): one for one in uow.printed()}.values()
    zone = uow.shop().zone
    today = to_wall(zone, now).date()
    told = [one for one in newest if every or not _is_over(one, today, zone)]
    rows = [_row(uow, catalogue, now, one, zone) for one in told]
    rows.sort(key=lambda row: (row.holds is not False, -row.printed_at.timestamp(), row.name))
    return PrintedView(sheets=tuple(rows), past=len(newest) - len(told))


def _is_over(one: PrintedSheet, today: date, zone: str) -> bool:
    if one.kind is SheetKind.SHOPPING_LIST:
        asked = shopping.asked_again(one.about, to_wall(zone, one.printed_at).date())
        return asked is not None and asked.week is not None and asked.week + timedelta(days=7) <= today
    days = 7 if one.kind is SheetKind.WEEK_SHEET else 1
    return one.day is not None and one.day + timedelta(days=days) <= today


def _row(uow: UnitOfWork, catalogue: Catalogue, now: datetime, one: PrintedSheet, zone: str) -> PrintedRow:
    holds, words = _compared(uow, catalogue, now, one)
    return PrintedRow(
        name=f"{one.name}, {one.about}" if one.kind is SheetKind.SHOPPING_LIST else one.name,
        kind=one.kind.value,
        revision=one.revision,
        printed_at=to_wall(zone, one.printed_at),
        plan=one.plan,
        day=one.day,
        job=one.job,
        holds=holds,
        words=words,
    )


def _compared(uow: UnitOfWork, catalogue: Catalogue, now: datetime, one: PrintedSheet) -> tuple[bool | None, str]:
    try:
        found = next(_anew(uow, catalogue, now, one), None)
    except Refused as refused:
        return False, " ".join(refused.sentences)
    if found is None or not comparable(one.digest):
        return None, NOT_COMPARED
    return (True, HOLDS) if digest_of(found) == one.digest else (False, ANOTHER)


def _anew(uow: UnitOfWork, catalogue: Catalogue, now: datetime, one: PrintedSheet) -> Iterator[AnyPage]:
    """Yield the sheet as it would be printed now; nothing for one that is only made for what was asked."""
    match one.kind:
        case SheetKind.DAY_PLAN if one.day is not None:
            whose = one.about.removesuffix(f" {one.day.isoformat()}")
            pages = sheets.pages(uow, catalogue, now, one.day, whose, lead_copy=False, paper="")
            yield from (page for page in pages if page.crew_name == whose)
        case SheetKind.WEEK_SHEET:
            yield week_sheet.week_sheet(uow, now, one.day)
        case SheetKind.NOTICE if one.job is not None:
            yield notice.notice(uow, now, one.job)
        case SheetKind.HOUSE_READY if one.job is not None:
            yield ready_questions.ready_questions(uow, now, one.job)
        case SheetKind.JOB_RECORD if one.job is not None:
            yield job_record.job_record(uow, catalogue, now, one.job)
        case SheetKind.SHOPPING_LIST:
            asked = shopping.asked_again(one.about, to_wall(uow.shop().zone, one.printed_at).date())
            if asked is not None:
                yield shopping.shopping_list(uow, now, asked)
        case _:
            return
