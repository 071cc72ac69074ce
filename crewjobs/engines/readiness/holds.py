"""Why a task may not start at an instant: the one function behind tick, waiting list and planner."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Driver, Link, Phase, ScopeKind, Task
from crewjobs.domain.units import exact_wait
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.clocks import (
    MaterialClock,
    counted_by_lots,
    lot_ready,
    material_clock,
    reading_done,
    wait_ends,
)
from crewjobs.engines.readiness.hold import Hold as Hold
from crewjobs.engines.readiness.hold import HoldKind as HoldKind
from crewjobs.engines.readiness.hold import Known as Known


def holds(record: JobRecord, task: Task, at: datetime) -> tuple[Hold, ...]:
    """Return everything that keeps a task from starting at an instant, empty when it may.

    Only what had happened by `at` counts, so a tick for yesterday is judged by yesterday.
    """
    return (*_material_holds(record, task, at), *_link_holds(record, task, at))


def _material_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    if task.needs_material is None:
        if needs_cartons(task):
            yield from _cartons_hold(record, task, at)
        return
    material = record.job.material(task.needs_material)
    clock = material_clock(record, material, at)
    if clock.state in (WaitState.NOT_ORDERED, WaitState.LATE, WaitState.DUE, WaitState.ARRIVED):
        yield Hold(kind=HoldKind.MATERIAL, what=_missing(clock))
    if material.by_reading and reading_done(record, material, at):
        return
    hours = exact_wait(material.acclimation_min)
    for lot in record.lots:
        if lot.material != material.name or lot.moved_in_at is None or lot.moved_in_at > at:
            continue
        ready = lot_ready(lot, material)
        if ready is not None and ready > at:
            what = f"lot {lot.name} of {material.name} acclimates {hours}"
            brief = f"{material.name} acclimates until ({hours})"
            yield Hold(kind=HoldKind.MATERIAL, what=what, until=ready, brief=brief)


def _cartons_hold(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    material = record.job.material(task.key.scope.name)
    clock = material_clock(record, material, at)
    if clock.come == 0 or clock.come < clock.ordered:
        yield Hold(kind=HoldKind.MATERIAL, what=_missing(clock))


def _missing(clock: MaterialClock) -> str:
    name = clock.material.name
    if clock.state is WaitState.NOT_ORDERED:
        return f"{name} is not ordered"
    if clock.state is WaitState.ARRIVED:
        return f"{name} has come but is not in the rooms ({clock.moved_in} of {clock.come} cartons are)"
    late = ", and it is late" if clock.state is WaitState.LATE else ""
    return f"{clock.come} of {clock.ordered} cartons of {name} have come{late}"


def is_carry_in(task: Task) -> bool:
    """Return whether ticking the task moves the lots of a material into the rooms."""
    return task.key.scope.kind is ScopeKind.MATERIAL and task.phase is Phase.HOUSE


def needs_cartons(task: Task) -> bool:
    """Return whether the task is done with a material's cartons in hand: carrying them in, counting them."""
    return is_carry_in(task) or (task.key.scope.kind is ScopeKind.MATERIAL and task.unit is Driver.CARTONS)


def _link_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    tasks = {other.number: other for other in record.tasks}
    for link in sorted((link for link in record.links if link.after == task.number), key=lambda link: link.before):
        before = tasks[link.before]
        if before.not_needed:
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
    """Return, for open tasks, the instants fixed by facts: running waits, lots' clocks, promised deliveries."""
    known: dict[int, tuple[Known, ...]] = {}
    for task in record.tasks:
        if task.open:
            found = tuple(_known(record, task, now))
            if found:
                known[task.number] = found
    return known


def _known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    for hold in holds(record, task, now):
        if hold.until is not None:
            yield Known(at=hold.until, reason=hold.brief)
    name = task.key.scope.name if needs_cartons(task) else task.needs_material
    if name is None:
        return
    material = record.job.material(name)
    clock = material_clock(record, material, now)
    if clock.due is not None and clock.due >= now:
        yield Known(at=clock.due, reason=f"{name} is due")
        if task.needs_material is not None:
            # The carry-in task starts this wait in the plan; where it was ticked with cartons still missing, this does.
            ready = clock.due + timedelta(minutes=material.acclimation_min)
            hours = exact_wait(material.acclimation_min)
            yield Known(at=ready, reason=f"{name} is due and acclimated by ({hours} after its delivery)")


def cannot_be_planned(record: JobRecord, now: datetime) -> dict[int, str]:
    """Return the open tasks whose material has no date anyone could plan with, and what is missing, in words."""
    missing: dict[int, str] = {}
    clocks = {material.name: material_clock(record, material, now) for material in record.job.materials}
    for task in record.tasks:
        name = task.key.scope.name if needs_cartons(task) else task.needs_material
        if task.open and name is not None and (why := _no_date(clocks[name], record, name, task)):
            missing[task.number] = why
    return missing


def _no_date(clock: MaterialClock, record: JobRecord, name: str, task: Task) -> str:
    if clock.state is WaitState.NOT_ORDERED:
        return f"{name} is not ordered"
    if clock.state is WaitState.LATE:
        return f"{name} is late: a new delivery date is needed"
    if clock.state is WaitState.DUE and clock.due is None:
        return f"{name} is ordered without a delivery date"
    carried = [other for other in record.tasks if is_carry_in(other) and other.key.scope.name == name]
    if clock.state is WaitState.ARRIVED and not needs_cartons(task) and not any(other.open for other in carried):
        return f"{name} has come but is not in the rooms: record when it was carried in"
    return ""
