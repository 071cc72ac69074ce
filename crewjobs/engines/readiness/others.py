"""What somebody else was asked for, and the tasks it holds until it is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import Final

from crewjobs.domain.house_ready import Other, WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, moment_words
from crewjobs.engines.readiness.hold import FactKind, Hold, HoldKind, Known

SAMPLING: Final = "sampling"
"""The template whose wait stands for the laboratory's."""


def by_the_laboratory(record: JobRecord) -> JobRecord:
    """Return a job in which the laboratory's own word, a date or its answer, counts in the place of the usual wait.

    The wait after sampling stands for a laboratory nobody has heard of. What it was asked for since the samples were
    taken holds by itself until it is there; what it was asked for before was something else.
    """
    zone = record.job.site.zone
    taken = {
        t.number: to_wall(zone, t.done_at).date() for t in record.tasks if t.key.template == SAMPLING and t.done_at
    }
    told = {
        (sample, number)
        for waits in record.waiting_on
        if waits.who is Other.LABORATORY and (waits.promised is not None or waits.came_at is not None)
        for sample, day in taken.items()
        if waits.asked >= day
        for number in waits.holds
    }
    links = tuple(
        replace(link, wait_min=0, name="") if (link.before, link.after) in told else link for link in record.links
    )
    return record if links == record.links else replace(record, links=links)


def still_out(record: JobRecord, at: datetime) -> tuple[WaitingOn, ...]:
    """Return what was asked of others by an instant and was not there then, in the order it was asked.

    Of which only the day is known counts from its morning on; else what was done before somebody asked is not held by it.
    The usual day of a laboratory is none any more once the day has gone by on which its sample was to be taken: nobody knows when that is.
    """
    today = to_wall(record.job.site.zone, at).date()
    return tuple(
        replace(waits, promised=None) if waits.usual and _not_sampled(record, waits, at) else waits
        for waits in record.waiting_on
        if (waits.asked <= today if waits.asked_at is None else waits.asked_at <= at)
        and (waits.came_at is None or waits.came_at > at)
    )


def _not_sampled(record: JobRecord, waits: WaitingOn, at: datetime) -> bool:
    """Return whether a laboratory is to answer on a sample whose day is gone by, and that nobody has taken by an instant."""
    if waits.who is not Other.LABORATORY:
        return False
    zone = record.job.site.zone
    today = to_wall(zone, at).date()
    return any(
        one.who is Other.INSPECTOR
        and (one.asked_at, one.holds) == (waits.asked_at, waits.holds)  # asked because of the same finding
        and (one.came_at is None or one.came_at > at)
        and one.promised is not None
        and to_wall(zone, one.promised).date() < today
        for one in record.waiting_on
    )


def others_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield a hold for everything asked of others that a task may not start without."""
    for waits in _of(record, task, at):
        command = f"`crewjobs came {record.job.number} {waits.who.value}` when it is there"
        yield Hold(kind=HoldKind.OTHERS, what=f"{asked_words(waits)} ({command})")


def asked_words(waits: WaitingOn) -> str:
    """Return ``waits for the plumber: gas shut off, asked Mon 2 Mar``, or that he is still to be asked."""
    return f"waits for {who_words(waits)}: {waits.what}, {asked_on(waits)}"


def asked_on(waits: WaitingOn) -> str:
    """Return ``asked Mon 2 Mar``, or ``to be asked`` while nobody is known to have asked."""
    return f"asked {day_words(waits.asked_first)}" if waits.asked_first else "to be asked"


def expected_words(waits: WaitingOn, zone: str, *, gone: bool = False) -> str:
    """Return ``expected Mon 2 Mar at the earliest, promised by nobody`` of an answer that is only usual; else empty."""
    if not waits.usual or waits.promised is None:
        return ""
    return f"{'was ' if gone else ''}expected {day_words(to_wall(zone, waits.promised).date())} at the earliest, promised by nobody"


def who_words(waits: WaitingOn) -> str:
    """Return who is waited for, as people say it."""
    return "somebody else" if waits.who.value == "other" else f"the {waits.who.value}"


def when_words(waits: WaitingOn, zone: str, *, late: bool = False) -> str:
    """Return when an answer is there, as somebody promised it or as is usual: ``promised for Thu 5 Mar 12:00``."""
    if waits.promised is None:
        return "no date promised"
    if waits.usual:
        return expected_words(waits, zone, gone=late)
    moment = moment_words(to_wall(zone, waits.promised))
    return f"late, was promised for {moment}" if late else f"promised for {moment}"


def others_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    """Yield the instants for which others have promised what a task waits for."""
    for waits in _of(record, task, now):
        if waits.promised is not None and waits.promised >= now:
            reason = f"{who_words(waits)} has promised {quoted(waits.what)} for"
            if waits.usual:
                reason = f"{quoted(waits.what)} of {who_words(waits)}, promised by nobody, is expected at the earliest"
            yield Known(at=waits.promised, reason=reason, kind=FactKind.PROMISE)


def others_no_date(record: JobRecord, task: Task, now: datetime) -> str:
    """Return in words what of others a task waits for without a date to plan with; empty if nothing."""
    for waits in _of(record, task, now):
        if waits.promised is None:
            return f"{asked_words(waits)}: get a date"
        if waits.promised < now and waits.usual:
            expected = expected_words(waits, record.job.site.zone, gone=True)
            return f"{asked_words(waits)}, {expected}: get a date"
        if waits.promised < now:
            return f"{asked_words(waits)}, promised and not there: get a new date"
    return ""


def _of(record: JobRecord, task: Task, at: datetime) -> Iterator[WaitingOn]:
    return (waits for waits in still_out(record, at) if task.number in waits.holds)
