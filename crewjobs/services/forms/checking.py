"""Checking a form: its tables go through the very reader of the files, and each fault goes back to its field."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.files.faults import Fault, Misread
from crewjobs.services.forms.cards import LEAD_CARD, old_house
from crewjobs.services.forms.draft import Draft, Said, Tables
from crewjobs.services.forms.fields import REST, Entry

if TYPE_CHECKING:
    from crewjobs.domain.job import Job
    from crewjobs.domain.units import UnitSystem
    from crewjobs.files.shop_file import ShopFile

SOURCE: Final = "the form"


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What is wrong in a form, and what is worth knowing while it is filled in."""

    faults: tuple[Said, ...] = ()
    remarks: tuple[Said, ...] = ()


def check_job(draft: Draft, today: date, cards: frozenset[str] | None = None) -> Checked:
    """Check a job's form as `load` checks its file; remarked are the cartons its rooms take, and a card that is missing.

    `cards` are those that somebody of the shop holds; None where that is not known.
    """
    raw, said = draft.tables(today)
    remarks = (*_old_paint(draft, cards), *_cartons(draft, raw), *_no_day(draft), *_sizes(draft, raw))
    faults = (*said, *_unless(draft, said, lambda: job_of(raw, draft.zone)))
    return Checked(faults=(*faults, *_widths(draft, faults)), remarks=remarks)


def check_shop(draft: Draft, today: date) -> Checked:
    """Check a shop's form as `load` checks its file."""
    raw, said = draft.tables(today)
    return Checked(faults=(*said, *_unless(draft, said, lambda: shop_of(raw))), remarks=tuple(_holidays(draft, raw)))


def job_of(raw: Tables, zone: str) -> Job:
    """Return the job of a form's tables.

    Raises:
        Misread: with every fault.
    """
    from crewjobs.files.job_file import job_of_tables

    return job_of_tables(deepcopy(raw), SOURCE, zone)


def shop_of(raw: Tables) -> ShopFile:
    """Return the shop of a form's tables.

    Raises:
        Refused: with every fault; a `Misread` where each has its place.
    """
    from crewjobs.files.shop_file import shop_of_tables

    found = shop_of_tables(deepcopy(raw), SOURCE)
    if not found.shop.crews:
        raise Refused("a shop without a crew plans nothing: add one.")
    return found


def _unless(draft: Draft, said: tuple[Said, ...], read: Callable[[], object]) -> Iterator[Said]:
    """Yield the faults of reading, each at its field, but for fields that could not even be read."""
    try:
        read()
    except Misread as refused:
        known = {(one.part, one.key) for one in said}
        for fault in refused.faults:
            placed = _placed(draft, fault)
            if (placed.part, placed.key) not in known or not placed.key:
                yield placed
    except Refused as refused:
        yield from (Said(part=-1, key="", words=sentence) for sentence in refused.sentences)


def _placed(draft: Draft, fault: Fault) -> Said:
    place, key = draft.place_of(fault.path)
    if place < 0:
        place = draft.named_in(fault.words)
    words = _plainly(fault.words)
    if place >= 0 and key and key != REST:
        part = draft.parts[place]
        entry = part.page.entry(key)
        if not part.texts[key].strip() and fault.words.startswith(("missing", "it is empty")):
            words = _needed(entry, draft.units)
    return Said(part=place, key=key, words=words[:1].upper() + words[1:])


def _plainly(words: str) -> str:
    """Return a reader's sentence as it is meant in a form, where nothing is put in quotes or brackets."""
    words = re.sub(r": put it in quotes with its unit, such as", ": write it with its unit, such as", words)
    words = re.sub(r"write it in quotes with its unit", "write it with its unit", words)
    return words.replace(" in quotes, such as", ", such as").replace(
        "add a [[room]] with name, length and width", "add a room"
    )


def _holidays(draft: Draft, raw: Tables) -> Iterator[Said]:
    """Yield which days a region's holidays are: not every shop keeps all of them."""
    for place, part in enumerate(draft.parts):
        text, days = part.texts.get("shop.holidays", ""), raw.get("shop", {}).get("holidays")
        if days and re.search(r"[A-Z]{2}", text):
            told = ", ".join(f"{day:%Y-%m-%d}" if isinstance(day, date) else str(day) for day in days)
            yield Said(
                part=place, key="shop.holidays", words=f"These days: {told}. Write the days instead to leave some out."
            )


def _widths(draft: Draft, faults: tuple[Said, ...]) -> Iterator[Said]:
    """Yield that a room's width is needed, where its length is too: the reader says the first that is missing."""
    for place, part in enumerate(draft.parts):
        if part.page.kind == "room" and not part.texts["width"].strip() and not part.texts["length"].strip():
            mine = {one.key for one in faults if one.part == place}
            if "length" in mine and "width" not in mine:
                yield Said(part=place, key="width", words=_needed(part.page.entry("width"), draft.units))


def _needed(entry: Entry, units: UnitSystem) -> str:
    example = entry.example(units)
    return f"It is needed, such as {example}." if example else "It is needed."


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


def _sizes(draft: Draft, raw: Tables) -> Iterator[Said]:
    """Yield, beside the furniture, of which piece no size is known, and as what it is taken; nothing before it can be read."""
    from crewjobs.services.moving.furnishing import taken_as

    rooms = [(place, part) for place, part in enumerate(draft.parts) if part.page.kind == "room"]
    if not any(part.texts["furniture"].strip() for _, part in rooms):
        return
    try:
        job = job_of({key: value for key, value in raw.items() if key not in ("order", "work")}, draft.zone)
    except Refused:
        return
    found = {room.name: room.furniture for room in job.rooms}
    for place, part in rooms:
        for words in taken_as(found.get(part.name, ())):
            yield Said(part=place, key="furniture", words=words)


def _cartons(draft: Draft, raw: Tables) -> Iterator[Said]:
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

    record = JobRecord(job=replace(job, orders=(), goods=()))
    for place, part in orders:
        material = next((one for one in job.materials if one.name == part.texts["material"]), None)
        if material is not None and any(room.floor == material.name for room in job.rooms):
            words = f"The rooms take {needed(record, material).how}."
            yield Said(part=place, key="feet" if material.is_sheet else "cartons", words=words)
