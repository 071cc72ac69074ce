"""The questions whether a house is ready, built for the paper to print: those of `crewjobs.domain.house_ready`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import ASK_AHEAD_DAYS, NOT_READY_WORDS, ReadyAnswer, ReadyItem
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.house import items_of, work_begun
from crewjobs.engines.readiness.shut import left_off, nobody_in
from crewjobs.paper.house_ready import ReadyQuestion, ReadyQuestions
from crewjobs.paper.notice import NoticeDay
from crewjobs.services.findings.hanging import ALL_HANGS, IF_SETTLED, hanging
from crewjobs.services.pages.notice import (
    comes_before,
    days_of,
    first_day,
    stretches_of,
)
from crewjobs.services.pages.notice_no_day import PAST, coming_visits, gone_by_words
from crewjobs.services.pages.paper_sheets import paper_of, sheet_of
from crewjobs.services.pages.ready_asked import (
    LEAVE_OFF,
    asked_items,
    asked_words,
    leave_off_words,
    lying_there,
    ready_why,
)
from crewjobs.services.pages.ready_days import ReadyDay, ready_day
from crewjobs.services.waiting.around_waits import working_days_before
from crewjobs.services.weeks.gone_by import gone_by
from crewjobs.services.weeks.visits import planned
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

MEANS: Final = {
    ReadyItem.PAINT: "plaster, drywall mud and paint dry to the touch, nobody else's wet work in the rooms",
    ReadyItem.EMPTIED: "shelves, closets and drawers emptied, everything small out; the crew carries the large pieces",
}
"""What an item means, beside what `ready_why` says of this house; common practice, no source."""


def ready_questions(uow: UnitOfWork, now: datetime, job: int, *, paper: str = "") -> ReadyQuestions:
    """Return what is asked of a job's house, with what was answered so far.

    Raises:
        Refused: there is no such job, it is over or called off, or work there has begun, so that nothing is asked any more.
    """
    record, shop, found = uow.job(job), uow.shop(), planned(uow)
    if record.job.state not in LIVE:
        raise Refused(f"job {job} is {record.job.state}: its house is not asked any more.")
    missing = any(not answer.ready for answer in _latest(record, now).values())
    if work_begun(record, now) and not missing:
        raise Refused(
            f"work has begun at job {job}: the crew sees the house for itself, and nothing is asked any more."
        )
    times = found.task_minutes(record) if found else {}
    late = gone_by_words(record, gone_by(times, record, now))
    stretches = tuple(stretches_of(found, job, now)) if found else ()
    first = first_day(record, stretches, now)
    hung = hanging(record, now)
    days = days_of(record, stretches, coming_visits(record, now), hung, behind=bool(late))
    before = comes_before(days, first)
    return ReadyQuestions(
        shop_name=shop.name,
        shop_phone=shop.phone,
        customer=record.job.customer.name,
        address=record.job.site.address,
        job=job,
        sheet=sheet_of(shop, f"House ready, job {job}", found, now),
        paper=paper_of(shop, paper),
        first=first,
        first_hangs=IF_SETTLED if first and _all_hangs(days, first) else "",
        before=before,
        late=late if first or not late else PAST,
        answer_by=_answer_by(shop, first, to_wall(shop.zone, now).date(), late=bool(late)),
        questions=tuple(_questions(record, now, shop.units, before)),
        leave_off=leave_off_words(record, now),
        lies_there=bool(lying_there(record, now)),
    )


def _answer_by(shop: Shop, first: date | None, today: date, *, late: bool) -> date | None:
    """Return by when the answers are needed: at once where work whose day is gone by may come any day; None where no day is planned."""
    if first is None:
        return None
    return today if late else max(working_days_before(shop, first, ASK_AHEAD_DAYS), today)


def _all_hangs(days: Sequence[NoticeDay], first: date) -> bool:
    """Return whether all that comes to a house on the first day hangs on what was found there."""
    hangs = [day.hangs for day in days if day.day == first]
    return bool(hangs) and all(one == ALL_HANGS for one in hangs)


def _latest(record: JobRecord, now: datetime) -> dict[ReadyItem, ReadyAnswer]:
    """Return the answer that counts of each item: the latest."""
    return {answer.item: answer for answer in sorted((a for a in record.answers if a.at <= now), key=lambda a: a.at)}


def _questions(
    record: JobRecord, now: datetime, units: UnitSystem, before: NoticeDay | None
) -> Iterator[ReadyQuestion]:
    known, zone, asked = _latest(record, now), record.job.site.zone, asked_items(record, now)
    off = left_off(record, now)
    for item in items_of(record.job):
        answer = known.get(item)
        ready = answer is not None and answer.ready
        if item not in asked and not ready:
            continue
        day = ready_day(record, item, now)
        why = _why(record, item, units, now)
        if item is ReadyItem.KEY and before is not None and not ready:
            why = f"{why}, for the first time on {day_words(before.day)}: please answer this before"
        yield ReadyQuestion(
            asks=f"{upper(asked_words(item))}?",
            why=why,
            known=_known_words(record, answer, day),
            answered=ready,
            as_said=day.answer(zone) if day else "",
            since=f"{upper(LEAVE_OFF)}." if ready and item in off else "",
        )


def _why(record: JobRecord, item: ReadyItem, units: UnitSystem, now: datetime) -> str:
    """Return what an item means at this house; nobody is asked to empty a room that is shut."""
    means = MEANS.get(item, "") or ready_why(record, item, units, now)
    shut = [room.name for room in record.job.rooms if room.name in nobody_in(record, now)]
    if item is not ReadyItem.EMPTIED or not shut:
        return means
    return f"{means}; not {listed(shut, most=len(shut), of='rooms')}: please stay out there and keep the door shut"


def _known_words(record: JobRecord, answer: ReadyAnswer | None, day: ReadyDay | None) -> str:
    """Return what was answered, and what is known of its day: one that is known is not asked for earlier."""
    zone = record.job.site.zone
    if answer is None:
        return f"As far as we know {day.words(zone)}." if day else ""
    if answer.ready:
        return f"Answered {at_site(zone, answer.at)}: yes."
    told = " Is it ready now?"
    if day is not None:
        told = "" if day.said else f" As far as we know {day.words(zone)}."
    until = f", until {at_site(zone, answer.until)}" if answer.until else ""
    return f"Answered {at_site(zone, answer.at)}: {NOT_READY_WORDS[answer.item]}{until}.{told}"
