"""A booked job of which every task is ticked: what is not recorded of its end, and that nobody has set it done."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.domain.agreed import Money, Walk
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed
from crewjobs.services.jobs.known import HAND_OVER
from crewjobs.services.rows import WaitRow

ALL_TICKED = "All its work is ticked"


def is_all_ticked(record: JobRecord) -> bool:
    """Return whether a job is booked still, and no work of it is left."""
    return record.job.state is JobState.BOOKED and bool(record.tasks) and not any(task.open for task in record.tasks)


def to_end(record: JobRecord) -> str:
    """Return what is to be recorded of a job's end yet, and how it is set done, as words after a colon or an arrow.

    A callback is looked at and paid with the job that it comes back to: nothing is asked for of it.
    """
    job = record.job.number
    left = []
    handed_over = any(task.key.template == HAND_OVER for task in record.tasks)
    if handed_over and not any(one.walk is Walk.AFTER for one in record.walks):
        left.append(f"the walk-through after (`crewjobs walk {job} after --with NAME`)")
    if _last_punch(record):
        left.append(f"the punch list as made (`crewjobs walk {job} after --with NAME`)")
    if not record.job.is_callback and not any(one.fact is Money.ASKED for one in record.money):
        left.append(f"the balance asked (`crewjobs money {job} asked`)")
    first = f"record {listed(left)}, then set" if left else "set"
    return f"{first} it done (`crewjobs amend {job} --state done`)"


def _last_punch(record: JobRecord) -> tuple[str, ...]:
    """Return what the last walk-through after the work left to be done."""
    after = [one for one in record.walks if one.walk is Walk.AFTER]
    last = max(reversed(after), key=lambda one: one.at, default=None)
    return last.punch if last is not None else ()


def all_ticked_rows(record: JobRecord) -> Iterator[WaitRow]:
    """Yield the row of a booked job whose work is all ticked, until it is set done."""
    if not is_all_ticked(record):
        return
    last = max((task.done_at for task in record.tasks if task.done_at is not None), default=None)
    yield WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=f"{ALL_TICKED}, and it is booked still",
        state=WaitState.TO_DECIDE,
        since=to_wall(record.job.site.zone, last) if last is not None else None,
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds="",
        call=to_end(record),
    )
