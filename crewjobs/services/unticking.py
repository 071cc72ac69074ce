"""Taking back one tick, however long ago it was: the task is to be done again, and what the tick set in motion stops."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.material import Lot
from crewjobs.domain.tasks import Task
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.services.rows import Done
from crewjobs.services.ticking import with_task
from crewjobs.services.wording import at_site, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def untick(uow: UnitOfWork, now: datetime, job: int, task: int) -> Done:
    """Record that a task is not done after all: a change of its own, which undo takes back like any.

    Cures, and the hours of what the tick carried in, run no more; a reason given for passing its hold is kept in the log.

    Raises:
        Refused: unknown job or task, the job is not booked, the task is not done, or work after it has begun.
    """
    before = uow.job(job)
    found = before.task(task)
    if before.job.state is not JobState.BOOKED:
        raise Refused(f"job {job} is {before.job.state.value}, not booked: no tick of it is taken back.")
    if found.done_at is None:
        raise Refused(f"{upper(task_words(found))} of job {job} is {found.state}: there is no tick to take back.")
    later = _stands_on(before, found)
    if later:
        names = listed([task_words(one) for one in later], most=3)
        raise Refused(
            f"{upper(task_words(found))} of job {job} stays done: {names} came after it and "
            f"{'is' if len(later) == 1 else 'are'} {'done' if all(one.done_at for one in later) else 'begun'}; "
            "take that back first, the last one first."
        )
    after = _without(before, found, found.done_at)
    uow.save_job(before, after)
    was = at_site(before.job.site.zone, found.done_at)
    what = f"job {job}: {task_words(found)} is not done after all (it was ticked {was})"
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job))


def _stands_on(record: JobRecord, task: Task) -> list[Task]:
    """Return the tasks that wait for this one by a link and are begun or done all the same."""
    after = {link.after for link in record.links if link.before == task.number}
    return [one for one in record.tasks if one.number in after and one.started_at is not None and not one.not_needed]


def _without(record: JobRecord, task: Task, done_at: datetime) -> JobRecord:
    """Return the record as if the tick had not been: what it began by itself is to do, what had begun is under way."""
    started = None if task.started_at == done_at and not task.crew else task.started_at
    passed = tuple(one for one in record.passed if (one.task, one.at) != (task.number, done_at))
    lots = record.lots
    if is_carry_in(task):
        lots = tuple(_not_in(lot, done_at) if lot.material == task.key.scope.name else lot for lot in lots)
    return with_task(replace(record, passed=passed, lots=lots), replace(task, done_at=None, started_at=started))


def _not_in(lot: Lot, done_at: datetime) -> Lot:
    """Return a lot that this tick had carried in as waiting outside again."""
    return replace(lot, moved_in_at=None) if lot.moved_in_at == max(done_at, lot.arrived_at) else lot
