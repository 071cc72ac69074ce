"""Material and goods of a job as the job page lists them: ordered against come, lots with what their check found."""

from __future__ import annotations

from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Lot, Material
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, moment_words
from crewjobs.engines.readiness.clocks import MaterialClock, lot_ready, lot_since, material_clock
from crewjobs.engines.readiness.goods import goods_clock
from crewjobs.engines.readiness.material_holds import NO_AIR
from crewjobs.services.laying.needed import needed
from crewjobs.services.materials.lots import lot_asks
from crewjobs.services.materials.order_lines import goods_order_lines, material_order_lines
from crewjobs.services.rows import MaterialRow
from crewjobs.services.waiting.goods_waits import ASK_DEPOSIT, goods_status
from crewjobs.services.weeks.ready_planned import as_planned
from crewjobs.services.weeks.visits import Planned
from crewjobs.services.wording import at_site


def material_rows(record: JobRecord, now: datetime, found: Planned | None = None) -> tuple[MaterialRow, ...]:
    """Return the job's materials, then its goods lines; what is not in the rooms yet is ready as the plan has it."""
    materials = [_material_row(record, material, now, found) for material in record.job.materials]
    goods = [goods_clock(record, line, now) for line in record.job.goods]
    lines = [
        MaterialRow(
            name=clock.line.name,
            kind="",
            cartons_ordered=clock.line.count,
            cartons_come=clock.come,
            lots=(),
            status=goods_status(record, clock),
            unit=clock.line.unit,
            orders=goods_order_lines(record, clock, now),
        )
        for clock in goods
    ]
    return (*materials, *lines)


def material_status(record: JobRecord, clock: MaterialClock) -> str:
    """Return how a material stands, with the instant it is ready where that is known."""
    if clock.state is WaitState.READY and clock.ready_at and not clock.material.by_reading:
        return f"ready since {at_site(record.job.site.zone, clock.ready_at)}"
    ready = f", ready {at_site(record.job.site.zone, clock.ready_at)}" if clock.ready_at else ""
    return f"{clock.state.value}{ready}{' ' * bool(clock.basis)}{clock.basis}"


def _material_row(record: JobRecord, material: Material, now: datetime, found: Planned | None) -> MaterialRow:
    clock = as_planned(found, record, material_clock(record, material, now))
    due = f", due {moment_words(to_wall(record.job.site.zone, clock.due))}" if clock.due else ""
    back = ", back-ordered without a date" if clock.no_date else ""
    asked = f": {ASK_DEPOSIT}" if clock.needs_deposit else ""
    return MaterialRow(
        name=material.name,
        kind=f"{material.kind.value}, {material.method.value}",
        cartons_ordered=material.told(clock.ordered),
        cartons_come=material.told(clock.come),
        lots=tuple(_lot_words(record, material, lot, now) for lot in record.lots if lot.material == material.name),
        status=material_status(record, clock) + due + back + asked + _take_off_words(record, clock),
        unit=material.unit,
        lots_asked=lot_asks(record, material, now),
        orders=material_order_lines(record, clock, now),
    )


def _take_off_words(record: JobRecord, clock: MaterialClock) -> str:
    """Return what the layout or the roll takes beside what was ordered; empty for what was only counted by area."""
    material = clock.material
    need = needed(record, material)
    if not material.is_sheet and not need.laid_out:
        return ""
    short = (
        f", {material.counted(need.count - clock.ordered)} more than ordered" if 0 < clock.ordered < need.count else ""
    )
    return f"; take-off {need.how}{short}"


def lot_facts(record: JobRecord, material: Material, lot: Lot) -> str:
    """Return what was recorded of a lot: when it came, was checked, went into the rooms, and into which; nothing reckoned."""
    return ", ".join(_lot_parts(record, material, lot))


def _lot_words(record: JobRecord, material: Material, lot: Lot, now: datetime) -> str:
    """Return a lot: ``lot A: 24 cartons, came …, checked …, 2 damaged, goes into living and hall, in the rooms …``."""
    zone, ready = record.job.site.zone, lot_ready(record, lot, material, now)
    parts = _lot_parts(record, material, lot)
    since = lot_since(record, lot, now)
    if lot.moved_in_at is not None and since != lot.moved_in_at:
        parts.append(f"counted from when the air ran, {at_site(zone, since)}" if since else f"no hours count: {NO_AIR}")
    parts += [f"{'planned' if material.by_reading else 'ready'} {at_site(zone, ready)}"] if ready else []
    return ", ".join(parts)


def _lot_parts(record: JobRecord, material: Material, lot: Lot) -> list[str]:
    zone = record.job.site.zone
    parts = [
        f"lot {lot.name}: {material.counted(lot.cartons)}",
        f"came {at_site(zone, lot.arrived_at)}",
    ]
    if lot.checked_at is not None:
        color = "color differs from the signed sample" if lot.color_differs else "color as the signed sample"
        parts += [f"checked {at_site(zone, lot.checked_at)}", color]
    parts += [f"{material.number(lot.damaged)} damaged"] * bool(lot.damaged)
    for use in record.lot_uses:
        if (use.material, use.lot) == (lot.material, lot.name):
            why = f" (because {use.because})" if use.because else ""
            parts.append(f"goes into {listed(use.rooms, most=8) or 'all its rooms'}{why}")
    parts.append(f"in the rooms {at_site(zone, lot.moved_in_at)}" if lot.moved_in_at else "not in the rooms yet")
    return parts
