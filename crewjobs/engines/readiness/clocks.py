"""The clocks that run: acclimation of each lot, cures and drying after a tick.

All arithmetic is on UTC instants, so nights, weekends and a change of daylight saving time count as the
hours they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from crewjobs.domain.goods import NewDate
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Lot, Material, OrderLine
from crewjobs.domain.tasks import Link, Phase, ScopeKind, Task
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.acclimating import Counted, count_hours
from crewjobs.engines.readiness.air import air
from crewjobs.engines.readiness.air_read import air_of, rooms_of
from crewjobs.engines.readiness.carrying import earliest_carry
from crewjobs.engines.readiness.goods import latest_word, waits_for_deposit
from crewjobs.engines.readiness.lots import lots_here, told_lots, usable
from crewjobs.engines.readiness.wood import WoodStands, wood_stands

ACCLIMATING = "acclimating"
"""The name of the wait a carry-in starts; its truth is the lots' own clocks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialClock:
    """How far one material of a job is. Cartons are counts; instants are UTC.

    `come` are the cartons that can be laid, `damaged` those that came and cannot; `missing` is what the open laying
    still waits for: nothing where the lots the lead chose carry it. `ready_at` is None where nobody can know yet; `due`
    is the delivery promised for what has not come, by the supplier's latest word (`no_date`: nobody can say).
    `needs_deposit`: a special order not placed that waits for the deposit. `carry` is the earliest instant at which what
    is due can be in the rooms, by the site's and the elevator's hours. `by_plan`: `ready_at` counts from where a plan has it
    carried in, not from the promised delivery. `no_air`: it lies in the rooms and no hours count,
    since the air was answered not to run; `by_air`: its hours count from when the air ran, later than it was carried in.
    `counted` is how its hours stand by what was read of the air, None before it lies in the rooms with the air running.
    `wood` is how it stands by its readings, None where it is no wood or was not read. `verified` is False where no readings speak for all hours counted, or hours alone stand behind what a reading decides.
    """

    material: Material
    state: WaitState
    ordered: int
    come: int
    moved_in: int
    since: datetime | None
    due: datetime | None
    ready_at: datetime | None
    verified: bool
    damaged: int = 0
    missing: int = 0
    laid_from: int = 0
    no_date: bool = False
    needs_deposit: bool = False
    carry: datetime | None = None
    by_plan: bool = False
    no_air: bool = False
    by_air: bool = False
    counted: Counted | None = None
    wood: WoodStands | None = None

    @property
    def basis(self) -> str:
        """Return on what the instant stands at which it is ready, where that is no reading; empty where it is one."""
        if self.verified or self.ready_at is None:
            return ""
        if self.wood is not None:
            return "by forecast, a reading decides"
        if self.by_plan:
            return "as planned, by hours only"
        return "from the promised delivery, by hours only" if self.state is WaitState.DUE else "by hours only"

    @property
    def out_of_range(self) -> bool:
        """Return whether its hours stand still, the air being read out of range."""
        return self.counted is not None and self.counted.out is not None and self.ready_at is None


class _Stands(NamedTuple):
    """What a clock says of its material at an instant, as `MaterialClock` says it."""

    state: WaitState
    since: datetime | None = None
    ready_at: datetime | None = None
    by_air: bool = False
    counted: Counted | None = None
    wood: WoodStands | None = None


def lot_since(record: JobRecord, lot: Lot, at: datetime) -> datetime | None:
    """Return from when a lot's hours count, by what was known at an instant: in the rooms, and the air running.

    None before it is moved in, and while the air was answered not to run.
    """
    return None if lot.moved_in_at is None else air(record, at).counts_from(lot.moved_in_at)


def lot_ready(record: JobRecord, lot: Lot, material: Material, at: datetime) -> datetime | None:
    """Return when a lot has lain in the conditioned rooms for the material's hours; None while they do not count."""
    counted = lot_counted(record, lot, material, at)
    return None if counted is None else counted.ready_at


def lot_counted(record: JobRecord, lot: Lot, material: Material, at: datetime) -> Counted | None:
    """Return how the hours of a lot stand, by what was read of the air; None while the air was answered not to run."""
    since = lot_since(record, lot, at)
    return None if since is None else hours_counted(record, material, since, at)


def hours_counted(record: JobRecord, material: Material, since: datetime, at: datetime) -> Counted:
    """Return how hours stand at an instant that count from `since`, by what was read of the air in the material's rooms.

    Where the air was answered to run from some instant on, what was read before it says nothing any more.
    """
    rooms, ran = rooms_of(record, material), air(record, at).since
    read = [one for one in air_of(record, rooms, at) if ran is None or one.sample.at >= ran]
    return count_hours(read, rooms, material.asks, since, timedelta(minutes=material.acclimation_min), at)


def material_clock(
    record: JobRecord, material: Material, at: datetime, chosen: tuple[Lot, ...] | None = None
) -> MaterialClock:
    """Return how far a material of the job is at an instant, by what was known to have happened by then.

    With `chosen` only those lots are looked at, as if nothing else had to come.
    """
    orders = [order for order in record.job.orders if order.material == material.name]
    placed = [order for order in orders if order.ordered is not None]
    lots = lots_here(record, material.name, at)
    told = told_lots(record, material, at) if chosen is None else chosen
    laid_from = lots if told is None else told
    in_rooms = [lot for lot in laid_from if lot.moved_in_at is not None and lot.moved_in_at <= at]
    ordered, come = sum(order.cartons for order in placed), sum(usable(lot, at) for lot in lots)
    missing = max(0, ordered - come) if told is None else 0
    word = latest_word(record, material.name, at)
    due = _due(placed, word) if missing else None
    carry = None if due is None or due < at else earliest_carry(record.job, due)
    if told is None and (len(placed) < len(orders) or (not orders and not lots)):
        stands = _Stands(state=WaitState.NOT_ORDERED)
    elif missing:
        late = due is not None and due < at
        ready_at = None if carry is None else carry + timedelta(minutes=material.acclimation_min)
        stands = _Stands(
            state=WaitState.LATE if late else WaitState.DUE, since=due if late else None, ready_at=ready_at
        )
    elif len(in_rooms) < len(laid_from):
        stands = _Stands(state=WaitState.ARRIVED, since=max(lot.arrived_at for lot in laid_from))
    else:
        moved_in = max(lot.moved_in_at for lot in in_rooms if lot.moved_in_at is not None)
        stands = _lies_in_the_rooms(record, material, moved_in, at)
    state = stands.state
    return MaterialClock(
        material=material,
        state=state,
        ordered=ordered,
        come=come,
        moved_in=sum(usable(lot, at) for lot in in_rooms),
        since=stands.since,
        due=due,
        ready_at=stands.ready_at,
        verified=_verified(material, stands),
        damaged=sum(lot.cartons - usable(lot, at) for lot in lots),
        missing=missing,
        laid_from=sum(usable(lot, at) for lot in laid_from),
        no_date=bool(missing) and word is not None and word.due is None,
        needs_deposit=state is WaitState.NOT_ORDERED and waits_for_deposit(record, orders),
        carry=carry,
        no_air=state is WaitState.ACCLIMATING and stands.since is None,
        by_air=stands.by_air,
        counted=stands.counted,
        wood=stands.wood,
    )


def _verified(material: Material, stands: _Stands) -> bool:
    """Return whether more than the clock stands behind when a material is ready."""
    if material.by_reading:
        return stands.state is WaitState.READY
    return not material.acclimation_min or (stands.counted is not None and stands.counted.verified)


def _lies_in_the_rooms(record: JobRecord, material: Material, moved_in: datetime, at: datetime) -> _Stands:
    """Return where a material stands of which all that is laid from is in the rooms, the last of it since `moved_in`."""
    begins, counted = _counted(record, material, moved_in, at)
    ready_at = begins if counted is None else counted.ready_at
    lain = counted is not None and ready_at is not None and ready_at <= at
    wood = wood_stands(record, material, at, wet_work(record, at)) if material.by_reading else None
    if wood is not None:
        ready, ready_at = wood.fits, ready_at if wood.fits else wood.ready_at
    else:
        fits = lain and counted is not None and counted.out is None  # its hours over, it is still not laid in such air
        ready = reading_done(record, material, at) if material.by_reading else fits
        if lain and not fits and not material.by_reading:
            ready_at = None
    return _Stands(
        state=WaitState.READY if ready else WaitState.ACCLIMATING,
        since=None if counted is None else counted.since,
        ready_at=ready_at,
        by_air=counted is not None and air(record, at).counts_from(moved_in) != moved_in,
        counted=counted,
        wood=wood,
    )


def wet_work(record: JobRecord, at: datetime) -> tuple[str, ...]:
    """Return what cures or dries in the house at an instant after work on the subfloor, in words; acclimation is none of it."""
    return tuple(
        dict.fromkeys(
            wait.name for wait in running_waits(record, at) if wait.task.phase is Phase.SUBFLOOR_PREP and wait.name
        )
    )


def _counted(
    record: JobRecord, material: Material, moved_in: datetime, at: datetime
) -> tuple[datetime | None, Counted | None]:
    """Return how the hours stand; while no air runs, when there would be enough from when it was said that it will."""
    runs = air(record, at)
    since = runs.counts_from(moved_in)
    if since is not None:
        return None, hours_counted(record, material, since, at)
    begins = max(runs.until, moved_in) if runs.until is not None and runs.until > at else None
    return None if begins is None else begins + timedelta(minutes=material.acclimation_min), None


def _due(placed: Sequence[OrderLine], word: NewDate | None) -> datetime | None:
    if word is not None:
        return word.due
    return max((order.due for order in placed if order.due is not None), default=None)


def reading_tasks(record: JobRecord, material: Material) -> tuple[Task, ...]:
    """Return the acclimation tasks of a material: checks and readings that come before it is laid."""
    return tuple(
        task
        for task in record.tasks
        if task.phase is Phase.ACCLIMATE
        and task.key.scope.kind is ScopeKind.MATERIAL
        and task.key.scope.name == material.name
        and not task.not_needed
    )


def reading_done(record: JobRecord, material: Material, at: datetime) -> bool:
    """Return whether every check and reading of the material was ticked by an instant."""
    tasks = reading_tasks(record, material)
    return bool(tasks) and all(task.done_at is not None and task.done_at <= at for task in tasks)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningWait:
    """A wait started by a tick: what cures or dries, since when, until when, and the tasks it holds back."""

    name: str
    task: Task
    since: datetime
    until: datetime
    holds: tuple[int, ...]


def running_waits(record: JobRecord, at: datetime) -> tuple[RunningWait, ...]:
    """Return the waits by the clock that run at an instant, one for each ticked task and end, longest hold first."""
    tasks = {task.number: task for task in record.tasks}
    found: dict[tuple[int, str, datetime], list[int]] = {}
    for link in record.links:
        before, after = tasks[link.before], tasks[link.after]
        if before.done_at is None or not after.open or counted_by_lots(link, after):
            continue
        until = wait_ends(link, before.done_at)
        if before.done_at <= at < until:
            found.setdefault((link.before, link.name, until), []).append(link.after)
    waits = []
    for (number, name, until), holds in found.items():
        task = tasks[number]
        assert task.done_at is not None
        waits.append(RunningWait(name=name, task=task, since=task.done_at, until=until, holds=tuple(holds)))
    return tuple(sorted(waits, key=lambda wait: (wait.until, wait.task.number)))


def wait_ends(link: Link, done_at: datetime) -> datetime:
    """Return when the wait of a link is over, given when its first task was done."""
    return done_at + timedelta(minutes=link.wait_min)


def counted_by_lots(link: Link, after: Task) -> bool:
    """Return whether the wait of a link is the acclimation that the lots' own clocks count."""
    return link.name == ACCLIMATING and after.needs_material is not None
