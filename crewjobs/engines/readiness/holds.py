"""Why a task may not start at an instant: the one function behind tick, waiting list and planner."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Link, Task
from crewjobs.domain.units import exact_wait
from crewjobs.engines.readiness.at_most import at_most_holds
from crewjobs.engines.readiness.clocks import counted_by_lots, wait_ends
from crewjobs.engines.readiness.dew import dew_why
from crewjobs.engines.readiness.found import found_holds, found_known, found_no_date
from crewjobs.engines.readiness.goods import goods_holds, goods_known, goods_no_date
from crewjobs.engines.readiness.hold import FactKind as FactKind
from crewjobs.engines.readiness.hold import Hold as Hold
from crewjobs.engines.readiness.hold import HoldKind as HoldKind
from crewjobs.engines.readiness.hold import Known as Known
from crewjobs.engines.readiness.house import house_holds, house_known, house_no_date
from crewjobs.engines.readiness.lots import is_carry_in as is_carry_in
from crewjobs.engines.readiness.lots import needs_cartons as needs_cartons
from crewjobs.engines.readiness.material_holds import (
    laid_without_the_rest,
    material_holds,
    material_known,
    material_no_date,
)
from crewjobs.engines.readiness.others import others_holds, others_known, others_no_date


def holds(record: JobRecord, task: Task, at: datetime) -> tuple[Hold, ...]:
    """Return everything that keeps a task from starting at an instant, empty when it may.

    Only what had happened by `at` counts, so a tick for yesterday is judged by yesterday.
    """
    return (
        *house_holds(record, task, at),
        *material_holds(record, task, at),
        *goods_holds(record, task, at),
        *found_holds(record, task, at),
        *others_holds(record, task, at),
        *_dew_holds(record, task, at),
        *_link_holds(record, task, at),
        *at_most_holds(record, task, at),
    )


def _dew_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    why = dew_why(record, task, at)
    if why:
        yield Hold(kind=HoldKind.DEW, what=f"{why}; read floor and air again")


def _link_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    tasks = {other.number: other for other in record.tasks}
    for link in sorted((link for link in record.links if link.after == task.number), key=lambda link: link.before):
        before = tasks[link.before]
        if before.not_needed or (is_carry_in(before) and laid_without_the_rest(record, task, at)):
            continue
        if before.done_at is None or before.done_at > at:
            then = "was not done by then" if before.done_at is not None else "is not done"
            what = f"task {before.number} '{before.title}' ({before.where}) {then}"
            yield Hold(kind=HoldKind.BEFORE, what=what, task=before.number)
        elif not counted_by_lots(link, task) and wait_ends(link, before.done_at) > at:
            brief = f"{link.name.partition(' (')[0]} until ({before.where})"
            until = wait_ends(link, before.done_at)
            yield Hold(kind=HoldKind.WAIT, what=_wait_words(link, before), until=until, brief=brief)


def _wait_words(link: Link, before: Task) -> str:
    return f"{link.name} {exact_wait(link.wait_min)} after '{before.title}' ({before.where})"


def known_instants(record: JobRecord, now: datetime) -> dict[int, tuple[Known, ...]]:
    """Return, for open tasks, the instants fixed by facts: waits and lots' clocks that run, what was promised for a day."""
    known: dict[int, tuple[Known, ...]] = {}
    for task in record.tasks:
        if task.open:
            found = tuple(_known(record, task, now))
            if found:
                known[task.number] = found
    return known


_FACTS = {
    HoldKind.MATERIAL: FactKind.ACCLIMATION,
    HoldKind.WAIT: FactKind.CURE,
    HoldKind.HOUSE: FactKind.HOUSE,
    HoldKind.OTHERS: FactKind.PROMISE,
}


def _known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    for hold in holds(record, task, now):
        if hold.until is not None:
            yield Known(at=hold.until, reason=hold.brief, kind=_FACTS.get(hold.kind, FactKind.OTHER))
    for known in (house_known, material_known, goods_known, others_known, found_known):
        yield from known(record, task, now)


def cannot_be_planned(record: JobRecord, now: datetime) -> dict[int, str]:
    """Return the open tasks that something without a date keeps from being planned, and what it is, in words.

    That is a house that is not ready without a day, material, goods and what others were asked for.
    """
    missing: dict[int, str] = {}
    for task in record.tasks:
        whys = (no_date(record, task, now) for no_date in _NO_DATE) if task.open else ()
        if why := next(filter(None, whys), ""):
            missing[task.number] = why
    return missing


_NO_DATE = (house_no_date, material_no_date, goods_no_date, others_no_date, found_no_date)
