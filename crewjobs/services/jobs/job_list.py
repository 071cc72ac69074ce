"""The list of jobs: how far each is, what it waits for, when it ends."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.evening import share_left
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import PHASES, Driver, Phase
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.engines.estimating.estimate import total
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.holds import HoldKind, holds
from crewjobs.engines.readiness.house import HouseState, house, not_ready_words
from crewjobs.engines.readiness.others import asked_on, still_out, when_words, who_words
from crewjobs.services.findings.hanging import ONLY_IF, finish_hangs
from crewjobs.services.jobs.ties import called_back
from crewjobs.services.materials.lots import lot_asks
from crewjobs.services.materials.material_rows import material_status
from crewjobs.services.rows import JobRow
from crewjobs.services.waiting.goods_waits import goods_waited_for
from crewjobs.services.weeks.gone_by import behind_since
from crewjobs.services.weeks.ready_planned import as_planned
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.storage.jobs import JobSummary
    from crewjobs.storage.unit_of_work import UnitOfWork


def job_list(uow: UnitOfWork, now: datetime, *, everything: bool = False) -> tuple[JobRow, ...]:
    """Return the open jobs by number; with `everything` also those done, closed and called off."""
    records = uow.live_jobs()
    found = planned(uow, records) if records else None
    back = called_back(uow.callbacks())
    rows = [job_row(record, found, now, back.get(record.job.number, ())) for record in records]
    if everything:
        live = {row.number for row in rows}
        past = [one for one in uow.job_summaries(everything=True) if one.number not in live]
        rows += [_past_row(summary, back.get(summary.number, ())) for summary in past]
    return tuple(sorted(rows, key=lambda row: row.number))


_OVER: Final = (JobState.CALLED_OFF, JobState.CLOSED, JobState.DONE)
"""Of such a job no work is left, whatever of it was not done."""


def _past_row(summary: JobSummary, callbacks: tuple[int, ...]) -> JobRow:
    return JobRow(
        number=summary.number,
        title=summary.title,
        customer=summary.customer,
        address=summary.address,
        state=summary.state,
        phase="",
        tasks_done=summary.tasks_done,
        tasks_all=summary.tasks_all,
        hours_left=0.0,
        promised=summary.promised,
        planned_finish=None,
        late=False,
        waits_for="",
        callback_of=summary.callback_of,
        callbacks=callbacks,
    )


def job_row(record: JobRecord, found: Planned | None, now: datetime, callbacks: tuple[int, ...] = ()) -> JobRow:
    """Return a job as a line of the list; `callbacks` are the numbers of those that came back to it."""
    job = record.job
    needed = [task for task in record.tasks if not task.not_needed]
    still = [task for task in needed if task.open]
    end = found.finish(record) if found and still else None  # what is all ticked ends no more
    finish = to_wall(job.site.zone, end) if end else None
    return JobRow(
        number=job.number,
        title=job.title,
        customer=job.customer.name,
        address=job.site.address,
        state=job.state.value,
        phase=current_phase(record),
        tasks_done=len(needed) - len(still),
        tasks_all=len(needed),
        hours_left=0.0 if job.state in _OVER else total(still).hours - hours_said_done(record),
        promised=job.promised,
        planned_finish=finish,
        late=_late(record, finish, to_wall(job.site.zone, now).date(), still=bool(still)),
        waits_for=waits_for(record, now, found),
        callback_of=job.callback_of,
        callbacks=callbacks,
        unticked_since=behind_since(found.task_minutes(record), record, now) if found and still else None,
        only_if=ONLY_IF if finish is not None and finish_hangs(record, now) else "",
    )


def _late(record: JobRecord, finish: datetime | None, today: date, *, still: bool) -> bool:
    """Return whether the promised day is before the planned finish, or is over while work is left."""
    job = record.job
    if job.promised is None:
        return False
    gone_by = job.state is JobState.BOOKED and still and job.promised < today
    return gone_by or (finish is not None and finish.date() > job.promised)


def hours_said_done(record: JobRecord) -> float:
    """Return the expected hours of one person of what people said is done of the tasks still open."""
    still = (task for task in record.tasks if task.open)
    return sum(task.estimate.expected * (1 - share_left(record.how_far, task.number)) for task in still) / 60


def current_phase(record: JobRecord) -> str:
    """Return in words how far the work is: not begun, the earliest phase with work open, or finished."""
    needed = [task for task in record.tasks if not task.not_needed]
    if needed and not any(task.open for task in needed):
        return "finished"
    if not any(task.started_at or task.done_at for task in needed):
        return "not begun"
    still = {task.phase for task in needed if task.open}
    agreed = all(task.unit is Driver.HOURS for task in needed if task.open)  # work agreed in words is of no phase
    return next((phase.value for phase in PHASES if phase in still), "under way" if agreed else "hand-over")


def waits_for(record: JobRecord, now: datetime, found: Planned | None) -> str:
    """Return the hold that keeps the job's next tasks waiting longest, empty when some task may start.

    Others who stop what comes before the laying go before the material that stops the laying.
    """
    if record.job.state is not JobState.BOOKED:
        return ""
    if record.job.unmeasured:
        return "its rooms and material: none are known yet"
    seen = house(record, now)
    if seen.state is HouseState.NOT_READY and any(task.open for task in record.tasks):
        until = f", until {at_site(record.job.site.zone, seen.until)}" if seen.until else ""
        return not_ready_words(seen) + until
    if before := _others_first(record, now):
        return before
    for material in record.job.materials:
        asked = lot_asks(record, material, now)
        if asked:
            return asked[0]
        clock = as_planned(found, record, material_clock(record, material, now))
        laying = any(task.needs_material == material.name and task.open for task in record.tasks)
        if laying and clock.state is not WaitState.READY:
            return f"{material.name}, {material_status(record, clock)}"
    held = [hold for task in record.tasks if task.open for hold in holds(record, task, now)]
    too_late = [hold.what for hold in held if hold.kind is HoldKind.TOO_LATE]
    cures = [hold for hold in held if hold.until]
    if too_late:
        return too_late[0]
    if not cures:
        return goods_waited_for(record, now)
    last = max(cures, key=lambda hold: hold.until or now)
    return f"{last.what}, until {at_site(record.job.site.zone, last.until or now)}"


def _others_first(record: JobRecord, now: datetime) -> str:
    """Return which others the work before the laying waits for, the first to be there first; empty where it waits for none."""
    early = PHASES[: PHASES.index(Phase.INSTALL)]
    tasks = {task.number for task in record.tasks if task.open and task.phase in early}
    held = [waits for waits in still_out(record, now) if tasks & set(waits.holds)]
    zone = record.job.site.zone
    dated = sorted(held, key=lambda waits: (waits.promised is None, waits.promised or now))
    words = (
        f"{who_words(waits)}, {f'{asked_on(waits)}, ' if waits.to_be_asked else ''}"
        f"{when_words(waits, zone, late=waits.promised is not None and waits.promised < now)}"
        for waits in dated
    )
    return "; ".join(dict.fromkeys(words))
