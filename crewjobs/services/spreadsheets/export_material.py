"""Material as a table for a spreadsheet: one row for each floor's material, each of its lots, and each order line of goods."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.job import LIVE, JobRecord, JobState
from crewjobs.domain.material import OrderLine
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.clocks import lot_ready, material_clock
from crewjobs.engines.readiness.goods import goods_clock
from crewjobs.engines.readiness.returns import to_go_back
from crewjobs.services.laying.needed import needed
from crewjobs.services.spreadsheets.export_rows import Columns, Days, ExportTable, Table, day_cell, yes
from crewjobs.services.weeks.ready_planned import as_planned
from crewjobs.services.weeks.visits import Planned, planned

if TYPE_CHECKING:
    from crewjobs.domain.material import Lot, Material
    from crewjobs.storage.unit_of_work import UnitOfWork


_NOT_TOLD: Final = ("links", "passed", "findings", "ways_taken", "walks", "crew_hours", "moves", "layouts")
"""What of a past job the table says nothing of, and is not read of thousands of them: nobody buys for it any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """A material, a lot of one, or goods; counts in `unit`, instants the site's wall times, None where it has none."""

    record: JobRecord
    what: str
    name: str
    unit: str
    kind: str = ""
    lot: str = ""
    supplier: str = ""
    ordered_on: date | None = None
    due: datetime | None = None
    ordered: float | None = None
    needed: float | None = None
    here: float | None = None
    damaged: float | None = None
    missing: float | None = None
    left_over: float | None = None
    went_back: float | None = None
    state: str = ""
    came: datetime | None = None
    moved_in: datetime | None = None
    checked: datetime | None = None
    ready: datetime | None = None
    color_differs: bool | None = None


def material_table(uow: UnitOfWork, now: datetime, days: Days) -> ExportTable:
    """Return the material of the live jobs and of those that are over, or what was ordered, is due or came on some days.

    Of a job called off only what was ordered or came for it: that is still to be stopped or fetched.
    """
    live = uow.live_jobs()
    past = uow.past_jobs(without=_NOT_TOLD, called_off=True)
    records = sorted((*live, *filter(_bought_for, past)), key=lambda record: record.job.number)
    found = planned(uow, live) if live else None
    lines = [line for record in records for line in _lines(record, found, now)]
    return Table(what="material", columns=_COLUMNS).of([line for line in lines if days.all or _among(line, days)])


def _bought_for(record: JobRecord) -> bool:
    ordered = record.job.orders or any(line.ordered is not None for line in record.job.goods)
    return record.job.state is not JobState.CALLED_OFF or bool(ordered or record.lots or record.goods_come)


def _among(line: _Line, days: Days) -> bool:
    known = [at.date() for at in (line.due, line.came, line.moved_in) if at is not None]
    return any(days.has(day) for day in (line.ordered_on, *known))


def _lines(record: JobRecord, found: Planned | None, now: datetime) -> Iterator[_Line]:
    for material in record.job.materials:
        yield _of_material(record, found, material, now)
        yield from (_of_lot(record, material, lot, now) for lot in record.lots if lot.material == material.name)
    for line in record.job.goods:
        yield _of_goods(record, line, now)


def _of_material(record: JobRecord, found: Planned | None, material: Material, now: datetime) -> _Line:
    clock = as_planned(found, record, material_clock(record, material, now))
    back = to_go_back(record, material, now)
    orders = [order for order in record.job.orders if order.material == material.name]
    lots = [lot for lot in record.lots if lot.material == material.name and lot.arrived_at <= now]
    return _Line(
        record=record,
        what="material",
        name=material.name,
        unit=material.unit,
        kind=f"{material.kind.value}, {material.method.value}",
        supplier=_suppliers(orders),
        ordered_on=_first(orders),
        due=_wall(record, clock.due),
        ordered=material.told(clock.ordered),
        needed=material.told(needed(record, material).count) if record.job.state in LIVE else None,
        here=material.told(sum(lot.cartons for lot in lots)),
        damaged=material.told(clock.damaged),
        missing=material.told(clock.missing),
        left_over=material.told(back.left_over + back.kept) if back.laid else None,
        went_back=material.told(back.went_back),
        state=clock.state.value,
        ready=_wall(record, clock.ready_at),
    )


def _of_lot(record: JobRecord, material: Material, lot: Lot, now: datetime) -> _Line:
    return _Line(
        record=record,
        what="lot",
        name=material.name,
        unit=material.unit,
        kind=f"{material.kind.value}, {material.method.value}",
        lot=lot.name,
        here=material.told(lot.cartons),
        damaged=material.told(lot.damaged) if lot.checked_at else None,
        came=_wall(record, lot.arrived_at),
        moved_in=_wall(record, lot.moved_in_at),
        checked=_wall(record, lot.checked_at),
        ready=_wall(record, lot_ready(record, lot, material, now)),
        color_differs=lot.color_differs if lot.checked_at else None,
    )


def _of_goods(record: JobRecord, line: GoodsLine, now: datetime) -> _Line:
    clock = goods_clock(record, line, now)
    came = [one.at for one in record.goods_come if one.line == line.name and one.at <= now]
    return _Line(
        record=record,
        what="goods",
        name=line.name,
        unit=line.unit,
        supplier=line.supplier,
        ordered_on=line.ordered,
        due=_wall(record, clock.due),
        ordered=line.count if line.ordered is not None else 0,
        here=clock.come,
        missing=clock.missing,
        state=clock.state.value,
        came=_wall(record, max(came, default=None)),
    )


def _suppliers(orders: Sequence[OrderLine]) -> str:
    return listed(list(dict.fromkeys(order.supplier for order in orders if order.supplier)))


def _first(orders: Sequence[OrderLine]) -> date | None:
    return min((order.ordered for order in orders if order.ordered is not None), default=None)


def _wall(record: JobRecord, at: datetime | None) -> datetime | None:
    return to_wall(record.job.site.zone, at) if at is not None else None


def _stamp(at: datetime | None) -> str | None:
    """Return a wall time as 2026-03-02 14:30, which spreadsheets take for one."""
    return f"{at:%Y-%m-%d %H:%M}" if at is not None else None


_COLUMNS: Final[Columns[_Line]] = (
    ("job", lambda line: line.record.job.number),
    ("title", lambda line: line.record.job.title),
    ("what", lambda line: line.what),
    ("material", lambda line: line.name),
    ("kind", lambda line: line.kind),
    ("lot", lambda line: line.lot),
    ("unit", lambda line: line.unit),
    ("ordered", lambda line: line.ordered),
    ("needed", lambda line: line.needed),
    ("came", lambda line: line.here),
    ("damaged", lambda line: line.damaged),
    ("still to come", lambda line: line.missing),
    ("left over", lambda line: line.left_over),
    ("went back", lambda line: line.went_back),
    ("state", lambda line: line.state),
    ("supplier", lambda line: line.supplier),
    ("ordered on", lambda line: day_cell(line.ordered_on)),
    ("due at", lambda line: _stamp(line.due)),
    ("came at", lambda line: _stamp(line.came)),
    ("in the rooms at", lambda line: _stamp(line.moved_in)),
    ("checked at", lambda line: _stamp(line.checked)),
    ("ready at", lambda line: _stamp(line.ready)),
    ("color differs", lambda line: None if line.color_differs is None else yes(line.color_differs)),
    ("zone", lambda line: line.record.job.site.zone),
)
"""Counts are in the row's column `unit`, moments wall times of the zone in its column `zone`. `left over` is known once floors are laid."""
