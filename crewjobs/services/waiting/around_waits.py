"""Rows of the waiting list for what lies with people: a house to be asked, others waited for, customers to be told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.house_ready import ASK_AHEAD_DAYS, READY_WORDS, WaitingOn
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Task
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import day_words, listed, moment_words
from crewjobs.engines.readiness.found import way_taken
from crewjobs.engines.readiness.house import House, HouseState, held_by_house, house, not_ready_words, work_begun
from crewjobs.engines.readiness.lots import is_carry_in
from crewjobs.engines.readiness.others import asked_on, expected_words, still_out, who_words
from crewjobs.services.asked.waiting_on import chased_words
from crewjobs.services.findings.asked_together import waited_for_in
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.findings.same_house import held_elsewhere
from crewjobs.services.materials.ordered import held_words
from crewjobs.services.rows import WaitRow

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.services.weeks.visits import Planned


STILL_THERE: Final = "no work any more: the job is over, and what was found is there still"
"""What somebody's answer holds in a job that is over."""


def house_row(record: JobRecord, shop: Shop, found: Planned | None, now: datetime) -> WaitRow | None:
    """Return the house's row: from two working days before cartons or a crew come, or once somebody was asked."""
    seen = house(record, now)
    held = [task for task in record.tasks if task.open and held_by_house(record, task, now)]
    if seen.state is HouseState.READY or not held:
        return None
    first = _first_day(record, found, {task.number for task in held})
    silent = seen.state is HouseState.NOT_ASKED
    if silent and (first is None or to_wall(shop.zone, now).date() < working_days_before(shop, first, ASK_AHEAD_DAYS)):
        return None
    zone, state, since = record.job.site.zone, _state(seen, now), _since(seen)
    return WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=_what(seen, zone),
        state=state,
        since=to_wall(zone, since) if since else None,
        ready_at=to_wall(zone, seen.until) if seen.until and state is WaitState.NOT_READY else None,
        minutes_left=None,
        done=None,
        verified=True,
        holds=_held_words(record, held, now),
        call=_house_call(record, seen, first, now),
        whom=_asked_now(record, seen, now),
    )


def _held_words(record: JobRecord, held: Sequence[Task], now: datetime) -> str:
    if work_begun(record, now):
        return "the work there that has not begun"
    return "carrying in and the start" if any(is_carry_in(task) for task in held) else "the start"


def _first_day(record: JobRecord, found: Planned | None, held: set[int]) -> date | None:
    """Return the site's date on which cartons or a crew come first: by the plan, else the delivery or the wished start."""
    zone = record.job.site.zone
    placements = found.plan.placements if found else ()
    starts = [p.start for p in placements if p.key.job == record.job.number and held & set(p.tasks)]
    if starts:
        return to_wall(zone, min(starts)).date()
    days = [to_wall(zone, order.due).date() for order in record.job.orders if order.due is not None]
    return min([*days, *([record.job.wished] if record.job.wished else [])], default=None)


def working_days_before(shop: Shop, day: date, count: int) -> date:
    """Return the day so many of the shop's working days before one: days with hours that are no holidays."""
    for _ in range(count):
        day -= timedelta(days=1)
        while not shop.hours.on(day) or day in shop.holidays:
            day -= timedelta(days=1)
            if not any(shop.hours.days):
                return day
    return day


def _state(seen: House, now: datetime) -> WaitState:
    if seen.state is HouseState.NOT_READY:
        return WaitState.TO_ASK if seen.ask_again(now) else WaitState.NOT_READY
    return WaitState.ASKED if seen.state is HouseState.ASKED else WaitState.TO_ASK


def _since(seen: House) -> datetime | None:
    if seen.missing:
        return min(answer.at for answer in seen.missing)
    return seen.asked.at if seen.asked else None


def _what(seen: House, zone: str) -> str:
    if seen.state is HouseState.NOT_READY:
        until = f", until {moment_words(to_wall(zone, seen.until))}" if seen.until else ""
        return not_ready_words(seen).replace("the house is", "house") + until
    open_ = listed([READY_WORDS[item] for item in seen.unanswered], most=6)
    return f"house ready: {open_}"


def _asked_now(record: JobRecord, seen: House, now: datetime) -> str:
    """Return who is asked today whether the house is ready; nobody where it was said for a day to come."""
    if seen.state is HouseState.NOT_READY and seen.until is not None and not seen.ask_again(now):
        return ""
    return seen.asked.of if seen.asked else record.job.customer.name


def _house_call(record: JobRecord, seen: House, first: date | None, now: datetime) -> str:
    job = record.job
    who = seen.asked.of if seen.asked else job.customer.name
    number, coming = job.number, _coming(first, to_wall(job.site.zone, now).date())
    if seen.state is HouseState.NOT_READY:
        items = " ".join(answer.item.value for answer in seen.missing)
        if seen.ask_again(now):
            return f"ask {who} again, it was said to be done by now: `crewjobs ready {number} --item {items}`{coming}"
        if seen.until is None:
            return f"ask {who} for a day: `crewjobs ready {number} --not-ready {items} --until …`{coming}"
        return f"ask {who} again on that day: `crewjobs ready {number} --item {items}`{coming}"
    if seen.state is HouseState.ASKED:
        return f"get {who}'s answer: `crewjobs ready {number} --all`{coming}"
    key = f" (the key is with {job.site.key_with})" if job.site.key_with else ""
    return f"ask {who}{key}: `crewjobs ready {number} --asked NAME`{coming}"


def _coming(first: date | None, today: date) -> str:
    """Return when somebody comes first, or should have: a day gone by is overdue."""
    if first is None:
        return ""
    return (
        f"; first there {day_words(first)}"
        if first >= today
        else f"; overdue: somebody was to be there first {day_words(first)}"
    )


def other_rows(
    record: JobRecord, now: datetime, house: Sequence[JobRecord] = (), of: int | None = None
) -> Iterator[WaitRow]:
    """Yield what was asked of others and is not there: late, asked without a date, or promised.

    What other booked jobs of the same `house` wait for too is one call: it stands with job `of`, or the first of them, and names the rest.
    """
    number = record.job.number
    for waits in still_out(record, now):
        same = waited_for_in(house, waits)
        if number == (of if of in (number, *same) else min((number, *same))):
            row, rest = _other_row(record, waits, now), [f"job {other}" for other in same]
            yield replace(row, holds=listed([*filter(None, [row.holds]), *rest], most=6)) if rest else row


def unsettled_rows(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[WaitRow]:
    """Yield of a job that is over whoever is asked about what was found there and is not settled: it is there still.

    `others` are the live jobs of the same house: of a job called off it is asked as long as one of them is held by it. What a booked
    one of them waits for itself is told with that one.
    """
    booked = [other for other in others if other.job.state is JobState.BOOKED]
    for waits in still_out(record, now):
        for finding in record.findings:
            if not because_of(finding, waits) or way_taken(record, finding, now) is not None:
                continue
            if waited_for_in(booked, waits):
                continue
            held = held_elsewhere(others, finding, now)
            if held or record.job.state is not JobState.CALLED_OFF:
                words = listed([f"job {number}" for number in held], most=6) or STILL_THERE
                yield replace(_other_row(record, waits, now), holds=words)


def _other_row(record: JobRecord, waits: WaitingOn, now: datetime) -> WaitRow:
    zone = record.job.site.zone
    asked = to_wall(zone, waits.asked_at or to_utc(zone, waits.asked, 0))
    promised = to_wall(zone, waits.promised) if waits.promised else None
    late = promised is not None and promised < now
    state = _other_state(waits, late=late)
    since = promised if state is WaitState.LATE else asked
    facts = [asked_on(waits), chased_words(waits.asked_again)]
    asked_words = ", ".join(
        filter(None, (listed([fact for fact in facts if fact]), expected_words(waits, zone, gone=late)))
    )
    return WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=f"{waits.who.value}: {waits.what}, {asked_words}",
        state=state,
        since=since,
        ready_at=None if late or waits.usual else promised,
        minutes_left=None,
        done=None,
        verified=True,
        holds=held_words([record.task(number) for number in waits.holds if record.task(number).open]),
        call=(call := _other_call(record, waits, state, promised)),
        whom=who_words(waits) if call else "",
        day_only=not late and waits.asked_at is None,
    )


def _other_state(waits: WaitingOn, *, late: bool) -> WaitState:
    if waits.to_be_asked:
        return WaitState.TO_ASK
    if late:
        return WaitState.LATE
    return WaitState.PROMISED if waits.promised and not waits.usual else WaitState.ASKED


def _other_call(record: JobRecord, waits: WaitingOn, state: WaitState, promised: datetime | None) -> str:
    who, command = who_words(waits), f"`crewjobs chased {record.job.number} {waits.who.value}`"
    if waits.usual:
        ask = f"`crewjobs promised {record.job.number} {waits.who.value} DAY`"
        if waits.to_be_asked:
            return f"call {who}: nobody has asked yet; {ask}, or without a day {command}"
        return f"call {who}: nobody has promised it; {ask}"
    if state is WaitState.LATE and promised is not None:
        return f"chase {who}: it was promised for {moment_words(promised)}; {command}"
    return f"chase {who} for a date; {command}" if promised is None else ""
