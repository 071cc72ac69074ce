"""The shopping list: what is still to be bought, by supplier and by the day it must be in the house; then what is on its way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from crewjobs.paper import wording as say
from crewjobs.paper.document import Block, Document, Entry, Say, entries, section
from crewjobs.paper.model import PaperSize, Sheet

NOTHING: Final = "Nothing is to be bought for these jobs, by what is recorded."
NO_JOB: Final = "No job is on this list: by the plan, none of these is worked then or by that crew."
NO_BOOKED: Final = "No job is on this list: none is booked."
SHORT: Final = "Ordered, and less than by area"
NO_SUPPLIER: Final = "No supplier named"
DELIVERY: Final = (
    "The day in the house is the plan's. The day to order is only how long a supplier took before: ask them."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBuy:
    """One thing to buy for a job: `amount` with its unit, `why` how that was counted, `by` when it must be in the house."""

    job: int
    what: str
    amount: str
    why: str
    by: date | None
    by_why: str = ""
    """On what the day stands, such as "acclimation before rows are laid"."""
    supplier: str = ""
    order_by: date | None = None
    """When to order it, by how long this supplier took before; None where too little is known or no day is."""
    order_why: str = ""
    hold: str = ""
    """Why it is not ordered yet, such as the deposit that is not in."""
    reserve: str = ""
    """Of which lot it may be, where what is here carries all that is laid; such a reserve has no day to be there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortByArea:
    """An order that falls short of what area alone comes to: `ordered` in words, `needed` a number with `how` it was found."""

    job: int
    what: str
    ordered: str
    needed: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OnItsWay:
    """What is ordered and has not come."""

    job: int
    what: str
    amount: str
    due: str
    supplier: str = ""
    late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyNeed:
    """A supply used up in the houses, counted over all jobs of the list, with the rule it is counted by.

    `lines` are a job's share each with what it is counted of, where jobs are counted of different things.
    """

    what: str
    amount: str
    rule: str
    jobs: tuple[int, ...]
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoppingList:
    """The list for some jobs; `whose` says which."""

    shop_name: str
    shop_phone: str
    sheet: Sheet
    paper: PaperSize
    whose: str
    buy: tuple[ToBuy, ...]
    stock: tuple[ToBuy, ...]
    """Goods without an order line: from the shop's stock, else bought."""
    supplies: tuple[SupplyNeed, ...]
    on_its_way: tuple[OnItsWay, ...]
    short: tuple[ShortByArea, ...] = ()
    """Floors that are not laid out yet, ordered for less than area and the usual waste."""
    notes: tuple[str, ...] = ()
    without: str = ""
    """Why no job is on it; empty where one is."""


def shopping_document(page: ShoppingList) -> Document:
    """Return the list as a page."""
    return Document(
        title="Shopping list",
        aside=page.whose,
        under=(page.shop_name,) if page.shop_name else (),
        blocks=tuple(_blocks(page)),
        foot=say.sheet_of(page.sheet.name, page.sheet),
        newer=say.newer_words(page.shop_name, page.shop_phone),
        printed_at=page.sheet.printed_at,
        paper=page.paper,
    )


def _blocks(page: ShoppingList) -> Iterator[Block]:
    today = page.sheet.printed_at.date()
    for note in page.notes:
        yield Say(text=note)
    if not (page.buy or page.short or page.stock or page.supplies):
        yield Say(text=page.without or NOTHING, strong=True)
    for supplier in dict.fromkeys(one.supplier for one in page.buy):
        lines = [one for one in page.buy if one.supplier == supplier]
        yield from section(f"To order: {supplier or NO_SUPPLIER}", entries(*(_buy(one, today) for one in lines)))
    yield from section(SHORT, entries(*(_short(one) for one in page.short)))
    if any(one.by for one in (*page.buy, *page.stock)):
        yield Say(text=DELIVERY)
    yield from section("From stock, else to buy: no order line", entries(*(_buy(one, today) for one in page.stock)))
    yield from section("Used up", entries(*(_supply(one) for one in page.supplies)))
    yield from section("On its way: nothing to buy", entries(*(_way(one) for one in page.on_its_way)))


def _buy(one: ToBuy, today: date) -> Entry:
    if one.reserve:
        return Entry(lead=one.amount, box=True, text=f"{one.what}, job {one.job}", notes=(one.reserve, one.why))
    if one.by is not None and one.by <= today:
        by = f"at once: its day was {say.day_text(one.by)}" if one.by < today else "in the house today"
    else:
        by = f"in the house by {say.day_text(one.by)}" if one.by else "no day planned"
    reason = f" ({one.by_why})" if one.by_why else ""
    order = ""
    if one.order_by is not None:
        when = f"by {say.day_text(one.order_by)}" if one.order_by > today else "at once"
        order = f"order {when}: {one.order_why}"
    notes = tuple(
        text for text in ("; ".join(part for part in (f"{by}{reason}", one.why) if part), order, one.hold) if text
    )
    return Entry(lead=one.amount, box=True, text=f"{one.what}, job {one.job}", notes=notes)


def _short(one: ShortByArea) -> Entry:
    return Entry(
        box=True,
        text=f"{one.what}, job {one.job}: {one.ordered}, about {one.needed} {one.how}: lay it out",
    )


def _supply(one: SupplyNeed) -> Entry:
    jobs = ", ".join(str(job) for job in one.jobs)
    return Entry(
        lead=one.amount,
        box=True,
        text=f"{one.what}, {'job' if len(one.jobs) == 1 else 'jobs'} {jobs}",
        notes=(one.rule, *one.lines),
    )


def _way(one: OnItsWay) -> Entry:
    source = f" from {one.supplier}" if one.supplier else ""
    return Entry(lead=one.amount, tag="late" if one.late else "", text=f"{one.what}, job {one.job}{source}: {one.due}")
