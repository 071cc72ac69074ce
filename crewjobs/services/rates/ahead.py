"""What is left of a job by the book and by each crew's own pace: what to quote, and whom it takes how long."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobState
from crewjobs.domain.tasks import Phase
from crewjobs.domain.units import format_hours
from crewjobs.domain.wording import counted
from crewjobs.engines.estimating.worked import works_left
from crewjobs.engines.learning.predicting import Predicted, predict
from crewjobs.services.rates.learned import known
from crewjobs.services.rates.paces import jobs_told
from crewjobs.services.rates.rates_rows import AheadView, CrewAhead, PhaseAhead

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

OVER: Final = (JobState.DONE, JobState.CLOSED, JobState.CALLED_OFF)


def ahead_view(uow: UnitOfWork, now: datetime, number: int) -> AheadView | None:
    """Return what is left of a job's open work by the book and each crew of the shop; None where nothing of it is left.

    What people said is done of a task under way is not left any more.

    A sub has a capacity, not rates, so it is not among the crews.
    """
    record, shop = uow.job(number), uow.shop()
    numbers = [task.number for task in record.tasks if task.open]
    if record.job.state in OVER or not (every := works_left(record)):
        return None
    learned = known(uow, now)
    pace, days = learned.pace, learned.days
    phase_of = {task.number: task.phase for task in record.tasks}
    by_phase = {phase: [one for one in every if phase_of[one.number] is phase] for phase in Phase}
    crews = []
    for crew in shop.crews:
        if crew.sub is not None:
            continue
        whole = predict(pace, crew.name, every)
        low, high = whole.band
        jobs = jobs_told([day for day in days if day.crew == crew.name])
        crews.append(
            CrewAhead(
                crew=crew.name,
                likely_min=whole.median,
                low_min=low,
                high_min=high,
                jobs=jobs,
                sentence=_sentence(crew.name, whole, jobs),
                phases=tuple(predict(pace, crew.name, tasks).median if tasks else 0.0 for tasks in by_phase.values()),
            )
        )
    return AheadView(
        job=number,
        title=record.job.title,
        tasks=len(numbers),
        book_min=sum(one.book_min for one in every),
        phases=tuple(
            PhaseAhead(phase=phase.value, book_min=sum(one.book_min for one in tasks))
            for phase, tasks in by_phase.items()
        ),
        crews=tuple(crews),
    )


def ahead_of(uow: UnitOfWork, now: datetime, number: int) -> AheadView:
    """Return what is left of a job.

    Raises:
        Refused: nothing of it is left.
    """
    found = ahead_view(uow, now, number)
    if found is None:
        raise Refused(f"job {number} has nothing left to do that takes time.")
    return found


def _sentence(crew: str, whole: Predicted, jobs: int) -> str:
    known = f"known from {counted(jobs, 'job')}" if jobs else "no hours of it are known yet"
    low, high = whole.band
    return f"{crew} likely takes {format_hours(whole.median)}, with 80 % between {format_hours(low)} and {format_hours(high)} ({known})."
