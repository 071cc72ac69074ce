"""Revisions of sheets: a sheet that says something else than when it was printed last has the next number."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Final, TypeVar

from crewjobs.domain.printed import PrintedSheet, SheetKind
from crewjobs.paper.directions import each_text, unmarked
from crewjobs.paper.house_ready import ReadyQuestions
from crewjobs.paper.job_record import JobRecordPage
from crewjobs.paper.model import DayPlan, Sheet
from crewjobs.paper.notice import CustomerNotice
from crewjobs.paper.shopping_list import ShoppingList
from crewjobs.paper.week_sheet import WeekSheet
from crewjobs.services.pages.names import with_names

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

AnyPage = DayPlan | WeekSheet | CustomerNotice | ReadyQuestions | JobRecordPage | ShoppingList
P = TypeVar("P", bound=AnyPage)
_ANY_TIME: Final = datetime(1, 1, 1, tzinfo=UTC)
_MADE: Final = "3:"
"""How digests are made, told in each: another number where a page's values change their shape, so that no sheet is called other for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Which:
    """Which sheet a page is."""

    kind: SheetKind
    about: str
    day: date | None = None
    job: int | None = None


def numbered(uow: UnitOfWork, page: P, *, printed: bool = False) -> P:
    """Return a page with its names marked, and with the revision it has where it says the same as when it was printed last, else with none.

    `printed`: it is printed now, and has the next one then; what is only shown gets no number another sheet would have.
    """
    which, page = _which(page), with_names(uow, page)
    last, digest = uow.last_printed(which.kind, which.about)
    if digest == digest_of(page):
        return replace(page, sheet=replace(page.sheet, revision=last))
    return replace(page, sheet=replace(page.sheet, revision=last + 1 if printed else 0))


def digest_of(page: AnyPage) -> str:
    """Return the digest of all a page says, but for its revision, when it is printed, on which paper, the lead's notes and marks.

    On which day a notice is as planned is when it is printed, too; a day it names that is over by then is told otherwise.
    """
    bare = Sheet(name="", plan=0, revision=0, printed_at=_ANY_TIME)
    match page:
        case DayPlan():
            said: AnyPage = replace(page, sheet=bare, paper="letter", lead_only=None)
        case CustomerNotice():
            said = replace(_any_day(page), sheet=bare, paper="letter")
        case _:
            said = replace(page, sheet=bare, paper="letter")
    return f"{_MADE}{hashlib.sha256(repr(each_text(said, unmarked)).encode()).hexdigest()}"


def comparable(digest: str) -> bool:
    """Return whether a digest was made as digests are now: of another nobody knows whether its page says the same."""
    return digest.startswith(_MADE)


def _any_day(page: CustomerNotice) -> CustomerNotice:
    """Return a notice as of no day; what was to be ready or cleared by a day that is over has lost that day on the page."""
    today = page.as_planned
    return replace(
        page,
        as_planned=date.min,
        clear=tuple(replace(one, by=_not_over(one.by, today)) for one in page.clear),
        ready_by=_not_over(page.ready_by, today),
    )


def _not_over(day: date | None, today: date) -> date | None:
    return date.min if day is not None and day < today else day


def keep(uow: UnitOfWork, pages: Sequence[AnyPage], now: datetime) -> int | None:
    """Keep the revisions that were printed for the first time, with one change of the log that no undo takes back.

    Returns the number of the change, None where each was printed so before.
    """
    new = list(_new(uow, pages, now))
    if not new:
        return None
    uow.save_printed(new)
    told = ", ".join(f"{one.name}, revision {one.revision}" for one in new[:4])
    more = f" and {len(new) - 4} more" if len(new) > 4 else ""
    jobs = {one.job for one in new}
    return uow.commit(
        f"printed: {told}{more}", at=now, job=next(iter(jobs)) if len(jobs) == 1 else None, undoable=False
    )


def _new(uow: UnitOfWork, pages: Sequence[AnyPage], now: datetime) -> Iterator[PrintedSheet]:
    for page in pages:
        which, digest = _which(page), digest_of(page)
        last, before = uow.last_printed(which.kind, which.about)
        if digest != before:
            yield PrintedSheet(
                kind=which.kind,
                about=which.about,
                revision=last + 1,
                name=unmarked(page.sheet.name),
                day=which.day,
                job=which.job,
                plan=page.sheet.plan,
                digest=digest,
                printed_at=now,
            )


def _which(page: AnyPage) -> _Which:
    match page:
        case DayPlan():
            return _Which(kind=SheetKind.DAY_PLAN, about=f"{page.crew_name} {page.day.isoformat()}", day=page.day)
        case WeekSheet():
            return _Which(kind=SheetKind.WEEK_SHEET, about=page.monday.isoformat(), day=page.monday)
        case CustomerNotice():
            return _Which(kind=SheetKind.NOTICE, about=str(page.job), job=page.job)
        case ReadyQuestions():
            return _Which(kind=SheetKind.HOUSE_READY, about=str(page.job), job=page.job)
        case JobRecordPage():
            return _Which(kind=SheetKind.JOB_RECORD, about=str(page.job), job=page.job)
        case ShoppingList():
            return _Which(kind=SheetKind.SHOPPING_LIST, about=page.whose)
