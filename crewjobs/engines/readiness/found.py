"""What findings hold: the tasks they held when they were recorded, until a way on is taken, and of those what the way keeps."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Final

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import ASKED_FOR, GOES_WITHOUT, NOT_LAID_OVER, NOTHING_INTO, SUSPECT, WayTaken
from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.shut_for_found import ways_of as ways_of
from crewjobs.domain.tasks import ScopeKind, Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words, typed
from crewjobs.engines.readiness.hold import FactKind, Hold, HoldKind, Known
from crewjobs.engines.readiness.others import still_out

EXTRA_WORK: Final = "extra-work"
"""The template of work agreed in words."""


def way_taken(record: JobRecord, finding: Finding, at: datetime) -> WayTaken | None:
    """Return the last way on from a finding that was taken by an instant."""
    ways = reversed(ways_of(record, finding))  # of two of the same instant the one that was taken after the other
    return max((way for way in ways if way.at <= at), key=lambda way: way.at, default=None)


def held_by(record: JobRecord, finding: Finding, at: datetime) -> tuple[int, ...]:
    """Return the tasks a finding holds at an instant."""
    if finding.at > at:
        return ()
    way = way_taken(record, finding, at)
    return finding.holds if way is None else way.keeps


def free_spans(record: JobRecord, task: int, since: datetime, until: datetime) -> tuple[tuple[datetime, datetime], ...]:
    """Return when between two instants no finding held a task: only then can somebody have worked on it."""
    edges = {since, until}
    edges |= {finding.at for finding in record.findings}
    edges |= {way.at for way in record.ways_taken}
    inside = sorted(edge for edge in edges if since <= edge <= until)
    return tuple(
        (start, end)
        for start, end in pairwise(inside)
        if not any(task in held_by(record, finding, start) for finding in record.findings)
    )


def work_task(record: JobRecord, finding: Finding) -> Task | None:
    """Return the task that was added for a finding, None where there is none or it is not needed any more."""
    if not finding.work:
        return None
    return next(
        (
            task
            for task in record.tasks
            if task.key.template == EXTRA_WORK
            and task.key.cause == finding.work
            and task.where == finding.place
            and not task.not_needed
        ),
        None,
    )


def of_a_finding(record: JobRecord, task: Task) -> bool:
    """Return whether a task was added for something that was found: it is about the floor as it lies there."""
    return any(work_task(record, one) == task for one in record.findings)


def not_agreed(record: JobRecord, task: Task, at: datetime) -> str:
    """Return which change order the customer has not agreed to that a task was drafted with; empty where there is none."""
    if task.key.template != EXTRA_WORK or task.done_at is not None:
        return ""
    today = to_wall(record.job.site.zone, at).date()
    for finding in record.findings:
        if finding.work == task.key.cause and work_task(record, finding) == task:
            for order in record.change_orders:
                if not finding.about_its_work(order.what):
                    continue
                if order.declined is not None and order.declined <= today:
                    return f"the customer has declined {quoted(order.what)}"
                if order.agreed is None or order.agreed > today:
                    return f"the customer has not agreed to {quoted(order.what)}"
    return ""


def its_work_agreed(record: JobRecord, finding: Finding) -> bool:
    """Return whether the customer has said yes to the crew's own work about a finding; False where there is none."""
    return work_task(record, finding) is not None and not any(
        finding.about_its_work(order.what) and order.agreed is None for order in record.change_orders
    )


def repair_agreed(record: JobRecord, finding: Finding, now: datetime) -> bool:
    """Return whether the way on from a finding is the crew's own work, to which the customer has said yes by an instant.

    That is the one rule by which days have no "if" before a way on is taken: such work is planned like any, and what it opens after it.
    """
    task = work_task(record, finding)
    return task is not None and way_taken(record, finding, now) is None and not not_agreed(record, task, now)


def before_its_work(record: JobRecord, finding: Finding) -> frozenset[int]:
    """Return the tasks that the crew's own work about a finding comes after, itself with them."""
    task = work_task(record, finding)
    return frozenset() if task is None else comes_before(record, task.number)


def comes_before(record: JobRecord, task: int) -> frozenset[int]:
    """Return the tasks that one comes after, itself with them."""
    before, look = {task}, [task]
    while look:
        number = look.pop()
        more = {link.before for link in record.links if link.after == number} - before
        before |= more
        look += more
    return frozenset(before)


def after_its_work(record: JobRecord, finding: Finding, now: datetime) -> frozenset[int]:
    """Return the tasks a finding holds that can be planned after its own work, which the customer has agreed to.

    Only planned: a way on opens them. What that work itself comes after is not among them.
    """
    if not repair_agreed(record, finding, now):
        return frozenset()
    return frozenset(finding.holds) - before_its_work(record, finding)


def waited_for_its_work(record: JobRecord, finding: Finding, task: int, at: datetime) -> bool:
    """Return whether a task that a finding holds cannot have begun by an instant, since its own work was done only after that."""
    work = work_task(record, finding)
    return task in finding.holds and work is not None and work.done_at is not None and work.done_at > at


def looked_at(record: JobRecord, finding: Finding) -> datetime | None:
    """Return the instant from which what was done about a finding can be looked at again, None before it is done."""
    task = work_task(record, finding)
    return None if task is None or task.done_at is None else task.done_at + timedelta(minutes=finding.dry_min)


def found_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    """Yield the instants from which work can be planned that waits for a finding's own work to be dry."""
    for finding in record.findings:
        at = looked_at(record, finding)
        if at is not None and at > now and task.number in after_its_work(record, finding, now):
            yield Known(at=at, reason=f"'{finding.work}' ({finding.place}) dry by", kind=FactKind.CURE)


def found_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield a hold for every finding that keeps a task; it has no end by itself: a way on must be taken.

    The work that was added for a finding waits for the customer to agree.
    """
    why = not_agreed(record, task, at)
    if why:
        yield Hold(kind=HoldKind.FOUND, what=f"{why} (`crewjobs agreed {record.job.number} …`)")
    for finding in record.findings:
        if task.number in held_by(record, finding, at):
            yield Hold(kind=HoldKind.FOUND, what=found_words(record, finding, task, at))


def found_words(record: JobRecord, finding: Finding, task: Task, at: datetime) -> str:
    """Return why a finding holds a task, with the command that takes a way on."""
    when = moment_words(to_wall(record.job.site.zone, finding.at))
    way = way_taken(record, finding, at)
    if way is not None:
        return f"{finding.kind} in {finding.place}: {way.way} was taken, and that is not done into it{_without(record, finding, task)}"
    return (
        f"{finding.kind} found in {finding.place} {when}: no way on is taken "
        f"(`crewjobs found {record.job.number} {typed(finding.place)} {typed(finding.kind)} --way …`)"
    )


def _without(record: JobRecord, finding: Finding, task: Task) -> str:
    """Return how a task that can be done without going into what is left there goes on; empty for others.

    Work on soft wood or mold goes into it: neither is laid over because that work is not done.
    """
    if _not_left_undone(record, task):
        command = f"crewjobs found {record.job.number} {typed(finding.place)} {typed(finding.kind)}"
        return f"; that waits for a way on by which it is gone (`{command} --way …`), or for another from what that work is about"
    if finding.kind != SUSPECT or task.key.template not in GOES_WITHOUT or of_a_finding(record, task):
        return ""
    command = (
        f"crewjobs found {record.job.number} {typed(finding.place)} {typed(finding.kind)} --way {typed(NOTHING_INTO)} …"
    )
    return f"; where it goes without, the lead says so (`{command}`)"


def _not_left_undone(record: JobRecord, task: Task) -> bool:
    """Return whether a task is the crew's own work about something that no floor is laid over as it is."""
    return any(one.kind in NOT_LAID_OVER and work_task(record, one) == task for one in record.findings)


def _off(record: JobRecord, task: Task) -> str:
    """Return what takes a task off that is not done into what was found.

    No change of the job's file takes off a task of the house, nor work that was added for a finding.
    """
    number = record.job.number
    if task.key.scope.kind is ScopeKind.JOB or of_a_finding(record, task):
        return f"tick it with why it is not done (`crewjobs tick {number} {task.number} --because …`)"
    return f"change the job (`crewjobs dump {number}`, then `load --replace`)"


def _same_day(record: JobRecord, one: datetime, other: datetime) -> bool:
    zone = record.job.site.zone
    return to_wall(zone, one).date() == to_wall(zone, other).date()


def only_kept(record: JobRecord, task: Task, now: datetime) -> bool:
    """Return whether all that was found and holds a task is settled, and the way on that was taken keeps it."""
    holding = [finding for finding in record.findings if task.number in held_by(record, finding, now)]
    return (
        bool(holding)
        and not not_agreed(record, task, now)
        and all(way_taken(record, finding, now) is not None for finding in holding)
    )


def found_no_date(record: JobRecord, task: Task, now: datetime) -> str:
    """Return what was found that keeps a task and of which nobody knows a day; empty where an answer to it is expected for one, or is there."""
    why = not_agreed(record, task, now)
    if why:
        return why
    for finding in record.findings:
        if task.number not in held_by(record, finding, now):
            continue
        planned = task.number in after_its_work(record, finding, now)
        dry = looked_at(record, finding)
        if planned and (dry is None or dry > now or _same_day(record, dry, now)):
            continue
        asked = any(
            waits.promised is not None and task.number in waits.holds and _asked_about(finding, waits)
            for waits in still_out(record, now)
        )
        taken = way_taken(record, finding, now)
        if taken is not None:
            without = _without(record, finding, task)
            off = "" if _not_left_undone(record, task) else f"; {'else ' if without else ''}{_off(record, task)}"
            return (
                f"{finding.kind} in {finding.place}: {taken.way} was taken, and '{task.title}' is not done into it"
                f"{without}{off}"
            )
        if not asked and not _answered(record, finding, now):
            return f"{finding.kind} found in {finding.place}: no way on is taken"
    return ""


def _answered(record: JobRecord, finding: Finding, now: datetime) -> bool:
    """Return whether somebody who was asked about a finding has been there by an instant: the way on can be taken now."""
    return any(
        waits.came_at is not None
        and waits.came_at <= now
        and _asked_about(finding, waits)
        and not {*waits.holds}.isdisjoint(finding.holds)
        for waits in record.waiting_on
    )


def _asked_about(finding: Finding, waits: WaitingOn) -> bool:
    """Return whether somebody was asked about a finding since it was there: in its place, and not for what another kind asks for.

    Of two findings that hold the same tasks the answer to one says nothing of the other. What was asked by hand names the place.
    """
    named = re.fullmatch(
        rf"(.+) in {re.escape(finding.place)}( \(\d+\))*", waits.what, re.IGNORECASE
    )  # asked for again it is numbered; another job of the house may write the place in other capitals
    if named is None or waits.asked_at is None or waits.asked_at < finding.at:
        return False
    kinds = [kind for kind, what in ASKED_FOR.items() if named[1] in what]
    return not kinds or finding.kind in kinds
