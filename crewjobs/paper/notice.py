"""The notice to a customer: what to clear, which days, what is out of use, what may be walked on, what could change.

It leaves the shop. So its values have no field for entry notes, for anybody's phone or mail but the shop's own, for
reasons of the plan (which may name another house) or for anything of another customer: what cannot be said here cannot
leak from here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time
from typing import Final

from crewjobs.paper import wording as say
from crewjobs.paper.directions import whole
from crewjobs.paper.document import Block, Document, Entry, Say, entries, section
from crewjobs.paper.model import PaperSize, Sheet

DONE: Final = "Our work at your house is done."
PUNCH: Final = "Left to do, as we walked through it with you"
NO_DAYS: Final = "No day is planned yet. We tell you as soon as one is."
EMPTIED: Final = "You told us these rooms are emptied; please keep them so"
OWN_DAYS: Final = "Please have ready, each by its own day"
KEPT: Final = "You told us it is ready; please keep it so"
WITH_YOU: Final = "We walk through it with you: please be there."
BY_THE_CLOCK: Final = (
    "Times after which a floor may be used are by the clock: the crew looks and touches first, and the product's own "
    "sheet decides. Until the crew says so, please do not step on it or put anything on it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToClear:
    """A room the customer clears by the evening of a day (None: before the crew comes); `we_move` is what the crew carries."""

    room: str
    by: date | None
    we_move: tuple[str, ...] = ()
    cartons: date | None = None
    """The day its material is carried in, where that is why it is cleared by then."""
    found: str = ""
    """That something was found there, where it holds the work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeDay:
    """A day somebody comes: from about when to about when, for what; `with_you`: the customer walks through it with them.

    `looks` is what a small visit is about, where its name does not say it; `hangs` that it comes only if something is settled.
    """

    day: date
    start: time
    end: time
    what: str
    with_you: bool = False
    looks: str = ""
    hangs: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfUse:
    """A room that cannot be used: from when (empty: it is so now), until when it may be walked on and furnished, in words."""

    room: str
    out: str
    walk: str
    furnish: str
    found: str = ""
    """That something was found there, where it holds the work, and that its days hang on what was found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsMeanwhile:
    """A place where furniture or cartons are put for a time: what, from when to when, a line each."""

    place: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FixtureOut:
    """What is taken out and put back: from when to when, and what is used `meanwhile`."""

    what: str
    room: str
    out: str
    back: str
    meanwhile: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerNotice:
    """What one customer needs to know of the plan as it is today. Times are the site's wall clock, finished words."""

    shop_name: str
    shop_phone: str
    customer: str
    address: str
    job: int
    as_planned: date
    sheet: Sheet
    paper: PaperSize
    finish: date | None
    finish_hangs: str = ""
    """On what that day hangs: "if what was found is settled by then"."""
    told: date | None = None
    """The finish they were told before, where it is another day."""
    told_off: bool = False
    """What they were told before is that nobody comes."""
    told_none: bool = False
    """What they were told before is that no day is known."""
    days: tuple[NoticeDay, ...] = ()
    no_day: str = ""
    """That the floor itself, or the rest of it, has no day yet, and why."""
    finished: bool = False
    """All tasks are done."""
    punch: tuple[str, ...] = ()
    """What was left to do at the last walk-through after the work."""
    clear: tuple[ToClear, ...] = ()
    to_clear: tuple[str, ...] = ()
    """What is cleared out of each of these rooms."""
    out: tuple[OutOfUse, ...] = ()
    stands: tuple[StandsMeanwhile, ...] = ()
    """Where furniture and cartons are put meanwhile."""
    toilets: tuple[FixtureOut, ...] = ()
    fixtures: tuple[FixtureOut, ...] = ()
    """What else is out: ranges, washers, sinks."""
    ready: tuple[str, ...] = ()
    """What must be there: heat, power, access."""
    ready_own: tuple[str, ...] = ()
    """What must be there by a day of its own, each with it."""
    kept: tuple[str, ...] = ()
    """What the customer answered yes to: it is not asked for again."""
    emptied: bool = False
    """They answered that the rooms are emptied."""
    ready_by: date | None = None
    comes: tuple[str, ...] = ()
    """Deliveries as they are promised."""
    changes: tuple[str, ...] = ()
    """What could change a day."""
    cautions: tuple[str, ...] = ()
    house: tuple[str, ...] = ()
    """How the day goes with the house: pets, parking, the elevator."""


def notice_document(notice: CustomerNotice) -> Document:
    """Return the notice as a page."""
    return Document(
        title=f"Your floor: {notice.shop_name}",
        aside=f"Job {notice.job}",
        under=(
            f"For {whole(notice.customer)}, {whole(notice.address)}",
            f"As planned today, {say.day_text(notice.as_planned, year=True)}.",
        ),
        blocks=tuple(_blocks(notice)),
        foot=say.sheet_of(notice.sheet.name, notice.sheet),
        newer=f"a newer notice counts; ask {say.visible(notice.shop_name)} {say.visible(notice.shop_phone)}".strip(),
        printed_at=notice.sheet.printed_at,
        paper=notice.paper,
        message=True,
    )


def _blocks(notice: CustomerNotice) -> Iterator[Block]:
    yield from section("When we come", tuple(_days(notice)))
    yield from section(PUNCH, entries(*(Entry(text=one) for one in notice.punch)))
    if notice.clear:
        cleared = entries(*(_clear(one, notice.as_planned, emptied=notice.emptied) for one in notice.clear))
        yield from section(EMPTIED if notice.emptied else "Please clear, in each room", cleared)
        yield Say(text=f"{'Emptied are' if notice.emptied else 'What to clear'}: {'; '.join(notice.to_clear)}.")
    by = ""
    if notice.ready_by is not None:
        by = f" by {say.day_text(notice.ready_by)}" if notice.ready_by >= notice.as_planned else " at once"
    yield from section(f"Please have ready{by}", entries(*(Entry(text=one, box=True) for one in notice.ready)))
    yield from section(OWN_DAYS, entries(*(Entry(text=one, box=True) for one in notice.ready_own)))
    yield from section(KEPT, entries(*(Entry(text=one) for one in notice.kept)))
    rooms = [*entries(*(_out(one) for one in notice.out))]
    if notice.out:
        rooms.append(Say(text=BY_THE_CLOCK))
    yield from section("Rooms out of use", rooms)
    stands = (Entry(lead=one.place, text=one.lines[0], notes=one.lines[1:]) for one in notice.stands)
    yield from section("What stands where meanwhile", entries(*stands))
    yield from section("Toilet", entries(*(_fixture(one) for one in notice.toilets)))
    yield from section("Taken out and put back", entries(*(_fixture(one) for one in notice.fixtures)))
    yield from section("Comes to your house", entries(*(Entry(text=one) for one in notice.comes)))
    yield from section("At your house", entries(*(Entry(text=one) for one in notice.house)))
    yield from section("Please mind", entries(*(Entry(text=one, tag="!") for one in notice.cautions)))
    yield from section("What could change", entries(*(Entry(text=one) for one in notice.changes)))


def _days(notice: CustomerNotice) -> Iterator[Block]:
    if notice.finished:
        yield Say(text=DONE, strong=True)
    elif not notice.days and not notice.no_day:
        yield Say(text=NO_DAYS)
    yield from entries(*(_day(one) for one in notice.days))
    if notice.no_day:
        yield Say(text=notice.no_day, strong=True)
    if notice.finish is not None:
        hangs = f", {notice.finish_hangs}" if notice.finish_hangs else ""
        yield Say(text=f"Finished, as planned: {say.day_text(notice.finish)}{hangs}.", strong=True)
    if notice.told is not None:
        yield Say(text=f"Before, you were told {say.day_text(notice.told)}: this is newer.")
    elif notice.told_off:
        yield Say(text="Before, you were told that your floor is called off: this is newer.")
    elif notice.told_none:
        yield Say(text="Before, you were told that no day is known: this is newer.")


def _day(one: NoticeDay) -> Entry:
    when = f"{say.day_text(one.day)} {say.between(one.start, one.end)}"
    notes = (one.hangs, one.looks, WITH_YOU if one.with_you else "")
    return Entry(lead=when, text=one.what, notes=tuple(filter(None, notes)))


def _clear(one: ToClear, today: date, *, emptied: bool) -> Entry:
    by = "emptied of what is yours" if emptied else "before we come"
    if one.by is not None and not emptied:
        by = f"by the evening of {say.day_text(one.by)}" if one.by >= today else "at once, before we begin there"
    we = (f"We carry: {', '.join(one.we_move)}.",) if one.we_move else ()
    carried = (f"Its material is carried in on {say.day_text(one.cartons)}.",) if one.cartons else ()
    found = (one.found,) if one.found else ()
    return Entry(lead=one.room, box=not emptied, text=by, notes=(*found, *carried, *we))


def _out(one: OutOfUse) -> Entry:
    return Entry(lead=one.room, text=one.out, notes=tuple(text for text in (one.found, one.walk, one.furnish) if text))


def _fixture(one: FixtureOut) -> Entry:
    notes = (one.meanwhile,) if one.meanwhile else ()
    return Entry(lead=one.room, text=f"{one.what} out {one.out}, back {one.back}", notes=notes)
