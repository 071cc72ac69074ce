"""The waiting list: every material, cure, house and person waited for, and every call to make, worst first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.material import Material
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import UnitSystem, exact_wait
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.readiness.clocks import MaterialClock, RunningWait, material_clock, running_waits
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.lots import carries, group_of, lots_here
from crewjobs.services.asked.telling import tell_row
from crewjobs.services.findings.at_the_address import found_beside_them
from crewjobs.services.findings.house_told import others_of_its_house
from crewjobs.services.findings.houses import Houses, houses_of
from crewjobs.services.jobs.all_ticked import all_ticked_rows
from crewjobs.services.jobs.called_off import off_rows
from crewjobs.services.jobs.money import money_rows
from crewjobs.services.jobs.walks import punch_rows, walk_rows
from crewjobs.services.materials.material_calls import material_call, material_caller
from crewjobs.services.materials.ordered import held_words
from crewjobs.services.rows import HOURS_ONLY, WaitRow
from crewjobs.services.waiting.address_waits import beside_rows
from crewjobs.services.waiting.around_waits import house_row, other_rows, unsettled_rows
from crewjobs.services.waiting.at_most_waits import at_most_rows
from crewjobs.services.waiting.card_waits import card_rows
from crewjobs.services.waiting.dew_waits import dew_rows
from crewjobs.services.waiting.found_waits import found_rows
from crewjobs.services.waiting.goods_waits import goods_rows, lot_rows
from crewjobs.services.waiting.licensed_waits import licensed_rows
from crewjobs.services.waiting.toilet_waits import toilet_rows
from crewjobs.services.waiting.unmeasured import unmeasured_rows
from crewjobs.services.weeks.ready_planned import as_planned
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.wording import counted_of

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.storage.unit_of_work import UnitOfWork


def waiting(uow: UnitOfWork, now: datetime, of: int | None = None) -> tuple[WaitRow, ...]:
    """Return what the booked jobs wait for at an instant, worst first; what several of a house wait for stands with job `of` where it does.

    Ended ones too: for their balance, for the punch list until they are closed, for whoever decides about what was found, and for who was asked and is not needed; those called
    off for orders that nobody has stopped, and for whoever decides as long as another job of the house is held by it.
    """
    live = uow.live_jobs()
    records = [record for record in live if record.job.state is JobState.BOOKED]
    rows = [_with_phone(row, record) for record in uow.owing_jobs() for row in money_rows(record, now)]
    rows += [_with_phone(row, record) for record in uow.walked_jobs() for row in punch_rows(record, now)]
    asked = uow.jobs_asked_still()
    houses = houses_of(uow, [record.job.number for record in (*records, *asked)])
    for record in (*uow.called_off_jobs(), *(one for one in asked if one.job.state is not JobState.CALLED_OFF)):
        house = others_of_its_house(uow, record.job.number) if record.findings and record.waiting_on else ()
        rows += [_with_phone(row, record) for row in off_rows(record, house, now)]
    for record in asked:
        numbers = houses.of(record.job.number)
        others = [other for other in live if other.job.number in numbers]
        rows += [_with_phone(row, record) for row in unsettled_rows(record, others, now)]
    if records:
        shop, found, since = uow.shop(), planned(uow, records), uow.left_out_since()
        rows += [
            _with_phone(row, record)
            for record in records
            for house in (_of_its_house(houses, record, records),)
            for row in (
                *waits_of(record, now, shop.units, found),
                *_calls(record, shop, found, now, since.get(record.job.number)),
                *found_rows(record, now, house, of, found),
                *other_rows(record, now, house, of),
            )
        ]
        beside = found_beside_them(uow, houses, {record.job.number: record for record in records}, now)
        rows += [row for record in records for row in beside_rows(record, beside.get(record.job.number, ()), now)]
        away = uow.away()
        rows += [_with_phone(row, record) for record in records for row in card_rows(record, shop, away, found, now)]
    return tuple(sorted(rows, key=_worst_first))


def _of_its_house(houses: Houses, record: JobRecord, records: Sequence[JobRecord]) -> list[JobRecord]:
    """Return the other ones among some jobs that go into the same house, where something was found in it; else none is looked for."""
    house = houses.of(record.job.number) if record.findings else ()
    return [other for other in records if other.job.number in house]


def _with_phone(row: WaitRow, record: JobRecord) -> WaitRow:
    """Return a row with the customer's phone, where the customer is called; nobody else's is known."""
    customer = record.job.customer
    called = row.whom and row.whom.casefold() in (customer.name.casefold(), "customer")
    return replace(row, phone=customer.phone) if called and customer.phone else row


def _calls(
    record: JobRecord, shop: Shop, found: Planned | None, now: datetime, since: datetime | None
) -> Iterator[WaitRow]:
    """Yield what one call settles: a house to be asked, others to be chased, a customer to be told."""
    house = house_row(record, shop, found, now)
    tell = tell_row(found, record, now) if found else None
    left_out = _left_out_row(found, record, since) if found else None
    yield from (row for row in (house, tell, left_out) if row is not None)
    yield from toilet_rows(record, found, now)
    yield from walk_rows(record, now)
    yield from all_ticked_rows(record)
    yield from money_rows(record, now)
    yield from licensed_rows(record)
    yield from unmeasured_rows(record)


def _left_out_row(found: Planned, record: JobRecord, since: datetime | None) -> WaitRow | None:
    """Return the row of a job some or all of whose open work has no place in the plan in force, None where all has; `since` plans leave it out."""
    job = record.job
    mine = [left for left in found.plan.left_out if left.job == job.number]
    whys = tuple(dict.fromkeys(left.why for left in mine))
    still = [task for left in mine for task in map(record.task, left.tasks) if task.open]
    placed = any(placement.key.job == job.number for placement in found.plan.placements)
    if not whys or not still:
        return None
    return WaitRow(
        job=job.number,
        title=job.title,
        what=upper("; ".join(whys)),
        state=WaitState.NOT_PLANNED,
        since=to_wall(job.site.zone, since or found.plan.made_at),
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds=listed([f"{task.title} ({task.where})" for task in still], most=3) if placed else "the whole job",
        call="settle it, then plan again: `crewjobs plan`",
    )


def _worst_first(row: WaitRow) -> tuple[object, ...]:
    ready = row.ready_at.timestamp() if row.ready_at else float("inf")
    since = row.since.timestamp() if row.since else float("inf")
    return row.state.rank, since if row.state is WaitState.LATE else ready, row.job, row.what


def waits_of(record: JobRecord, now: datetime, units: UnitSystem, found: Planned | None) -> Iterator[WaitRow]:
    """Yield the waits of one job at an instant."""
    for material in record.job.materials:
        yield from _material_rows(record, material, now, units, found)
    yield from goods_rows(record, now)
    yield from dew_rows(record, now, units)
    yield from at_most_rows(record, now)
    for wait in running_waits(record, now):
        if not is_carry_in(wait.task):  # what a carry-in starts is the material's own row
            yield _cure_row(record, wait, now)


def _material_rows(
    record: JobRecord, material: Material, now: datetime, units: UnitSystem, found: Planned | None
) -> Iterator[WaitRow]:
    """Yield a material's waits: what the lead must say, lots chosen that carry their rooms, and what must still come."""
    laying = [task for task in record.tasks if task.needs_material == material.name and task.open]
    if not laying:
        return
    yield from lot_rows(record, material, now)
    groups = {task.number: group_of(record, task, material) for task in laying}
    carried = {n: group for n, group in groups.items() if group is not None and carries(record, group, now)}
    if carried:
        names = {name for group in carried.values() for name in group.lots}
        lots = tuple(lot for lot in lots_here(record, material.name, now) if lot.name in names)
        mine = [task for task in laying if task.number in carried]
        yield _material_row(record, material_clock(record, material, now, lots), mine, now, units)
    clock = material_clock(record, material, now)
    rest = [task for task in laying if task.number not in carried]
    if rest and (not carried or clock.missing):
        yield _material_row(record, as_planned(found, record, clock), rest, now, units)


def _material_row(
    record: JobRecord, clock: MaterialClock, laying: Sequence[Task], now: datetime, units: UnitSystem
) -> WaitRow:
    zone = record.job.site.zone
    running = clock.state is WaitState.ACCLIMATING and clock.since is not None and clock.ready_at is not None
    hours = exact_wait(clock.material.acclimation_min)
    damaged = f", {clock.material.number(clock.damaged)} damaged" if clock.damaged else ""
    what = {
        WaitState.NOT_ORDERED: clock.material.name,
        WaitState.ACCLIMATING: f"{clock.material.name}, {clock.material.counted(clock.moved_in)} acclimating {hours}",
        WaitState.READY: f"{clock.material.name}, {clock.material.counted(clock.moved_in)}",
    }.get(clock.state, f"{clock.material.name}, {counted_of(clock.material, clock.come, clock.ordered)} here{damaged}")
    left = None
    if clock.state is WaitState.ACCLIMATING and clock.ready_at is not None:
        left = max(0, _minutes(clock.ready_at - now))
    return WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=what,
        state=clock.state,
        since=to_wall(zone, clock.since) if clock.since else None,
        ready_at=to_wall(zone, clock.ready_at) if clock.ready_at else None,
        minutes_left=left,
        done=_share(clock.since, clock.ready_at, now) if running else None,
        verified=clock.verified or clock.ready_at is None,
        holds=held_words(laying),
        call=material_call(record, clock, now, units),
        whom=material_caller(record, clock),
        basis=clock.basis or HOURS_ONLY,
    )


def _cure_row(record: JobRecord, wait: RunningWait, now: datetime) -> WaitRow:
    zone = record.job.site.zone
    held = [record.task(number) for number in wait.holds]
    return WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=f"{upper(wait.name)}: {wait.task.title} ({wait.task.where})",
        state=WaitState.RUNNING,
        since=to_wall(zone, wait.since),
        ready_at=to_wall(zone, wait.until),
        minutes_left=max(0, _minutes(wait.until - now)),
        done=_share(wait.since, wait.until, now),
        verified=True,
        holds=held_words(held),
        call="",
    )


def _share(since: datetime | None, until: datetime | None, now: datetime) -> float | None:
    if since is None or until is None or until <= since:
        return None
    return min(1.0, max(0.0, (now - since) / (until - since)))


def _minutes(span: timedelta) -> int:
    return round(span.total_seconds() / 60)
