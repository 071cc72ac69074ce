"""Hours of an evening that are far from what is usual for what was done: kept, and asked about at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from shlex import quote
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import Job, JobRecord, JobState
from crewjobs.domain.pace import HoursKind, WorkedDay
from crewjobs.domain.units import format_hours
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import upper
from crewjobs.engines.estimating.worked import worked_days
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.predicting import usual_minutes
from crewjobs.engines.learning.updating import with_job
from crewjobs.services.evenings.evening_sheet import booked_again
from crewjobs.services.rates.learned import learned

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

LONGER: Final = 1.6
ODD_ANYWAY: Final = 4.0
"""So many times the usual hours are asked about; beyond, the record is odd, and that is asked (common practice, no source)."""


def odd_words(uow: UnitOfWork, now: datetime, records: Sequence[JobRecord], crew: str, day: date) -> tuple[str, ...]:
    """Return a sentence for each house where a crew's hours of a day are odd or say too little, and how they are put right.

    `records` are as the evening leaves them and not stored yet: the pace is what was known before it.
    """
    pace = learned(uow, now)
    today = to_wall(uow.shop().zone, now).date()
    words: list[str] = []
    for record in records:
        number = record.job.number
        days = tuple(one for one in worked_days(record) if one.day <= today)
        tonight = [one for one in days if (one.crew, one.day, one.kind) == (crew, day, HoursKind.WORK)]
        asked: list[str] = []
        if number in pace.told or any(one.tells_pace for one in days):
            told = with_job(pace, number, days).told.get(number)
            asked = [
                odd.sentence
                for odd in (told.odd if told is not None else ())
                if (odd.day.crew, odd.day.day) == (crew, day)
            ]
        words += _unsaid(record.job, tonight, pace, asked=bool(asked))
        for sentence in asked:
            again = f"crewjobs evening {quote(crew)} {day.isoformat()} --again"
            words.append(f"{upper(sentence)} If not, `{again}` takes other times in the place of these.")
    return tuple(words)


def _unsaid(job: Job, tonight: Sequence[WorkedDay], pace: Pace, *, asked: bool) -> Iterator[str]:
    """Yield what to say of hours in which nothing was ticked, or much less than they are good for: another task was begun.

    Hours that are `asked` about as odd already are told once, with one figure. Of a job that is not booked any more nothing
    is asked that it does not take: how it takes it is told.
    """
    over = "" if job.state is JobState.BOOKED else f"the job is {job.state.value}"
    back = booked_again(job, "record it")
    for one in tonight:
        head = f"Job {one.job}: {format_hours(one.labor_min)} of one person"
        how = f"`crewjobs how-far {one.job} TASK HOW-FAR`"
        if not one.done and over:
            yield f"{head}, and nothing was ticked: {over}, so they tell no pace. If something got done all the same: {back}."
            continue
        if not one.done:
            yield f"{head}, and nothing was ticked: say what got done or how far ({how}); else they count with what is ticked next."
            continue
        if asked:
            continue
        usual = usual_minutes(pace, one.crew, one.done)
        if LONGER < one.labor_min / usual <= ODD_ANYWAY:
            than = f"{head} where about {format_hours(usual)} are usual for what was ticked"
            if over:
                yield f"{than}; {over}. If more got done: {back}."
            else:
                yield f"{than}: if another task was begun, say how far ({how})."
