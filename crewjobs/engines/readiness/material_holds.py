"""How a floor's own cartons hold tasks: ordered, come, checked, a lot chosen for the room, in the rooms, acclimated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.house import Room
from crewjobs.domain.house_ready import NOT_READY_WORDS, ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Lot, Material
from crewjobs.domain.tasks import ScopeKind, Task
from crewjobs.domain.units import exact_wait, span_words
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, moment_words, typed
from crewjobs.engines.readiness.acclimating import Counted
from crewjobs.engines.readiness.clocks import (
    MaterialClock,
    lot_counted,
    lot_since,
    material_clock,
    reading_done,
    wet_work,
)
from crewjobs.engines.readiness.flat import flat_why, nobody_levels
from crewjobs.engines.readiness.goods import not_ordered_words
from crewjobs.engines.readiness.hold import FactKind, Hold, HoldKind, Known
from crewjobs.engines.readiness.lots import (
    LotGroup,
    carries,
    cover_of,
    group_of,
    is_carry_in,
    lot_questions,
    lots_here,
    needs_cartons,
    short_words,
    unchecked_since,
)
from crewjobs.engines.readiness.slab import slab_over, slab_whys
from crewjobs.engines.readiness.wood import wood_stands

NO_AIR: Final = NOT_READY_WORDS[ReadyItem.AIR]
READ_AGAIN: Final = timedelta(days=1)
"""What did not fit is read again a day later; common practice, no source."""


def material_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield what of its material keeps a task from starting at an instant."""
    if task.needs_material is None:
        if needs_cartons(task):
            yield from _cartons_hold(record, task, at)
        return
    material = record.job.material(task.needs_material)
    for question in lot_questions(record, task, material, at):
        yield Hold(kind=HoldKind.LOT, what=question)
    group = group_of(record, task, material)
    for lot in unchecked_since(record, material.name, _laid_from(record, material, group, at), at):
        yield Hold(kind=HoldKind.LOT, what=f"lot {lot.name} of {material.name} is not checked yet")
    if group is not None:
        yield from _group_holds(record, group, at)
    else:
        clock = material_clock(record, material, at)
        if clock.state in (WaitState.NOT_ORDERED, WaitState.LATE, WaitState.DUE, WaitState.ARRIVED):
            yield Hold(kind=HoldKind.MATERIAL, what=_missing(clock))
    yield from _subfloor_holds(record, task, material, at)
    wood = wood_stands(record, material, at, wet_work(record, at)) if material.by_reading else None
    if wood is not None:
        for why in wood.why:
            yield Hold(kind=HoldKind.MOISTURE, what=f"{material.name}: {why}")
        return
    if material.by_reading and reading_done(record, material, at):
        return
    yield from _acclimating(record, _laid_from(record, material, group, at), material, at)


def _subfloor_holds(record: JobRecord, task: Task, material: Material, at: datetime) -> Iterator[Hold]:
    """Yield what was read of the slab, and under the straightedge, in the task's room that keeps the material from it."""
    for room in _rooms_of_task(record, task):
        for why in slab_whys(record, room, material, at):
            yield Hold(kind=HoldKind.MOISTURE, what=f"{why} ({room.name}, for {material.name})")
        if why := flat_why(record, room, material, at):
            again = "read it again when it is leveled"
            yield Hold(kind=HoldKind.LEVEL, what=f"{why} ({room.name}, for {material.name}): {again}")


def _rooms_of_task(record: JobRecord, task: Task) -> list[Room]:
    """Return the room a task is in; none for what is about no room."""
    in_room = task.key.scope.kind in (ScopeKind.ROOM, ScopeKind.SECTION)
    return [room for room in record.job.rooms if in_room and room.name == task.key.scope.name]


def _group_holds(record: JobRecord, group: LotGroup, at: datetime) -> Iterator[Hold]:
    """Yield what holds the places of lots that the lead chose: they must be here, carry their rooms, and lie in them."""
    name = group.material.name
    lots = _laid_from(record, group.material, group, at)
    absent = [lot for lot in group.lots if lot not in {come.name for come in lots}]
    if absent:
        yield Hold(kind=HoldKind.MATERIAL, what=f"lot {listed(absent)} of {name} has not come")
    elif not carries(record, group, at):
        clock = material_clock(record, group.material, at)
        late = ", and what is missing is late" if clock.state is WaitState.LATE else ""
        yield Hold(kind=HoldKind.MATERIAL, what=short_words(cover_of(record, group, at)) + late)
    outside = [lot.name for lot in lots if lot.moved_in_at is None or lot.moved_in_at > at]
    if outside:
        yield Hold(kind=HoldKind.MATERIAL, what=f"lot {listed(outside)} of {name} has come but is not in the rooms")


def laid_without_the_rest(record: JobRecord, task: Task, at: datetime) -> bool:
    """Return whether a floor is laid, by the lead's word, from lots that lie in the rooms and carry them.

    What has not come and is still to be carried in does not keep it then.
    """
    if task.needs_material is None:
        return False
    material = record.job.material(task.needs_material)
    group = group_of(record, task, material)
    if group is None or not carries(record, group, at):
        return False
    return all(lot.moved_in_at is not None and lot.moved_in_at <= at for lot in _laid_from(record, material, group, at))


def _laid_from(record: JobRecord, material: Material, group: LotGroup | None, at: datetime) -> Sequence[Lot]:
    here = lots_here(record, material.name, at)
    return here if group is None else [lot for lot in here if lot.name in group.lots]


def _acclimating(record: JobRecord, lots: Sequence[Lot], material: Material, at: datetime) -> Iterator[Hold]:
    hours = exact_wait(material.acclimation_min)
    for lot in lots:
        if lot.moved_in_at is None or lot.moved_in_at > at:
            continue
        since, stands = lot_since(record, lot, at), lot_counted(record, lot, material, at)
        if since is None or stands is None:
            what = f"lot {lot.name} of {material.name} is in the rooms and no hours count: {NO_AIR}"
            yield Hold(kind=HoldKind.MATERIAL, what=what)
            continue
        if stands.out is not None:
            yield _out_of_range(record, lot, material, stands)
            continue
        ready = stands.ready_at
        if ready is not None and ready > at:
            counted = _counted_words(record, stands, asked=lot.moved_in_at, air_since=since)
            what = f"lot {lot.name} of {material.name} acclimates {hours}{counted}"
            brief = f"{material.name} acclimates until ({hours})"
            yield Hold(kind=HoldKind.MATERIAL, what=what, until=ready, brief=brief)


def _out_of_range(record: JobRecord, lot: Lot, material: Material, counted: Counted) -> Hold:
    """Return the hold of a material whose rooms were last read out of range; it has no end by itself: somebody reads again."""
    assert counted.out is not None
    read = moment_words(to_wall(record.job.site.zone, counted.out.sample.at))
    then = (
        "all its hours have counted, but it is not laid in such air"
        if counted.ready_at
        else "no hours count until it is in range"
    )
    return Hold(
        kind=HoldKind.MATERIAL,
        what=(
            f"lot {lot.name} of {material.name}: {counted.out.words} {read}, and it asks for {material.asks.words}: "
            f"{then}; read the air again (`crewjobs reading {record.job.number} air`)"
        ),
    )


def _counted_words(record: JobRecord, counted: Counted, *, asked: datetime, air_since: datetime) -> str:
    """Return why hours are counted otherwise than from the carrying in; empty where they are not."""
    if counted.since > air_since:
        again = moment_words(to_wall(record.job.site.zone, counted.since))
        return f", counted anew from {again}, when the air was read in range again"
    parts = ["counted from when the air ran"] if air_since > asked else []
    parts += [f"without {span_words(counted.lost_min)} out of range"] if counted.lost_min else []
    return f", {listed(parts)}" if parts else ""


def _cartons_hold(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    clock = material_clock(record, record.job.material(task.key.scope.name), at)
    if not lots_here(record, clock.material.name, at) or clock.missing:
        yield Hold(kind=HoldKind.MATERIAL, what=_missing(clock))


def _missing(clock: MaterialClock) -> str:
    name, number = clock.material.name, clock.material.number
    if clock.state is WaitState.NOT_ORDERED:
        return not_ordered_words(name, clock.needs_deposit)
    if clock.state is WaitState.ARRIVED:
        return f"{name} has come but is not in the rooms ({number(clock.moved_in)} of {number(clock.laid_from)} {clock.material.unit} are)"
    late = ", and it is late" if clock.state is WaitState.LATE else ""
    back = ", back-ordered without a date" if clock.no_date else ""
    damaged = f" ({number(clock.damaged)} more came damaged)" if clock.damaged else ""
    return f"{number(clock.come)} of {number(clock.ordered)} {clock.material.unit} of {name} have come{damaged}{late}{back}"


def material_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    """Yield the instant for which the cartons a task still waits for are promised, and when they will be acclimated.

    Where they lie in the rooms without air, that is so long after the instant for which the air was said.
    """
    yield from _air_known(record, task, now)
    yield from _wood_known(record, task, now)
    clock = _waited_for(record, task, now)
    if clock is None or clock.due is None or clock.carry is None:
        return
    name, minutes = clock.material.name, clock.material.acclimation_min
    yield Known(at=clock.due, reason=f"{name} is due", kind=FactKind.DUE)
    if task.needs_material is not None:
        # The carry-in task starts this wait in the plan; where it was ticked with cartons still missing, this does.
        ready = clock.carry + timedelta(minutes=minutes)
        after = "its delivery" if clock.carry == clock.due else "it can be carried in"
        reason = f"{name} is due and acclimated by ({exact_wait(minutes)} after {after})"
        yield Known(at=ready, reason=reason, kind=FactKind.ACCLIMATION, of=name, since=clock.carry)


def _air_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    if task.needs_material is None:
        return
    material = record.job.material(task.needs_material)
    lots = _laid_from(record, material, group_of(record, task, material), now)
    clock = material_clock(record, material, now, tuple(lots)) if lots else None
    if clock is not None and clock.counted is not None and clock.counted.out is not None:
        hours = exact_wait(material.acclimation_min)
        reason = f"{material.name} acclimates until ({hours}, if the air is in range from now on)"
        yield Known(at=max(now, clock.counted.earliest), reason=reason, kind=FactKind.ACCLIMATION)
    if clock is not None and clock.no_air and clock.ready_at is not None:
        hours = exact_wait(material.acclimation_min)
        reason = f"{material.name} acclimates until ({hours} from when the air runs)"
        yield Known(at=clock.ready_at, reason=reason, kind=FactKind.ACCLIMATION)


def _wood_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    """Yield when wood that does not fit yet may: by its forecast, else not before it is read again, a day from now."""
    if task.needs_material is None:
        return
    material = record.job.material(task.needs_material)
    wood = wood_stands(record, material, now, wet_work(record, now)) if material.by_reading else None
    if wood is None or wood.fits:
        return
    again = now + READ_AGAIN
    if wood.ready_at is not None and wood.ready_at > again:
        yield Known(
            at=wood.ready_at,
            reason=f"{material.name} dries until (by forecast; a reading decides)",
            kind=FactKind.ACCLIMATION,
        )
    else:
        yield Known(at=again, reason=f"{material.name} is read again before", kind=FactKind.ACCLIMATION)


def _waited_for(record: JobRecord, task: Task, now: datetime) -> MaterialClock | None:
    """Return the clock of the material a task is done with; None where the lots chosen for its place carry it."""
    name = task.key.scope.name if needs_cartons(task) else task.needs_material
    if name is None:
        return None
    material = record.job.material(name)
    if task.needs_material is not None:
        group = group_of(record, task, material)
        if group is not None and carries(record, group, now):
            return None
    return material_clock(record, material, now)


def material_no_date(record: JobRecord, task: Task, now: datetime) -> str:
    """Return what of a task's material has no date anyone could plan with, in words; empty if nothing."""
    if task.needs_material is not None:
        material = record.job.material(task.needs_material)
        wood = wood_stands(record, material, now, wet_work(record, now)) if material.by_reading else None
        if wood is not None and wood.ahead.never:
            return f"{material.name}: {wood.ahead.why_not}"
        questions = [*lot_questions(record, task, material, now)]
        if questions:
            return questions[0]
        for room in _rooms_of_task(record, task):
            if over := slab_over(record, room, material, now):
                return f"{over} ({room.name}): it dries, or what goes between is agreed, on no known day"
            if (why := flat_why(record, room, material, now)) and nobody_levels(record, room, now):
                kind = f"`crewjobs found {record.job.number} {typed(room.name)} dip` or `hump`"
                return f"{why} ({room.name}), and no task levels it: {kind} adds the work, or read it again"
        group = group_of(record, task, material)
        if group is not None and (why := _group_no_date(record, group, now)):
            return why
    clock = _waited_for(record, task, now)
    return "" if clock is None else _no_date(record, clock, task)


def _group_no_date(record: JobRecord, group: LotGroup, now: datetime) -> str:
    material = group.material
    if carries(record, group, now):
        lots = _laid_from(record, material, group, now)
        outside = [lot.name for lot in lots if lot.moved_in_at is None]
        if outside and not _carry_in_open(record, material.name):
            return f"lot {listed(outside)} of {material.name} has come but is not in the rooms: record when it was carried in"
        return ""
    if material_clock(record, material, now).missing:
        return ""  # what is missing has a date, or the material says that it has none
    return short_words(cover_of(record, group, now)) + ": say which lots go where"


def _no_date(record: JobRecord, clock: MaterialClock, task: Task) -> str:
    name = clock.material.name
    if clock.state is WaitState.NOT_ORDERED:
        return not_ordered_words(name, clock.needs_deposit)
    if clock.state is WaitState.LATE:
        return f"{name} is late: a new delivery date is needed"
    if clock.state is WaitState.DUE and clock.due is None:
        return f"{name} is {'back-ordered' if clock.no_date else 'ordered'} without a delivery date"
    if clock.state is WaitState.ARRIVED and not needs_cartons(task) and not _carry_in_open(record, name):
        return f"{name} has come but is not in the rooms: record when it was carried in"
    return ""


def _carry_in_open(record: JobRecord, material: str) -> bool:
    return any(is_carry_in(task) and task.key.scope.name == material and task.open for task in record.tasks)
