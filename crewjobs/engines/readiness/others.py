"""What somebody else was asked for, and the tasks it holds until it is there."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.readiness.hold import FactKind, Hold, HoldKind, Known


def still_out(record: JobRecord, at: datetime) -> tuple[WaitingOn, ...]:
    """Return what was asked of others by an instant and was not there then, in the order it was asked."""
    today = to_wall(record.job.site.zone, at).date()
    return tuple(
        waits for waits in record.waiting_on if waits.asked <= today and (waits.came_at is None or waits.came_at > at)
    )


def others_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield a hold for everything asked of others that a task may not start without."""
    for waits in _of(record, task, at):
        command = f"`crewjobs came {record.job.number} {waits.who.value}` when it is there"
        yield Hold(kind=HoldKind.OTHERS, what=f"{asked_words(waits)} ({command})")


def asked_words(waits: WaitingOn) -> str:
    """Return ``waits for the plumber: gas shut off, asked Mon 2 Mar``."""
    return f"waits for {who_words(waits)}: {waits.what}, asked {day_words(waits.asked)}"


def who_words(waits: WaitingOn) -> str:
    """Return who is waited for, as people say it."""
    return "somebody else" if waits.who.value == "other" else f"the {waits.who.value}"


def others_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    """Yield the instants for which others have promised what a task waits for."""
    for waits in _of(record, task, now):
        if waits.promised is not None and waits.promised >= now:
            reason = f"{who_words(waits)} has promised {quoted(waits.what)} for"
            yield Known(at=waits.promised, reason=reason, kind=FactKind.PROMISE)


def others_no_date(record: JobRecord, task: Task, now: datetime) -> str:
    """Return in words what of others a task waits for without a date to plan with; empty if nothing."""
    for waits in _of(record, task, now):
        if waits.promised is None:
            return f"{asked_words(waits)}: get a date"
        if waits.promised < now:
            return f"{asked_words(waits)}, promised and not there: get a new date"
    return ""


def _of(record: JobRecord, task: Task, at: datetime) -> Iterator[WaitingOn]:
    return (waits for waits in still_out(record, at) if task.number in waits.holds)
