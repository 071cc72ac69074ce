"""Hours of an evening that are far from what is usual for what was done: kept, and asked about at once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from shlex import quote
from typing import TYPE_CHECKING

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import upper
from crewjobs.engines.estimating.worked import worked_days
from crewjobs.engines.learning.updating import with_job
from crewjobs.services.learned import learned

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def odd_words(uow: UnitOfWork, now: datetime, records: Sequence[JobRecord], crew: str, day: date) -> tuple[str, ...]:
    """Return a sentence for each house where a crew's hours of a day are odd, and how they are put right.

    `records` are as the evening leaves them and not stored yet: the pace is what was known before it.
    """
    pace = learned(uow, now)
    today = to_wall(uow.shop().zone, now).date()
    words = []
    for record in records:
        number = record.job.number
        days = tuple(one for one in worked_days(record) if one.day <= today)
        if number not in pace.told and not any(one.tells_pace for one in days):
            continue
        told = with_job(pace, number, days).told.get(number)
        for odd in told.odd if told is not None else ():
            if (odd.day.crew, odd.day.day) == (crew, day):
                again = f"crewjobs evening {quote(crew)} {day.isoformat()} --again"
                words.append(f"{upper(odd.sentence)} If not, `{again}` takes other times in the place of these.")
    return tuple(words)
