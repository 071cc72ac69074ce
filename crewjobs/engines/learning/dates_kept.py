"""What came of the dates that others said for a job: deliveries, what was asked of others, and when a house will be ready.

A date is kept where what it is for was there on that day of the site or before; else it is late by the days of 24 h from the instant
said. A date that was taken back for a later day is not kept, and the new one is a date of its own. Nothing is known of a
date to come.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.house_ready import ReadyAnswer
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import OrderLine
from crewjobs.domain.wall import to_wall
from crewjobs.engines.learning.lateness import Kept, WordKind

Words = tuple[tuple[datetime, datetime | None], ...]
"""New dates in the order they were said: when, and for when (None: nobody can say)."""


def dates_kept(record: JobRecord, now: datetime) -> Iterator[Kept]:
    """Yield what came of every date of a job, by what is known at an instant."""
    yield from _deliveries(record, now)
    yield from _others(record, now)
    yield from _house(record, now)


def who_brings(record: JobRecord, name: str) -> str:
    """Return who brings a material or goods line of a job by its name, the latest that is due; empty where nobody is named."""
    orders = [(one.due, one.supplier) for one in record.job.orders if one.material == name]
    goods = [(one.due, one.supplier) for one in record.job.goods if one.name == name]
    return max(((due, by) for due, by in (*orders, *goods) if due is not None), default=(None, ""))[1]


# -- deliveries


def _deliveries(record: JobRecord, now: datetime) -> Iterator[Kept]:
    for material in record.job.materials:
        lines = [order for order in record.job.orders if order.material == material.name]
        lines.sort(key=lambda order: (order.due is None, order.due or now))
        came = sorted((lot.arrived_at, lot.cartons) for lot in record.lots if lot.material == material.name)
        wanted = 0
        for place, order in enumerate(lines):
            wanted += order.cartons
            last = place == len(lines) - 1
            yield from _line(record, order, _complete(came, wanted, now), _words(record, order.material, last), now)
    for line in record.job.goods:
        came = sorted((one.at, one.count) for one in record.goods_come if one.line == line.name)
        yield from _line(record, line, _complete(came, line.count, now), _words(record, line.name, True), now)


def _words(record: JobRecord, name: str, last: bool) -> Words:
    """Return the supplier's later dates of a line; of several of one name they are of the last one."""
    words = sorted((word for word in record.new_dates if word.line == name), key=lambda word: word.at)
    return tuple((word.at, word.due) for word in words) if last else ()


def _complete(came: list[tuple[datetime, int]], wanted: int, now: datetime) -> datetime | None:
    """Return when so many had come, None where they have not."""
    total = 0
    for at, count in came:
        total += count
        if total >= wanted and at <= now:
            return at
    return None


def _line(
    record: JobRecord, line: OrderLine | GoodsLine, came: datetime | None, words: Words, now: datetime
) -> Iterator[Kept]:
    if line.ordered is None or line.due is None:
        return
    for at, due in ((None, line.due), *words):
        later = [word for word in words if at is None or word[0] > at]
        if due is not None:
            yield from _date(record, WordKind.DELIVERY, line.supplier, due, came, later, now)


def _date(
    record: JobRecord,
    kind: WordKind,
    by: str,
    due: datetime,
    came: datetime | None,
    later: list[tuple[datetime, datetime | None]],
    now: datetime,
) -> Iterator[Kept]:
    """Yield what came of one date; `later` are the dates said after it for the same."""
    zone = record.job.site.zone
    day = to_wall(zone, due).date()
    taken_back = later[0] if later and later[0][0] <= due else None
    if taken_back is not None and taken_back[1] is not None and to_wall(zone, taken_back[1]).date() <= day:
        return  # put right before it was due, for no later day
    until = came if came is not None else now
    days = max(0.0, (until - due) / timedelta(days=1))
    if to_wall(zone, until).date() > day:
        yield Kept(kind=kind, by=by, late=True, days=days, over=came is not None)
    elif came is not None:
        yield Kept(kind=kind, by=by)
    elif taken_back is not None:
        yield Kept(kind=kind, by=by, late=True, over=False)


# -- others


def _others(record: JobRecord, now: datetime) -> Iterator[Kept]:
    """Yield what came of each day somebody asked was promised or expected for.

    Nothing is known of one who is waited for no more since a finding's way on was taken: whether they had come by then is
    not recorded.
    """
    settled = {way.at for way in record.ways_taken}
    for waits in record.waiting_on:
        if waits.promised is not None and (waits.came_at is None or waits.came_at not in settled):
            came = waits.came_at if waits.came_at is not None and waits.came_at <= now else None
            yield from _date(record, WordKind.OTHERS, waits.who.value, waits.promised, came, [], now)


# -- the house


def _house(record: JobRecord, now: datetime) -> Iterator[Kept]:
    """Yield what came of each "not ready until": of a house nobody found unready afterwards the word was kept.

    Whether it was is known by the next answer (or crew turned away, which is one), or by work begun there since.
    """
    answers = sorted((one for one in record.answers if one.at <= now), key=lambda one: one.at)
    for place, answer in enumerate(answers):
        if answer.ready or answer.until is None:
            continue
        after = [one for one in answers[place + 1 :] if one.item is answer.item]
        until = answer.until
        if not after:
            if any(task.started_at is not None and until <= task.started_at <= now for task in record.tasks):
                yield Kept(kind=WordKind.HOUSE)
            continue
        if after[0].ready:
            yield Kept(kind=WordKind.HOUSE)
        elif not _put_right(record, until, after[0]):
            ready = next((one.at for one in after if one.ready), None)
            days = max(0.0, ((ready or now) - until) / timedelta(days=1))
            yield Kept(kind=WordKind.HOUSE, late=True, days=days, over=ready is not None)


def _put_right(record: JobRecord, until: datetime, new: ReadyAnswer) -> bool:
    """Return whether a date was said anew before it came, for no later day."""
    zone = record.job.site.zone
    return new.at < until and new.until is not None and to_wall(zone, new.until).date() <= to_wall(zone, until).date()
