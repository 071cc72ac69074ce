"""What is worth knowing while a form is filled in: said below its field, and in nobody's way."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.floor_layout import FloorLayout
from crewjobs.domain.job import LIVE
from crewjobs.domain.reach import supposed_steps, unreached
from crewjobs.domain.units import FOOT, INCH, MILLIMETRE, UnitSystem, format_length, parse_length
from crewjobs.domain.wording import dated_words
from crewjobs.services.clock import read_day, read_gone_day
from crewjobs.services.forms.cards import LEAD_CARD, old_house
from crewjobs.services.forms.draft import Draft, Part, Said, Tables, sections_of
from crewjobs.services.forms.reading import job_of
from crewjobs.services.forms.texts import Kind

_NARROW: Final[dict[UnitSystem, int]] = {"us": 16 * INCH, "metric": 400 * MILLIMETRE}
"""A clear width below which a doorway may be a slip of the finger: common practice, no source."""
_LONG: Final[dict[UnitSystem, int]] = {"us": 100 * FOOT, "metric": 30_000 * MILLIMETRE}
"""A side of a room above which it may be one: common practice, no source."""
_FAR_MORE: Final = 1.5
"""So many times what the rooms take are far more: common practice, no source."""
_DIGITS: Final = 7
"""So many digits are no count of cartons; said as a fault."""
_IN_WORDS: Final = re.compile(r"[A-Za-z]+")


def remarks_on_job(
    draft: Draft, raw: Tables, today: date, cards: frozenset[str] | None, layouts: tuple[FloorLayout, ...]
) -> Iterator[Said]:
    """Yield what is worth knowing of a job's form; `cards` are those somebody holds, None where that is not known."""
    yield from _old_paint(draft, cards)
    yield from _cartons(draft, raw, layouts)
    yield from _no_day(draft)
    yield from _only_toilet(draft)
    yield from _furniture(draft)
    yield from _ways(draft, raw)
    yield from _days_meant(draft, today)
    yield from _past(draft, today)
    yield from _sizes(draft)
    yield from _laid_nowhere(draft)


def remarks_on_shop(draft: Draft, raw: Tables, today: date) -> Iterator[Said]:
    """Yield what is worth knowing of a shop's form."""
    yield from _holidays(draft, raw, today)
    yield from _days_meant(draft, today)


def _holidays(draft: Draft, raw: Tables, today: date) -> Iterator[Said]:
    """Yield which days a region's holidays are: not every shop keeps all of them, and they are kept as days."""
    for place, part in enumerate(draft.parts):
        text, days = part.texts.get("shop.holidays", ""), raw.get("shop", {}).get("holidays")
        if days and re.search(r"[A-Z]{2}", text):
            told = ", ".join(f"{day:%Y-%m-%d}" if isinstance(day, date) else str(day) for day in days)
            yield Said(
                part=place,
                key="shop.holidays",
                words=f"These days, to the end of {today.year + 1}; write it again then: {told}. Write the days instead to leave some out.",
            )


def _days_meant(draft: Draft, today: date) -> Iterator[Said]:
    """Yield which day a weekday is, where one was typed: the next one that comes, perhaps today; of what has come, the last one."""
    for place, part in enumerate(draft.parts):
        for entry in part.shown():
            words = part.texts[entry.key].strip()
            if entry.kind is Kind.MOMENT:
                words = words.rpartition(" ")[0].strip()
            gone = entry.kind is Kind.GONE_DAY
            if (
                not (gone or entry.kind in (Kind.DAY, Kind.MOMENT))
                or not _IN_WORDS.fullmatch(words)
                or words.lower() == "today"
            ):
                continue
            try:
                day = read_gone_day(words, today) if gone else read_day(words, today)
            except Refused:  # said as a fault
                continue
            later = (
                f"today; a week later is {dated_words(day + timedelta(days=7))}" if day == today and not gone else ""
            )
            yield Said(part=place, key=entry.key, words=f"{dated_words(day)}{f', {later}' if later else ''}.")


def _past(draft: Draft, today: date) -> Iterator[Said]:
    """Yield that a day was promised that is past."""
    for place, part in enumerate(draft.parts):
        text = part.texts.get("promised", "").strip()
        if not text or text == part.first.get("promised"):
            continue
        try:
            day = read_day(text, today)
        except Refused:
            continue
        if day < today:
            yield Said(part=place, key="promised", words=f"{dated_words(day)} is past: today is {dated_words(today)}.")


def _sizes(draft: Draft) -> Iterator[Said]:
    """Yield, beside a doorway's width and a room's sides, that they are such as few houses have."""
    units = draft.measured_in
    for place, part in enumerate(draft.parts):
        if part.page.kind == "opening" and (length := _length(part, "width")) and length < _NARROW[units]:
            least = format_length(_NARROW[units], units)
            yield Said(part=place, key="width", words=f"Less than {least} is narrow for a doorway: look at its digits.")
        elif part.page.kind == "room":
            for key in ("length", "width"):
                if (length := _length(part, key)) and length > _LONG[units]:
                    most = format_length(_LONG[units], units)
                    yield Said(part=place, key=key, words=f"More than {most} is long for a room: look at its digits.")


def _length(part: Part, key: str) -> int:
    """Return a length as typed; 0 for none, and for what is said as a fault."""
    try:
        return parse_length(part.texts[key])
    except Refused:
        return 0


def _laid_nowhere(draft: Draft) -> Iterator[Said]:
    """Yield, beside its name, that a floor is laid in no room and on no stairs."""
    laid = {part.texts["floor"] for kind in ("room", "stairs") for part in draft.of(kind)}
    for place, part in enumerate(draft.parts):
        if part.page.kind == "material" and part.name and part.name not in laid:
            yield Said(
                part=place, key="name", words="No room and no stairs get this floor: choose it there, at New floor."
            )


def _only_toilet(draft: Draft) -> Iterator[Said]:
    """Yield, beside its fixtures, that the only toilet listed comes out of a house somebody lives in."""
    house = draft.of("house")[0].texts
    if house["site.occupied"] != "yes" or house["site.toilet_meanwhile"].strip():
        return
    with_one = [part for part in draft.of("room") if re.search(r"\btoilet", part.texts["fixtures"])]
    if len(with_one) == 1 and with_one[0].texts["floor"]:
        yield Said(
            part=draft.parts.index(with_one[0]),
            key="fixtures",
            words="No other toilet is listed, and somebody lives there: over a night that its floor cures they need another. "
            "Write which at House, More, Toilet out; before that, no day is found for such a floor.",
        )


def _old_paint(draft: Draft, cards: frozenset[str] | None) -> Iterator[Said]:
    """Yield, beside the year, that nobody holds the card for old paint; nothing where no room's trim may be painted."""
    if cards is None or LEAD_CARD in cards:
        return
    rooms = draft.of("room")
    if rooms and all(part.texts["painted_trim"] == "no" for part in rooms) and not draft.of("stairs"):
        return
    for place, part in enumerate(draft.parts):
        if "site.year_built" in part.texts and (
            words := old_house(part.texts["site.year_built"], part.texts.get("site.zone", "").strip() or draft.zone)
        ):
            yield Said(part=place, key="site.year_built", words=words)


def _no_day(draft: Draft) -> Iterator[Said]:
    """Yield, beside the order of a floor that nobody knows the coming of, that nothing of it is planned till then."""
    for place, part in enumerate(draft.parts):
        if part.page.kind == "order" and not part.texts["due"].strip():
            yield Said(
                part=place,
                key="due",
                words="Empty: the floor gets no day and no day plan until it is said when it comes, or that it has come.",
            )


def _furniture(draft: Draft) -> Iterator[Said]:
    """Yield, beside the furniture, of which piece no size is known, and as what it is taken.

    Each room's by itself: while it is typed, much of the job is still to be written, and would have to be read for it.
    """
    from crewjobs.files.furniture_text import read_furniture
    from crewjobs.services.moving.furnishing import taken_as

    for place, part in enumerate(draft.parts):
        if part.page.kind != "room" or not part.texts["furniture"].strip():
            continue
        try:
            pieces = read_furniture(part.texts["furniture"], sections_of(part.texts))
        except Refused:  # said as a fault
            continue
        for words in taken_as(pieces, draft.measured_in):
            yield Said(part=place, key="furniture", words=words)


def _ways(draft: Draft, raw: Tables) -> Iterator[Said]:
    """Yield, beside rooms, that no way leads there from outside; where furniture is carried, beside doorways how many steps are taken."""
    try:
        job = job_of({key: value for key, value in raw.items() if key not in ("order", "work")}, draft.zone)
    except Refused:
        return
    from crewjobs.services.moving.furnished import furniture_moved

    shut = unreached(job) if job.state in LIVE else ()
    if shut and len(shut) == len(job.rooms):
        yield from _no_way_in(draft)
        shut = ()
    steps = {opening.name: supposed_steps(job, opening) for opening in job.openings if furniture_moved(job)}
    for place, part in enumerate(draft.parts):
        if part.page.kind == "room" and part.name in shut:
            words = "No doorway and no stairs lead here from outside: add a doorway, or stairs with the room below and above."
            yield Said(part=place, key="name", words=words)
        elif part.page.kind == "opening" and (count := steps.get(part.name)):
            words = f"From one storey to another: taken as stairs of {count} steps, unless Steps between says how many."
            yield Said(part=place, key="between.1", words=words)


def _no_way_in(draft: Draft) -> Iterator[Said]:
    """Yield once, at the first doorway or beside the first room where there is none, that nothing leads outside."""
    ends = [(place, "between.1") for place, part in enumerate(draft.parts) if part.page.kind == "opening"]
    names = [(place, "name") for place, part in enumerate(draft.parts) if part.page.kind == "room"]
    for place, key in [*ends, *names][:1]:
        yield Said(
            part=place, key=key, words="No doorway leads outside: add one from a room to outside, or nobody gets in."
        )


def _cartons(draft: Draft, raw: Tables, layouts: tuple[FloorLayout, ...]) -> Iterator[Said]:
    """Yield how many cartons the rooms take, beside each order of a floor; nothing before rooms and floor can be read."""
    orders = [(place, part) for place, part in enumerate(draft.parts) if part.page.kind == "order"]
    if not orders:
        return
    try:
        job = job_of({key: value for key, value in raw.items() if key not in ("order", "work")}, draft.zone)
    except Refused:
        return
    from crewjobs.domain.job import JobRecord
    from crewjobs.services.laying.needed import needed

    record = JobRecord(job=replace(job, orders=(), goods=()), layouts=layouts)
    floored = {room.floor for room in job.rooms} | {flight.floor for flight in job.stairs}
    for place, part in orders:
        material = next((one for one in job.materials if one.name == part.texts["material"]), None)
        if material is None or material.name not in floored:
            continue
        need = needed(record, material)
        key = "feet" if material.is_sheet else "cartons"
        words = f"The rooms take {need.how}."
        if not material.is_sheet and not need.laid_out:
            words += " Laid out plank by plank, once the job is made, it may be fewer."
        counts = [one.texts[key].strip() for _, one in orders if one.texts["material"] == material.name]
        if all(count.isdecimal() for count in counts) and len(part.texts[key].strip()) < _DIGITS:
            words += _beside(
                sum(map(int, counts)),
                need.count,
                material.counted,
                "" if material.is_sheet or need.laid_out else " by area",
            )
        yield Said(part=place, key=key, words=words)


def _beside(ordered: int, need: int, told: Callable[[int], str], by: str) -> str:
    """Return what is said of an order that is less, or far more, than what is taken."""
    if ordered < need:
        return f" Ordered are {told(ordered)}: {need - ordered} fewer{by}."
    return f" Ordered are {told(ordered)}: far more." if ordered > need * _FAR_MORE else ""
