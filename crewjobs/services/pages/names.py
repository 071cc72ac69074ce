"""The names that stand on a page: each is set apart as one where its letters are read from right to left.

They were put into sentences long before a page is set, in every part of the program; here they are found again by what the
shop and its jobs have as names, so that no sentence has to think of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final, TypeVar

from crewjobs.domain.crew import Shop
from crewjobs.domain.job import JobRecord
from crewjobs.drawing.laid_rows import LaidRow
from crewjobs.drawing.shapes import Drawing
from crewjobs.paper.directions import each_text, named, read_from_right
from crewjobs.paper.house_ready import ReadyQuestions
from crewjobs.paper.job_record import JobRecordPage
from crewjobs.paper.model import DayPlan
from crewjobs.paper.notice import CustomerNotice
from crewjobs.paper.shopping_list import ShoppingList
from crewjobs.paper.week_sheet import WeekSheet

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

P = TypeVar("P", bound=DayPlan | WeekSheet | CustomerNotice | ReadyQuestions | JobRecordPage | ShoppingList)
KEYS: Final = ("crew_name", "whose")
"""Fields by which a page is known and filed: they stay as they were typed."""
DRAWN: Final = (Drawing, LaidRow)
"""Drawings have each name by itself."""


def with_names(uow: UnitOfWork, page: P) -> P:
    """Return a page with the names in its texts marked as one whole each; one without letters read from right to left as it is."""
    if not _has_any(page):
        return page
    names = [*_of_shop(uow.shop()), *(name for record in _records(uow, page) for name in _of_job(record))]
    return each_text(page, named(names), but=KEYS, never=DRAWN)


def _has_any(page: P) -> bool:
    found = list[str]()

    def look(text: str) -> str:
        if not found and read_from_right(text):
            found.append(text)
        return text

    each_text(page, look, never=DRAWN)
    return bool(found)


def _records(uow: UnitOfWork, page: P) -> Sequence[JobRecord]:
    """Return the jobs a page is about; for one of the whole shop all that go on."""
    match page:
        case CustomerNotice() | ReadyQuestions() | JobRecordPage():
            return (uow.job(page.job),)
        case DayPlan():
            return [uow.job(number) for number in dict.fromkeys(house.job for house in page.houses)]
        case _:
            return uow.live_jobs()


def _of_shop(shop: Shop) -> Iterator[str]:
    yield shop.name
    if shop.lead is not None:
        yield shop.lead.name
    for crew in shop.crews:
        yield crew.name
        yield from (worker.name for worker in crew.workers)


def _of_job(record: JobRecord) -> Iterator[str]:
    """Yield the names of a job's people, of its places and of what stands and is laid there."""
    job = record.job
    yield from (job.customer.name, job.site.address, job.site.address.partition(",")[0], job.site.key_with)
    for room in job.rooms:
        yield from (room.name, *(section.name for section in room.sections), *(piece.name for piece in room.furniture))
    yield from (flight.name for flight in job.stairs)
    yield from (opening.which for opening in job.openings)
    yield from (material.name for material in job.materials)
    yield from (finding.by for finding in record.findings)
    yield from (visit.who for visit in record.small_visits)
    yield from (asked.of for asked in record.asked)
    yield from (answer.by for answer in record.answers)
