"""Nights without a toilet for which nothing is agreed: the customer is called before they come."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.house import MEANWHILE_IN_THE_FILE
from crewjobs.domain.job import JobRecord
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words
from crewjobs.services.rows import WaitRow
from crewjobs.services.weeks.overnight import cuts_by_plan, nights_without
from crewjobs.services.weeks.toilets import needed_by_night, shut_words
from crewjobs.services.weeks.visits import Planned


def toilet_rows(record: JobRecord, found: Planned | None, now: datetime) -> Iterator[WaitRow]:
    """Yield the row of a house people live in that is without a toilet over planned nights, while nothing is agreed for them.

    One that is shut for what was found has its own words: when it is open again is in no plan.
    """
    job, zone = record.job, record.job.site.zone
    if found is None or not needed_by_night(record) or shut_words(record, now):
        return
    nights = [span for span in nights_without(found, record, cuts_by_plan(found, record, now)) if span[1] > now]
    if not nights:
        return
    first, last = (to_wall(zone, at).date() for at in (nights[0][0], nights[-1][1]))
    yield WaitRow(
        job=job.number,
        title=job.title,
        what=f"what is used while no toilet is there over night, {day_words(first)} to {day_words(last)}: nothing is agreed",
        state=WaitState.TO_ASK,
        since=None,
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds="",
        call=f"agree a rented toilet or nights away with {job.customer.name}, then note it {MEANWHILE_IN_THE_FILE}",
        whom=job.customer.name,
    )
