"""What people still owe to planned work: a house that has not said yes, a plumber who is late. Said beside the work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.house import HouseState, held_by_house
from crewjobs.engines.readiness.others import asked_on, still_out, when_words, who_words
from crewjobs.services.asked.house_ready import state_words
from crewjobs.services.materials.ordered import held_words
from crewjobs.services.waiting.licensed_waits import unasked


def owed_to(record: JobRecord, tasks: Sequence[Task], now: datetime, *, not_asked: bool = True) -> tuple[str, ...]:
    """Return a sentence for each thing that people owe to some planned tasks at an instant: the house, then others.

    Without `not_asked` a house that nobody has asked yet is passed over, as it is while that is not due.
    """
    others = (*_others(record, tasks, now), *_not_asked(record, tasks))
    return (*_house(record, tasks, now, not_asked), *(f"{words}." for words in others))


def others_hold(record: JobRecord, task: Task, now: datetime, start: datetime) -> str:
    """Return in words what of others one task waits for that is not promised before its planned start; else empty."""
    for waits in still_out(record, now):
        if task.open and task.number in waits.holds and not _promised_by(waits, now, start):
            return f"waits for {_owed(record, waits, now)}"
    return ""


def _promised_by(waits: WaitingOn, now: datetime, start: datetime) -> bool:
    return waits.promised is not None and now <= waits.promised <= start


def _house(record: JobRecord, tasks: Sequence[Task], now: datetime, not_asked: bool) -> Iterator[str]:
    for task in tasks:
        found = held_by_house(record, task, now) if task.open else None
        if found is not None and (not_asked or found.state is not HouseState.NOT_ASKED):
            yield f"{upper(state_words(found, record.job.site.zone))}."
            return


def _others(record: JobRecord, tasks: Sequence[Task], now: datetime) -> Iterator[str]:
    for waits in still_out(record, now):
        held = [task for task in tasks if task.open and task.number in waits.holds]
        if held:
            yield f"Waits for {_owed(record, waits, now)}; holds back {held_words(held)}"


def _not_asked(record: JobRecord, tasks: Sequence[Task]) -> Iterator[str]:
    numbers = {task.number for task in tasks}
    for task, who, what in unasked(record):
        if task.number in numbers:
            yield f"Nobody has asked the {who.value} yet: {what}; holds back {held_words([task])}"


def _owed(record: JobRecord, waits: WaitingOn, now: datetime) -> str:
    """Return ``the plumber: gas shut off, late, promised for Mon 2 Mar 12:00``."""
    zone = record.job.site.zone
    when = when_words(waits, zone, late=waits.promised is not None and waits.promised < now)
    if waits.promised is None or waits.to_be_asked:
        when = f"{asked_on(waits)}, {when}"
    return f"{who_words(waits)}: {waits.what}, {when}"
