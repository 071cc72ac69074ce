"""What a job's page says of each order line: from whom, ordered when, promised for when, what came, what is short."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import OrderLine
from crewjobs.domain.wording import day_words, listed
from crewjobs.engines.readiness.clocks import MaterialClock
from crewjobs.engines.readiness.goods import GoodsClock, latest_word
from crewjobs.services.wording import at_site


def material_order_lines(record: JobRecord, clock: MaterialClock, now: datetime) -> tuple[str, ...]:
    """Return the order lines of a floor's material, then what is short of them. What came stands with its lots."""
    name = clock.material.name
    orders = [order for order in record.job.orders if order.material == name]
    said = [_ordered(record, order, clock.material.counted(order.cartons)) for order in orders]
    missing = max(0, clock.ordered - clock.come)
    return (*said, *_short(record, name, clock.come, missing, clock.material.counted(missing), now))


def goods_order_lines(record: JobRecord, clock: GoodsClock, now: datetime) -> tuple[str, ...]:
    """Return a goods line: how it was ordered, what came when, what is short of it."""
    line = clock.line
    came = [one for one in record.goods_come if one.line == line.name and one.at <= now]
    arrivals = listed([f"{one.count} {at_site(record.job.site.zone, one.at)}" for one in came], most=6)
    return (
        _ordered(record, line, line.counted(line.count)),
        *([f"came: {arrivals}"] if arrivals else []),
        *_short(record, line.name, clock.come, clock.missing, line.counted(clock.missing), now),
    )


def _ordered(record: JobRecord, line: OrderLine | GoodsLine, count: str) -> str:
    """Return ``26 cartons from north yard, ordered Mon 16 Feb, promised for Tue 3 Mar 10:00``."""
    source = f" from {line.supplier}" if line.supplier else ", no supplier named"
    placed = f"ordered {day_words(line.ordered)}" if line.ordered else "not ordered yet"
    promised = f"promised for {at_site(record.job.site.zone, line.due)}" if line.due else "no day promised"
    return f"{count}{source}, {placed}, {promised}{', special order' if line.special else ''}"


def _short(record: JobRecord, name: str, come: int, missing: int, counted: str, now: datetime) -> Iterator[str]:
    """Yield what is missing (`counted` with its unit) since a part of it came, or since the supplier gave another word on it."""
    word = latest_word(record, name, now)
    if not missing or not (come or word):
        return
    why = f" ({word.because})" if word is not None and word.because else ""
    if word is None:
        until = "no new day given"
    elif word.due is None:
        until = "back-ordered, nobody can say until when"
    else:
        until = f"back-ordered to {at_site(record.job.site.zone, word.due)}"
    yield f"short {counted}, {until}{why}"
