"""Work that waits because the people with the card it needs are out or elsewhere that day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import Final

from crewjobs.domain.crew import Away, Shop
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import quoted
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.engines.readiness.hold import HoldKind
from crewjobs.engines.readiness.holds import holds
from crewjobs.services.materials.ordered import held_words
from crewjobs.services.people.away import away_place
from crewjobs.services.rows import WaitRow
from crewjobs.services.weeks.visits import Planned

LOOK_AHEAD_DAYS: Final = 28


def card_rows(
    record: JobRecord, shop: Shop, away: Sequence[Away], found: Planned | None, now: datetime
) -> Iterator[WaitRow]:
    """Yield what nobody at work may do for want of a card: ready today, or planned for a day its holders are out."""
    carded = [task for task in record.tasks if task.open and task.card]
    if not carded or not away:
        return
    whole, today = with_parts(shop, away), to_wall(shop.zone, now).date()
    for day in sorted({one.day for one in away if one.day >= today}):
        for card in sorted({task.card for task in carded}):
            out = [one for one in away if one.day == day and _holds(shop, one, card)]
            if not out or _held_on(whole, away, card, day):
                continue
            held = [
                task for task in carded if task.card == card and _stopped(record, task, shop, found, day, today, now)
            ]
            if held:
                since = to_wall(shop.zone, to_utc(shop.zone, day, 0))
                who = listed([f"{one.worker} {away_place(shop, one)}" for one in out])
                yield _row(record, held, card, who, since, _next_day(whole, away, card, day))


def _holds(shop: Shop, one: Away, card: str) -> bool:
    people = [worker for crew in shop.crews if crew.name == one.crew for worker in crew.workers]
    return any(worker.name == one.worker and card in worker.cards for worker in people)


def without_card(shop: Shop, away: Sequence[Away], tasks: Sequence[Task], at: datetime) -> Iterator[str]:
    """Yield one sentence for each card that tasks ask and nobody at work on the day of an instant holds.

    What was done is recorded all the same: it is a fact, and the lead settles with whoever certifies it.
    """
    day, whole = to_wall(shop.zone, at).date(), with_parts(shop, away)
    for card in dict.fromkeys(task.card for task in tasks if task.card):
        if not _held_on(whole, away, card, day):
            numbers = listed([f"task {task.number}" for task in tasks if task.card == card])
            yield (
                f"{upper(numbers)} asks the card {card}, and nobody at work on {day_words(day)} holds it: settle with "
                "the certified person what is to be checked or done again."
            )


def _held_on(whole: Shop, away: Sequence[Away], card: str, day: date) -> bool:
    """Return whether somebody with a card works that day, in any crew."""
    if day in whole.holidays:
        return False
    return any(
        card in worker.cards
        for crew in whole.crews
        if crew.comes(day)
        for worker in present(whole, away, crew.name, day)
    )


def _stopped(
    record: JobRecord, task: Task, shop: Shop, found: Planned | None, day: date, today: date, now: datetime
) -> bool:
    if day == today and not holds(record, task, now):
        return True
    placement = found.placement(record.job.number, task.number) if found else None
    if placement is None or found is None:
        return False
    if to_wall(shop.zone, placement.start).date() <= day <= to_wall(shop.zone, placement.end).date():
        return True
    could = _could_start(record, task, found)
    return could is not None and to_wall(shop.zone, could).date() <= day < to_wall(shop.zone, placement.start).date()


def _could_start(record: JobRecord, task: Task, found: Planned) -> datetime | None:
    """Return when the work before a task is done by the plan, waits included; None where more than that holds it."""
    could = found.plan.made_at
    for link in record.links:
        before = record.task(link.before)
        if link.after != task.number or before.not_needed:
            continue
        placed = found.placement(record.job.number, before.number)
        ends = before.done_at or (placed.end if placed else None)
        if ends is None:
            return None
        could = max(could, ends + timedelta(minutes=link.wait_min))
    other = [hold for hold in holds(record, task, could) if hold.kind is not HoldKind.BEFORE]
    return None if other else could


def _next_day(whole: Shop, away: Sequence[Away], card: str, day: date) -> datetime | None:
    """Return when somebody with the card is at work again, None within four weeks."""
    for later in days_from(day + timedelta(days=1), LOOK_AHEAD_DAYS):
        if _held_on(whole, away, card, later):
            starts = [
                crew.hours.on(later)[0].start
                for crew in whole.crews
                if crew.comes(later) and any(card in w.cards for w in present(whole, away, crew.name, later))
            ]
            return to_wall(whole.zone, to_utc(whole.zone, later, min(starts)))
    return None


def _row(
    record: JobRecord, held: Sequence[Task], card: str, who: str, since: datetime, again: datetime | None
) -> WaitRow:
    return WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=f"{who} {day_words(since.date())}, and the card {quoted(card)} with them",
        state=WaitState.PROMISED if again else WaitState.ASKED,
        since=since,
        ready_at=again,
        minutes_left=None,
        done=None,
        verified=True,
        holds=held_words(held),
        call="nobody else at work that day holds the card; plan again: the rest goes on",
        day_only=True,
    )
