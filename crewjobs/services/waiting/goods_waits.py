"""Goods that have not come and lots that need the lead's word, as rows of the waiting list."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, moment_words
from crewjobs.engines.readiness.goods import GoodsClock, deposit_in, goods_clock, held_by, serves
from crewjobs.engines.readiness.lots import check_task, lot_questions, lots_here
from crewjobs.services.materials.lots import lots_command
from crewjobs.services.materials.ordered import held_words, not_needed_words
from crewjobs.services.rows import WaitRow

ASK_DEPOSIT: Final = "ask for the deposit: it releases the special order"
UNPAID: Final = "a special order placed although the deposit is not in"


def goods_rows(record: JobRecord, now: datetime) -> Iterator[WaitRow]:
    """Yield a row for every goods line of which something has not come and which something still waits for.

    A line that no task of the job needs is kept in sight too, and said to be so: somebody ordered it for a reason.
    """
    zone = record.job.site.zone
    for line in record.job.goods:
        clock, held = goods_clock(record, line, now), held_by(record, line)
        if not clock.missing or (not held and any(serves(record.job, line, task) for task in record.tasks)):
            continue
        due = to_wall(zone, clock.due) if clock.due else None
        yield WaitRow(
            job=record.job.number,
            title=record.job.title,
            what=f"{line.name}, {clock.come} of {line.count} {line.unit} here",
            state=clock.state,
            since=due if clock.state is WaitState.LATE else None,
            ready_at=due if clock.state is WaitState.DUE else None,
            minutes_left=None,
            done=None,
            verified=True,
            holds=held_words(held),
            call=goods_call(record, clock) + ("" if held else f"; {not_needed_words(line)}"),
            whom=supplier_called(
                record, clock.state, clock.line.supplier, needs_deposit=clock.needs_deposit, due=clock.due
            ),
        )


def supplier_called(
    record: JobRecord, state: WaitState, supplier: str, *, needs_deposit: bool, due: datetime | None
) -> str:
    """Return who is called now about what was ordered or is not: the supplier, or whose deposit releases it; nobody where it has a day."""
    if state is WaitState.NOT_ORDERED:
        return record.job.customer.name if needs_deposit else supplier or "the supplier"
    if state is WaitState.LATE or (state is WaitState.DUE and due is None):
        return supplier or "the supplier"
    return ""


def goods_call(record: JobRecord, clock: GoodsClock) -> str:
    """Return whom to ask for what about goods that have not come."""
    supplier = clock.line.supplier or "the supplier"
    due = moment_words(to_wall(record.job.site.zone, clock.due)) if clock.due else ""
    unpaid = f"; {UNPAID}" if clock.line.special and not deposit_in(record) else ""
    if clock.state is WaitState.NOT_ORDERED:
        return ASK_DEPOSIT if clock.needs_deposit else f"order it from {supplier}"
    if clock.state is WaitState.LATE:
        return f"call {supplier}: it was due {due}, get a new date{unpaid}"
    back = "back-ordered, " if clock.word else ""
    return (f"{back}{supplier} brings it {due}" if due else f"{back}ask {supplier} for a delivery date") + unpaid


def lot_rows(record: JobRecord, material: Material, now: datetime) -> Iterator[WaitRow]:
    """Yield a row for every question about a material's lots that only the lead can answer."""
    zone = record.job.site.zone
    asked: dict[str, list[int]] = {}
    for task in record.tasks:
        if task.open and task.needs_material == material.name:
            for words in lot_questions(record, task, material, now):
                asked.setdefault(words, []).append(task.number)
    lots = lots_here(record, material.name, now)
    for words, tasks in asked.items():
        counts = listed([f"lot {lot.name} {material.number(lot.usable)}" for lot in lots], most=6)
        yield WaitRow(
            job=record.job.number,
            title=record.job.title,
            what=f"{words}; {material.unit} to lay: {counts}",
            state=WaitState.TO_DECIDE,
            since=to_wall(zone, max(lot.arrived_at for lot in lots)) if lots else None,
            ready_at=None,
            minutes_left=None,
            done=None,
            verified=True,
            holds=held_words([record.task(number) for number in tasks]),
            call=f"{unchecked(record, material)}the lead says it: {lots_command(record, material)}",
        )


def unchecked(record: JobRecord, material: Material) -> str:
    """Return a call to check what has come and was not checked; empty when all is."""
    task = check_task(record, material.name)
    if task is None:
        return ""
    lots = [lot for lot in record.lots if lot.material == material.name and lot.checked_at is None]
    names = [lot.name for lot in lots if task.done_at is None or lot.arrived_at > task.done_at]
    if not names:
        return ""
    return f"check lot{'' if len(names) == 1 else 's'} {listed(names)} {material.before_use}; "


def goods_waited_for(record: JobRecord, now: datetime) -> str:
    """Return the worst goods line that tasks wait for, with how it stands; empty if none."""
    clocks = [goods_clock(record, line, now) for line in record.job.goods if held_by(record, line)]
    waited = sorted((clock for clock in clocks if clock.missing), key=lambda clock: clock.state.rank)
    if not waited:
        return ""
    return f"{waited[0].line.name}, {goods_status(record, waited[0])}"


def goods_status(record: JobRecord, clock: GoodsClock) -> str:
    """Return how an order line stands: ``due Wed 18 Mar 17:00, back-ordered``, ``not ordered: …``, ``here``."""
    if not clock.missing:
        return "here"
    due = f" {moment_words(to_wall(record.job.site.zone, clock.due))}" if clock.due else ""
    if clock.state is WaitState.NOT_ORDERED:
        return f"not ordered: {ASK_DEPOSIT}" if clock.needs_deposit else "not ordered"
    if clock.state is WaitState.LATE:
        return f"late, was due{due}"
    dated = f"due{due}" if due else "no date"
    return dated + (", back-ordered" if clock.word else "")
