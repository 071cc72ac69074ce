"""Versions of the week plan, and pins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from sqlalchemy import Connection, Table, false, func, select

from crewjobs.domain.plan import Pin, Placement, WeekPlan
from crewjobs.storage import records
from crewjobs.storage.ledger import Ledger, Row, stored
from crewjobs.storage.mapping import LEFT_OUT, PIN, PLAN, block_of, block_row


def read_latest(connection: Connection) -> WeekPlan | None:
    """Return the plan in force: the newest that is no proposal and was not taken back, without the jobs that were."""
    plan = records.plan
    stands = select(func.max(plan.c.number)).where(plan.c.withdrawn == false(), plan.c.proposed == false())
    newest = connection.execute(stands).scalar()
    if newest is None:
        return None
    return _read(connection, newest)


def left_out_since(connection: Connection) -> dict[int, datetime]:
    """Return for each job left out of the plan in force the instant from which on every plan left it out.

    Plans that were proposed only or taken back count for nothing.
    """
    plan, left = records.plan, records.plan_left_out
    stands = (plan.c.withdrawn == false(), plan.c.proposed == false())
    newest = connection.execute(select(func.max(plan.c.number)).where(*stands)).scalar()
    since: dict[int, datetime] = {}
    for job in connection.execute(select(left.c.job).where(left.c.plan == newest).distinct()).scalars():
        without = select(left.c.plan).where(left.c.job == job)
        last = select(func.max(plan.c.number)).where(*stands, plan.c.number.not_in(without)).scalar_subquery()
        first = select(func.min(plan.c.made_at)).where(*stands, plan.c.number > func.coalesce(last, 0))
        made = connection.execute(first).scalar()
        if made is not None:
            since[job] = made
    return since


def proposed_number(connection: Connection) -> int:
    """Return the number of the proposal `read_proposal` returns, 0 where there is none."""
    plan = records.plan
    newest = select(plan.c.number, plan.c.proposed).where(plan.c.withdrawn == false()).order_by(plan.c.number.desc())
    found = connection.execute(newest.limit(1)).first()
    return found.number if found is not None and found.proposed else 0


def read_proposal(connection: Connection) -> WeekPlan | None:
    """Return the newest proposal that is newer than the plan in force and was not taken back."""
    number = proposed_number(connection)
    return _read(connection, number) if number else None


def _read(connection: Connection, number: int) -> WeekPlan:
    [row] = stored(connection, records.plan, records.plan.c.number == number)
    return PLAN.value(
        row,
        placements=tuple(block_of(block) for block in _parts(connection, records.plan_block, row["number"])),
        left_out=tuple(LEFT_OUT.value(left) for left in _parts(connection, records.plan_left_out, row["number"])),
    )


def read_until(
    connection: Connection, before: datetime, back_to: datetime, within: tuple[datetime, datetime] | None
) -> tuple[WeekPlan, ...]:
    """Return, oldest first, the plans made from `back_to` until `before`, led by the one in force at `back_to`.

    Plans that were taken back are left out, as are jobs that were. With `within` of each plan only the blocks that touch
    the time between two instants are read, and nothing of what it left out: many plans of one day cost little then.
    """
    made, number = records.plan.c.made_at, records.plan.c.number
    stands = select(number).where(
        records.plan.c.withdrawn == false(), records.plan.c.proposed == false(), made < before
    )
    first = connection.execute(stands.where(made <= back_to).order_by(number.desc()).limit(1)).scalar() or 0
    wanted = connection.execute(stands.where(number >= first).order_by(number)).scalars().all()
    return _read_within(connection, wanted, *within) if within else tuple(_read(connection, one) for one in wanted)


def save_plan(ledger: Ledger, plan: WeekPlan) -> int:
    """Store a plan as a new version and return its number."""
    newest = ledger.connection.execute(select(func.max(records.plan.c.number))).scalar() or 0
    number = int(newest) + 1
    ledger.insert(records.plan, [PLAN.row(replace(plan, number=number), withdrawn=False)])
    blocks = [block_row(placement, number, place) for place, placement in enumerate(plan.placements, start=1)]
    ledger.insert(records.plan_block, blocks)
    left = [LEFT_OUT.row(left, plan=number, position=place) for place, left in enumerate(plan.left_out, start=1)]
    ledger.insert(records.plan_left_out, left)
    return number


def read_pins(connection: Connection) -> tuple[Pin, ...]:
    """Return all pins by job and task."""
    return tuple(PIN.value(row) for row in stored(connection, records.pin, order=("job", "task")))


def save_pin(ledger: Ledger, pin: Pin) -> None:
    """Pin the block of a task, in the place of a pin it had."""
    ledger.sync(records.pin, _pin(ledger.connection, pin.job, pin.task), [PIN.row(pin)])


def drop_pin(ledger: Ledger, job: int, task: int) -> None:
    """Take the pin of a task away; nothing happens if it has none."""
    ledger.delete(records.pin, _pin(ledger.connection, job, task))


def _read_within(
    connection: Connection, numbers: Sequence[int], start: datetime, end: datetime
) -> tuple[WeekPlan, ...]:
    block, there = records.plan_block.c, select(records.job.c.number)
    touch = (block.plan.in_(numbers), block.job.in_(there), block.start <= end, block.end >= start)
    blocks: dict[int, list[Placement]] = {}
    for one in stored(connection, records.plan_block, *touch, order=("plan", "position")):
        blocks.setdefault(one["plan"], []).append(block_of(one))
    rows = stored(connection, records.plan, records.plan.c.number.in_(numbers), order=("number",))
    return tuple(PLAN.value(row, placements=tuple(blocks.get(row["number"], ())), left_out=()) for row in rows)


def _pin(connection: Connection, job: int, task: int) -> list[Row]:
    return stored(connection, records.pin, records.pin.c.job == job, records.pin.c.task == task)


def _parts(connection: Connection, table: Table, number: int) -> list[Row]:
    there = table.c.job.in_(select(records.job.c.number))
    return stored(connection, table, table.c.plan == number, there, order=("position",))
