"""Goods that come beside the floor's own cartons: how far each order line is, and which tasks it holds.

What has not come holds only the tasks that need such goods in the place the line is for. Goods without an order
line come from the shop's stock and hold nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from crewjobs.domain.agreed import Money
from crewjobs.domain.goods import GoodsLine, NewDate
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import OrderLine
from crewjobs.domain.tasks import ScopeKind, Task
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.hold import FactKind, Hold, HoldKind, Known


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsClock:
    """How far one order line of goods is: not ordered, late, due or here (`WaitState.READY`).

    `due` (UTC) is when what is missing is promised for, None where nobody said or nothing is missing. `word` is the
    supplier's latest word on it. `needs_deposit`: a special order not placed that waits for the deposit.
    """

    line: GoodsLine
    state: WaitState
    come: int
    due: datetime | None
    word: NewDate | None
    needs_deposit: bool

    @property
    def missing(self) -> int:
        """Return how many have not come."""
        return max(0, self.line.count - self.come)


def latest_word(record: JobRecord, line: str, at: datetime) -> NewDate | None:
    """Return the supplier's latest word, by an instant, on what is missing of a material or of a goods line."""
    words = [word for word in record.new_dates if word.line == line and word.at <= at]
    return max(words, key=lambda word: word.at) if words else None


def deposit_in(record: JobRecord) -> bool:
    """Return whether the deposit is in, which releases a special order."""
    return any(money.fact is Money.DEPOSIT for money in record.money)


def waits_for_deposit(record: JobRecord, lines: Iterable[OrderLine | GoodsLine]) -> bool:
    """Return whether a special order among some lines is not placed because the deposit is not in."""
    return not deposit_in(record) and any(line.special and line.ordered is None for line in lines)


def goods_clock(record: JobRecord, line: GoodsLine, at: datetime) -> GoodsClock:
    """Return how far an order line of goods is at an instant, by what was known to have happened by then."""
    come = sum(came.count for came in record.goods_come if came.line == line.name and came.at <= at)
    word = latest_word(record, line.name, at)
    due = (word.due if word else line.due) if come < line.count else None
    if come >= line.count:
        state = WaitState.READY
    elif line.ordered is None:
        state = WaitState.NOT_ORDERED
    else:
        state = WaitState.LATE if due is not None and due < at else WaitState.DUE
    return GoodsClock(
        line=line,
        state=state,
        come=come,
        due=due if state is not WaitState.NOT_ORDERED else None,
        word=word,
        needs_deposit=state is WaitState.NOT_ORDERED and waits_for_deposit(record, [line]),
    )


def serves(job: Job, line: GoodsLine, task: Task) -> bool:
    """Return whether a task waits for an order line: it needs such goods, in the place they are for.

    A room is its own floor and walls and every opening it has; an opening named is that one alone.
    """
    if task.needs_goods is not line.goods:
        return False
    scope = task.key.scope
    if line.place in ("", scope.name):
        return True
    if scope.kind is not ScopeKind.OPENING:
        return False
    return any(opening.name == scope.name and line.place in opening.between for opening in job.openings)


def goods_for(record: JobRecord, task: Task, at: datetime) -> tuple[GoodsClock, ...]:
    """Return the order lines a task waits for of which something has not come by an instant."""
    if task.needs_goods is None:
        return ()
    clocks = (goods_clock(record, line, at) for line in record.job.goods if serves(record.job, line, task))
    return tuple(clock for clock in clocks if clock.missing)


def held_by(record: JobRecord, line: GoodsLine) -> tuple[Task, ...]:
    """Return the open tasks that need what a line brings."""
    return tuple(task for task in record.tasks if task.open and serves(record.job, line, task))


def goods_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield a hold for every order line that a task waits for."""
    for clock in goods_for(record, task, at):
        yield Hold(kind=HoldKind.MATERIAL, what=missing_words(clock))


def missing_words(clock: GoodsClock) -> str:
    """Return what is missing: ``stair nose (main stairs): 0 of 14 pieces have come, and it is late``."""
    line = clock.line
    if clock.state is WaitState.NOT_ORDERED:
        return not_ordered_words(line.name, clock.needs_deposit)
    late = ", and it is late" if clock.state is WaitState.LATE else ""
    back = ", back-ordered without a date" if clock.word is not None and clock.due is None else ""
    return f"{line.name}: {clock.come} of {line.count} {line.unit} have come{late}{back}"


def not_ordered_words(name: str, needs_deposit: bool) -> str:
    """Return that something is not ordered, and what releases its order."""
    return f"{name} is not ordered" + (": the deposit releases it" if needs_deposit else "")


def goods_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    """Yield the instants for which the goods a task waits for are promised."""
    for clock in goods_for(record, task, now):
        if clock.due is not None and clock.due >= now:
            yield Known(at=clock.due, reason=f"{clock.line.name} is due", kind=FactKind.DUE)


def goods_no_date(record: JobRecord, task: Task, now: datetime) -> str:
    """Return which goods of a task have no date anyone could plan with, in words; empty if all have."""
    for clock in goods_for(record, task, now):
        name = clock.line.name
        if clock.state is WaitState.NOT_ORDERED:
            return missing_words(clock)
        if clock.state is WaitState.LATE:
            return f"{name} is late: a new delivery date is needed"
        if clock.due is None:
            return f"{name} is {'back-ordered' if clock.word else 'ordered'} without a delivery date"
    return ""
