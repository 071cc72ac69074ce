"""Checking a form: its tables go through the very reader of the files, and each fault goes back to its field."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import YEARS
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed
from crewjobs.files.faults import Fault, Misread
from crewjobs.services.forms.draft import Draft, Said
from crewjobs.services.forms.fields import REST, Entry
from crewjobs.services.forms.placing import mended_at, page_label, page_named
from crewjobs.services.forms.plainly import begun, plainly
from crewjobs.services.forms.reading import SOURCE, job_of, shop_of
from crewjobs.services.forms.remarks import remarks_on_job, remarks_on_shop

if TYPE_CHECKING:
    from crewjobs.domain.floor_layout import FloorLayout
    from crewjobs.domain.units import UnitSystem


_EXAMPLES: Final = (
    ("84 in x 36 in", "210 cm x 90 cm"),
    ("36 in x 12 in", "90 cm x 30 cm"),
    ("7 in x 48 in", "18 cm x 122 cm"),
    ("23.8 ft2 or 2.21 m2", "2.2 m2"),
    ("0, 0; 12', 0; 12', 9' 6; 0, 9' 6", "0, 0; 3.6 m, 0; 3.6 m, 2.9 m; 0, 2.9 m"),
)
"""Examples of sentences as somebody writes them who measures in metres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What is wrong in a form, and what is worth knowing while it is filled in."""

    faults: tuple[Said, ...] = ()
    remarks: tuple[Said, ...] = ()


def check_job(
    draft: Draft, today: date, cards: frozenset[str] | None = None, layouts: tuple[FloorLayout, ...] = ()
) -> Checked:
    """Check a job's form as `load` checks its file; remarked are the cartons its rooms take, and a card that is missing.

    `cards` are those that somebody of the shop holds; None where that is not known. `layouts` are those kept of the job.
    """
    raw, said = draft.tables(today)
    said = tuple(_told(draft, one) for one in said)
    remarks = tuple(remarks_on_job(draft, raw, today, cards, layouts))
    faults = tuple(_gathered([*said, *_unless(draft, said, lambda: job_of(raw, draft.zone))]))
    return Checked(faults=(*faults, *_widths(draft, faults), *_years(draft, today)), remarks=remarks)


def check_shop(draft: Draft, today: date) -> Checked:
    """Check a shop's form as `load` checks its file."""
    raw, said = draft.tables(today)
    said = tuple(replace(one, words=plainly(one.words)) for one in said)
    return Checked(
        faults=(*said, *_unless(draft, said, lambda: shop_of(raw))), remarks=tuple(remarks_on_shop(draft, raw, today))
    )


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
        for sentence in refused.sentences:
            words = sentence.removeprefix(f"{SOURCE}: ")
            yield _placed(draft, Fault(words=words, sentence=words))


def _placed(draft: Draft, fault: Fault) -> Said:
    place, key = draft.place_of(fault.path)
    if place < 0:
        place = page_named(draft, fault.words)
    if place >= 0 and not key:
        key = mended_at(draft.parts[place], fault.words)
    words = plainly(fault.words)
    if place >= 0 and key and key != REST:
        part = draft.parts[place]
        if fault.words.startswith("it is empty") and "between.1" in part.texts:
            key = next((end for end in ("between.0", "between.1") if not part.texts[end]), key)
        if fault.words.startswith("it belongs to goods") and "goods" in part.texts:
            key = "goods"
        words = words.removeprefix(f"{page_label(part)}: ")
        if not part.texts[key].strip() and _IS_EMPTY.match(words):
            words = _needed(part.page.entry(key), draft.units)
    return _told(draft, Said(part=place, key=key, words=begun(words)))


_IS_EMPTY: Final = re.compile(r"missing|it is empty|it belongs to goods|there is no room ''", re.IGNORECASE)
"""How it begins what is said of a field in which nothing stands."""


def _told(draft: Draft, said: Said) -> Said:
    """Return a fault in the units of the shop; what was typed stays as typed."""
    texts = draft.parts[said.part].texts.values() if said.part >= 0 else ()
    typed = [text.strip() for text in texts if len(text.strip()) > 1]
    words = plainly(said.words)
    if draft.measured_in == "metric":
        for ours, metric in _EXAMPLES:
            words = words.replace(ours, metric)
    return replace(said, words=told_in(words, draft.measured_in, [*typed, *map(quoted, typed)]))


_ONE_OF: Final = re.compile(r"('.*') is not known: it is one of (.*)\.", re.DOTALL)


def _gathered(faults: Sequence[Said]) -> Iterator[Said]:
    """Yield the faults, words of one field that are not known together: what it may be is listed once."""
    unknown: dict[tuple[int, str, str], list[str]] = {}
    faults = list(dict.fromkeys(faults))  # an end of a doorway left empty is missed twice
    for one in faults:
        if found := _ONE_OF.fullmatch(one.words):
            unknown.setdefault((one.part, one.key, found[2]), []).append(found[1])
    for one in faults:
        found = _ONE_OF.fullmatch(one.words)
        words = unknown.pop((one.part, one.key, found[2]), []) if found else []
        if found is None or len(words) == 1:
            yield one
        elif words:
            yield replace(one, words=f"{listed(words, most=9)} are not known: each is one of {found[2]}.")


def _widths(draft: Draft, faults: tuple[Said, ...]) -> Iterator[Said]:
    """Yield that a room's width is needed, where its length is too: the reader says the first that is missing."""
    for place, part in enumerate(draft.parts):
        if part.page.kind == "room" and not part.texts["width"].strip() and not part.texts["length"].strip():
            mine = {one.key for one in faults if one.part == place}
            if "length" in mine and "width" not in mine:
                yield Said(part=place, key="width", words=_needed(part.page.entry("width"), draft.units))


def _years(draft: Draft, today: date) -> Iterator[Said]:
    """Yield that a house is built in a year that has not come."""
    for place, part in enumerate(draft.parts):
        year = part.texts.get("site.year_built", "").strip()
        if re.fullmatch(r"[0-9]{4}", year) and today.year < int(year) <= YEARS[-1]:
            words = f"{quoted(year)} is after this year, {today.year}."
            yield Said(part=place, key="site.year_built", words=words)


def _needed(entry: Entry, units: UnitSystem) -> str:
    example = entry.example(units)
    return entry.asked or (f"It is needed, such as {example}." if example else "It is needed.")
