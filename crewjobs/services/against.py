"""A job's estimate against its hours, after the work: what took longer."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.wording import counted
from crewjobs.engines.learning.against import against
from crewjobs.services.ahead import ahead_view
from crewjobs.services.learned import learned
from crewjobs.services.paces import days_worked
from crewjobs.services.rates_rows import AgainstView, JobPace, PhaseHours

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

INFERRED: Final = "Hours are known a day at a time; how they part into phases is inferred from the crews' pace at other jobs, in a band of 80 %."


def job_pace(uow: UnitOfWork, now: datetime, number: int) -> JobPace:
    """Return a job's estimate against its hours where it has any, and what is left of it where something is.

    Raises:
        Refused: neither.
    """
    left = ahead_view(uow, now, number) if not uow.job(number).job.is_callback else None
    try:
        hours = against_view(uow, now, number)
    except Refused:
        if left is None:
            raise
        hours = None
    return JobPace(against=hours, ahead=left)


def against_view(uow: UnitOfWork, now: datetime, number: int) -> AgainstView:
    """Return the estimate of what was done at a job against its hours, phase by phase.

    Raises:
        Refused: no such job, a callback, or no hours with anything ticked.
    """
    record, shop = uow.job(number), uow.shop()
    job = record.job
    if job.is_callback:
        raise Refused(f"job {number} is a callback: its hours stay with it and are compared with nothing.")
    mine = days_worked((record,), shop, now)
    if not any(day.tells_pace for day in mine):
        raise Refused(
            f"job {number} has no hours of a crew at work that was ticked: `crewjobs evening` records them, then its estimate can "
            "be held against them."
        )
    found = against(learned(uow, now), mine, {task.number: task.phase for task in record.tasks})
    still = sum(task.open for task in record.tasks)
    open_words = f"{counted(still, 'task')} not done yet: the estimate is of what was done. " if still else ""
    sentences = found.sentences
    phases = sorted(found.phases, key=lambda one: (one.estimated_min - one.likely_min, one.phase))
    return AgainstView(
        job=number,
        title=job.title,
        estimated_min=found.estimated_min,
        taken_min=found.taken_min,
        sentence=sentences[0],
        phases=tuple(
            PhaseHours(
                phase=one.phase.value,
                estimated_min=one.estimated_min,
                likely_min=one.likely_min,
                low_min=one.low_min,
                high_min=one.high_min,
                sure=one.sure,
                sentence=one.sentence,
            )
            for one in phases
        ),
        apart=sentences[1 + len(phases) :],
        open=still,
        note=f"{open_words}{INFERRED}",
    )
