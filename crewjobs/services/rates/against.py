"""A job's estimate against its hours, after the work: what took longer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import WorkedDay
from crewjobs.domain.tasks import Phase
from crewjobs.domain.units import format_hours
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.learning.against import AS_ESTIMATED, against
from crewjobs.engines.learning.pace import Pace
from crewjobs.services.rates.ahead import ahead_view
from crewjobs.services.rates.learned import known, learned
from crewjobs.services.rates.paces import days_worked
from crewjobs.services.rates.rates_rows import AgainstView, JobPace, LatelyView, PhaseHours

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

INFERRED: Final = "Hours are known a day at a time; how they part into phases is inferred from the crews' pace at other jobs, in a band of 80 %."
NO_HOURS: Final = (
    "No job has hours of a crew at work that was ticked yet: `crewjobs evening`, or e in On site, records them; from then on each "
    "job's estimate stands here against its hours."
)
LATELY: Final = 12
"""Jobs looked at where none is named."""
MOST_PHASES: Final = 3
HOUSE: Final = "work of the house"


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
    return _view(record, mine, learned(uow, now))


def lately_view(uow: UnitOfWork, now: datetime, most: int = LATELY) -> LatelyView:
    """Return the jobs worked last whose hours tell something, at most so many, each estimate against its hours."""
    found = known(uow, now)
    mine: dict[int, list[WorkedDay]] = {}
    for day in found.days:
        mine.setdefault(day.job, []).append(day)
    told = {job: [day.day for day in days if day.tells_pace] for job, days in mine.items()}
    order = sorted((job for job in told if told[job]), key=lambda job: (max(told[job]), job), reverse=True)
    jobs: list[AgainstView] = []
    for job in order:
        record = uow.job(job)
        if record.job.is_callback:
            continue
        if len(jobs) == most:
            return LatelyView(jobs=tuple(jobs), more=True, note="")
        jobs.append(_view(record, mine[job], found.pace))
    return LatelyView(jobs=tuple(jobs), more=False, note="" if jobs else NO_HOURS)


def took_longer(view: AgainstView) -> tuple[str, ...]:
    """Return after a job, in one or two sentences, what took longer, and where the whole of it is shown."""
    longer = [one for one in view.phases if one.likely_min > one.estimated_min * (1 + AS_ESTIMATED)]
    sure = [one for one in longer if one.sure]
    words = [
        f"{HOUSE if one.phase == Phase.HOUSE else one.phase} (about {format_hours(one.likely_min)}, estimated "
        f"{format_hours(one.estimated_min)})"
        for one in (sure or longer)[:MOST_PHASES]
    ]
    verb = "took longer" if sure else "may have taken longer"
    said = f"{view.sentence} {upper(listed(words))} {verb}." if words else f"{view.sentence} No phase took longer."
    return (said, f"`crewjobs rates --job {view.job}`, or Rates on the screens, shows it phase by phase.")


def _view(record: JobRecord, mine: Sequence[WorkedDay], pace: Pace) -> AgainstView:
    found = against(pace, mine, {task.number: task.phase for task in record.tasks})
    still = sum(task.open for task in record.tasks)
    open_words = f"{counted(still, 'task')} not done yet: the estimate is of what was done. " if still else ""
    first, *others = found.sentences
    unknown = _without_hours(record, mine)
    sentences = (first.replace("The job took", "By the hours that were told it took", 1) if unknown else first, *others)
    phases = sorted(found.phases, key=lambda one: (one.estimated_min - one.likely_min, one.phase))
    return AgainstView(
        job=record.job.number,
        title=record.job.title,
        last=max(day.day for day in mine if day.tells_pace),
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
        note=f"{open_words}{unknown}{INFERRED}",
    )


def _without_hours(record: JobRecord, mine: Sequence[WorkedDay]) -> str:
    """Return of which ticked tasks nobody told any hours, by their phases: they are in no figure; empty where there are none."""
    told = {one.number for day in mine for one in day.done}
    ticked = [task for task in record.tasks if task.done_at is not None and task.estimate.expected > 0]
    left = [task for task in ticked if task.number not in told]
    if not left:
        return ""
    phases = dict.fromkeys(HOUSE if task.phase is Phase.HOUSE else task.phase.value for task in left)
    return f"No hours were told of {counted(len(left), 'ticked task')} ({listed(list(phases), most=9)}): in neither figure. "
