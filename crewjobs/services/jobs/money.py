"""Money as three facts, and change orders: what was asked, agreed and received, and no accounting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import ChangeOrder, Money, MoneyFact
from crewjobs.domain.amounts import money_words, read_amount, read_credit
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.units import quoted
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import dated_words, day_words, listed, upper
from crewjobs.services.clock import read_gone_day
from crewjobs.services.findings.found_holds import held_anew
from crewjobs.services.rows import Done, WaitRow
from crewjobs.services.wording import read_line

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

FACTS: Final = {"deposit": Money.DEPOSIT, "asked": Money.ASKED, "received": Money.RECEIVED}
"""The facts by the word a person types."""
OWED_DAYS: Final = 14
"""A balance asked so many days ago is asked for again. Common practice, no source."""


def record(
    uow: UnitOfWork, now: datetime, job: int, fact: str, amount: str = "", *, on: str = "", again: bool = False
) -> Done:
    """Record one of the three facts on a day (default: today); an empty `amount` was not noted.

    Each is recorded once; `again` is for a further part of it.

    Raises:
        Refused: unknown job or fact, no amount, a day to come, or recorded already.
    """
    before, kind = uow.job(job), _fact(fact)
    day = _day(before, on, now)
    cents = read_amount(amount) if amount.strip() else 0
    if amount.strip() and not cents:
        raise Refused(f"{quoted(amount)} is no money: leave the amount away where it was not noted.")
    known = [one for one in before.money if one.fact is kind]
    if known and not again:
        raise Refused(f"job {job}: {fact_words(known[-1])} is recorded already; say --again for a further part of it.")
    new = MoneyFact(fact=kind, day=day, cents=cents)
    after = replace(before, money=(*before.money, new))
    uow.save_job(before, after)
    what = f"job {job}: {fact_words(new)}"
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job), then=tuple(_after(after, new)))


def agreed(
    uow: UnitOfWork,
    catalogue: Catalogue,
    now: datetime,
    job: int,
    what: str,
    amount: str = "",
    *,
    on: str = "",
    by: str = "",
    only_asked: bool = False,
) -> Done:
    """Record a change order: agreed on a day (default: today) by somebody, or `only_asked` and not agreed yet.

    An amount below zero (``-120``, ``($120)``) is a credit to the customer. One that was asked before is agreed by its
    words; its amount may be left away then.

    Raises:
        Refused: unknown job, no words, no amount, a day to come, agreed already, or agreed before it was asked.
    """
    before = uow.job(job)
    words, who = read_line(what, "the change order"), read_line(by, "who agreed")
    day = _day(before, on, now)
    known = _known_order(before, words)
    if known is not None and known.minutes and not who and not only_asked:
        raise Refused(f"{quoted(known.what)}: say who agreed with --by NAME; its work opens by that.")
    if known is not None and known.agreed is not None:
        raise Refused(
            f"job {job}: {quoted(known.what)} was agreed {day_words(known.agreed)} already; "
            "more of it is a change order of its own, in other words."
        )
    if known is not None and only_asked and not known.drafted:
        raise Refused(
            f"job {job}: {quoted(known.what)} was asked {day_words(known.asked)} already, and is not agreed yet."
        )
    if only_asked and who:
        raise Refused("who agreed is said when it is agreed: leave --by away with --asked.")
    new = _change_order(known, words, amount, day, who, only_asked=only_asked)
    if known is None:
        orders = (*before.change_orders, new)
    else:
        orders = tuple(new if one is known else one for one in before.change_orders)
    after = replace(before, change_orders=orders)
    # What its work needs where something was found is held no longer than to the customer's yes.
    uow.save_job(before, held_anew(after, catalogue) if new.minutes and new.agreed is not None else after)
    sentence = f"job {job}: change order {_order_words(new)}"
    if known is not None and known.cents != new.cents:
        was = _order_amount(known.cents) if known.cents or not known.drafted else "no price"
        sentence += f"; {was} was {'drafted' if known.drafted else 'asked'}"
    then = ("Not agreed yet: it stands on the waiting list as the customer's choice.",) if only_asked else ()
    if not only_asked and not who:
        then = ("Who agreed is not recorded: --by says it.",)
    return Done(sentence=upper(sentence) + ".", change=uow.commit(sentence, at=now, job=job), then=then)


def _change_order(
    known: ChangeOrder | None, words: str, amount: str, day: date, by: str, *, only_asked: bool
) -> ChangeOrder:
    if known is None and not amount.strip():
        raise Refused(f"{quoted(words)}: say the amount, 0 where it costs nothing.")
    if known is not None and known.drafted and not known.cents and not amount.strip():
        raise Refused(f"{quoted(known.what)} was drafted without a price: say the amount, 0 where it costs nothing.")
    cents = read_credit(amount) if amount.strip() else known.cents if known else 0
    if known is None:
        return ChangeOrder(what=words, cents=cents, asked=day, agreed=None if only_asked else day, by=by)
    if only_asked:
        return replace(known, cents=cents, asked=day, drafted=False, declined=None)
    if day < known.asked:
        raise Refused(
            f"{quoted(known.what)} was asked {day_words(known.asked)}: it cannot be agreed before that, {day_words(day, known.asked)}."
        )
    return replace(known, cents=cents, agreed=day, by=by, drafted=False, declined=None)


def declined(uow: UnitOfWork, now: datetime, job: int, what: str, *, on: str = "", by: str = "") -> Done:
    """Record that the customer said no to a change order that was drafted or asked.

    Raises:
        Refused: unknown job, no such change order, agreed or declined already, nobody named, or a day to come or before it was asked.
    """
    before = uow.job(job)
    words, who, day = read_line(what, "the change order"), read_line(by, "who said no"), _day(before, on, now)
    known = _known_order(before, words)
    if known is None:
        raise Refused(f"job {job}: there is no change order {quoted(words)}: only what was asked can be declined.")
    if known.agreed is not None:
        raise Refused(f"job {job}: {quoted(known.what)} was agreed {day_words(known.agreed)} already.")
    if known.declined is not None:
        raise Refused(f"job {job}: {quoted(known.what)} was declined {day_words(known.declined)} already.")
    if not who:
        raise Refused(f"{quoted(known.what)}: say who said no with --by NAME.")
    if day < known.asked:
        raise Refused(
            f"{quoted(known.what)} was asked {day_words(known.asked)}: it cannot be declined before that, {day_words(day, known.asked)}."
        )
    new = replace(known, declined=day, by=who, drafted=False)
    uow.save_job(
        before, replace(before, change_orders=tuple(new if one is known else one for one in before.change_orders))
    )
    sentence = f"job {job}: change order {_order_words(new)}"
    then = (
        ("Its work stays on hold; what was found is still there: the lead decides on the way on.",)
        if known.minutes
        else ()
    )
    return Done(sentence=upper(sentence) + ".", change=uow.commit(sentence, at=now, job=job), then=then)


def _known_order(record: JobRecord, words: str) -> ChangeOrder | None:
    """Return the change order of these words; where there is none, the one that is not agreed yet whose work they name.

    Raises:
        Refused: the work of several is meant.
    """
    plain = words.casefold()
    exact = next((one for one in record.change_orders if one.what.casefold() == plain), None)
    if exact is not None:
        return exact
    meant = [
        one
        for one in record.change_orders
        if one.minutes and one.agreed is None and one.what.casefold().endswith(f": {plain}")
    ]
    if len(meant) > 1:
        raise Refused(f"{quoted(words)} may be {listed([quoted(one.what) for one in meant])}: say which.")
    return meant[0] if meant else None


def money_lines(record: JobRecord) -> tuple[str, ...]:
    """Return the facts of money of a job as lines, in the order they were recorded."""
    return tuple(upper(fact_words(fact)) for fact in record.money)


def change_order_lines(record: JobRecord) -> tuple[str, ...]:
    """Return the change orders of a job as lines, and what those agreed come to."""
    lines = [upper(_order_words(order)) for order in record.change_orders]
    agreed_to = [order.cents for order in record.change_orders if order.agreed is not None]
    if len(agreed_to) > 1:
        lines.append(f"Agreed together: {money_words(sum(agreed_to))}")
    return tuple(lines)


def money_rows(record: JobRecord, now: datetime) -> Iterator[WaitRow]:
    """Yield what a job waits for in money's matters: a balance asked long ago, change orders not agreed."""
    today = to_wall(record.job.site.zone, now).date()
    owed = owed_since(record)
    if owed is not None and today > owed.day + timedelta(days=OWED_DAYS):
        asked, received = _balance(record) or (owed.cents, 0)
        what = f"{money_words(asked - received)} of {money_words(asked)}" if received else money_words(asked)
        came = f"{money_words(received)} received" if received else "not received"
        yield _row(
            record,
            f"Balance, {what if asked else 'amount not noted'}",
            WaitState.LATE,
            owed.day,
            f"call {record.job.customer.name}: asked {day_words(owed.day)}, {came}",
        )
    if record.job.state is not JobState.BOOKED:
        return
    for order in record.change_orders:
        if order.drafted:
            yield _row(
                record,
                f"Customer's choice: {order.what}, {_order_amount(order.cents) if order.cents else 'no price yet'}",
                WaitState.TO_ASK,
                order.asked,
                f"ask {record.job.customer.name}: drafted {day_words(order.asked)}, not asked yet",
            )
        elif order.agreed is None and order.declined is None:
            yield _row(
                record,
                f"Customer's choice: {order.what}, {_order_amount(order.cents)}",
                WaitState.ASKED,
                order.asked,
                f"call {record.job.customer.name}: asked {day_words(order.asked)}, not agreed yet",
            )


def owed_at_end(record: JobRecord) -> Iterator[str]:
    """Yield that a balance was asked and is not recorded as received, where a job is done or closed."""
    owed = owed_since(record)
    if owed is not None:
        asked, received = _balance(record) or (owed.cents, 0)
        amount = f", {money_words(asked - received)}," if asked else ""
        yield (
            f"The balance asked {day_words(owed.day)}{amount} is not recorded as received: "
            f"`crewjobs money {record.job.number} received` records it; from {OWED_DAYS} days after the asking on it stands on the waiting list."
        )


def owed_since(record: JobRecord) -> MoneyFact | None:
    """Return the last balance asked if not all that was asked was received, else None.

    Where an amount was not noted, anything received on the day of the last asking or later settles it.
    """
    asked = max((fact for fact in record.money if fact.fact is Money.ASKED), key=lambda fact: fact.day, default=None)
    sums = _balance(record)
    if sums is not None:
        return asked if sums[1] < sums[0] else None
    if asked is None or any(fact.fact is Money.RECEIVED and fact.day >= asked.day for fact in record.money):
        return None
    return asked


def _balance(record: JobRecord) -> tuple[int, int] | None:
    """Return the cents asked and received of the balance; None where nothing was asked or an amount was not noted."""
    asked = [fact.cents for fact in record.money if fact.fact is Money.ASKED]
    received = [fact.cents for fact in record.money if fact.fact is Money.RECEIVED]
    if not asked or not all((*asked, *received)):
        return None
    return sum(asked), sum(received)


def fact_words(fact: MoneyFact) -> str:
    """Return a fact as ``deposit in, $1,250.00, Mon 2 Mar``."""
    amount = money_words(fact.cents) if fact.cents else "amount not noted"
    return f"{fact.fact}, {amount}, {day_words(fact.day)}"


def _order_words(order: ChangeOrder) -> str:
    """Return a change order in words; what it is for stands whole: two agreements may differ in their last words only."""
    hours = f"{order.minutes / 60:g} h of one person, " if order.minutes else ""
    what = quoted(order.what, most=len(order.what))
    if order.drafted:
        price = _order_amount(order.cents) if order.cents else "no price yet"
        return f"{what}, {hours}{price}, drafted {day_words(order.asked)}, not asked yet"
    words = f"{what}, {hours}{_order_amount(order.cents)}, asked {day_words(order.asked)}"
    if order.declined is not None:
        return words + f", declined {day_words(order.declined)}" + (f" by {order.by}" if order.by else "")
    if order.agreed is None:
        return words + ", not agreed yet"
    return words + f", agreed {day_words(order.agreed)}" + (f" by {order.by}" if order.by else "")


def _order_amount(cents: int) -> str:
    """Return a change order's amount: ``$300.00``, ``credit $120.00``."""
    return f"credit {money_words(-cents)}" if cents < 0 else money_words(cents)


def _row(record: JobRecord, what: str, state: WaitState, since: date, call: str) -> WaitRow:
    zone = record.job.site.zone
    return WaitRow(
        job=record.job.number,
        title=record.job.title,
        what=what,
        state=state,
        since=to_wall(zone, to_utc(zone, since, 0)),
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds="",
        call=call,
        whom=record.job.customer.name,
        day_only=True,
    )


def _after(record: JobRecord, new: MoneyFact) -> Iterator[str]:
    kind, sums = new.fact, _balance(record)
    if not new.cents:
        yield "The amount is not noted."
    if kind is Money.RECEIVED and not any(fact.fact is Money.ASKED for fact in record.money):
        yield f"No balance was recorded as asked: `crewjobs money {record.job.number} asked` if it was."
    if kind is not Money.DEPOSIT and sums is not None and sums[1]:
        asked, received = sums
        of = f"{money_words(received)} received of {money_words(asked)} asked"
        if received > asked:
            yield f"{of}: {money_words(received - asked)} more than was asked; look at the amounts."
        elif received < asked:
            yield f"{of}: {money_words(asked - received)} still open."
    if kind is Money.DEPOSIT:
        lines = [(line.material, line) for line in record.job.orders] + [(line.name, line) for line in record.job.goods]
        for name, line in lines:
            if line.special and line.ordered is None:
                yield f"The special order of {name} may be placed now" + (
                    f", {line.supplier}." if line.supplier else "."
                )


def _fact(word: str) -> Money:
    fact = FACTS.get(word.strip().casefold())
    if fact is None:
        raise Refused(f"{quoted(word)} is no fact of money: it is one of {', '.join(FACTS)}.")
    return fact


def _day(record: JobRecord, text: str, now: datetime) -> date:
    today = to_wall(record.job.site.zone, now).date()
    day = read_gone_day(text, today)
    if day > today:
        raise Refused(f"{dated_words(day)} has not come yet: only what has happened is recorded.")
    return day
