"""Days and hours in a kept form: ``today`` was another day when it was typed, so it is written out as it was meant then."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from enum import Enum
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.services import clock
from crewjobs.services.forms.fields import Entry
from crewjobs.services.forms.kept import PAGES_OF, KeptForm, KeptPage, page_part
from crewjobs.services.forms.texts import Kind

_DATE: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
_WORD: Final = re.compile(r"[A-Za-z]+")
_ZONE: Final = "UTC"
"""A wall time is read and written in the same zone, whichever it is."""
_OF_DAYS: Final = (Kind.DAY, Kind.GONE_DAY, Kind.DAYS, Kind.MOMENT)


class How(Enum):
    """How a line is read: a moment that has come or one to come, what is promised, a day to come or one that has come, days."""

    MOMENT = "moment"
    AHEAD = "ahead"
    PROMISED = "promised"
    DAY = "day"
    GONE_DAY = "gone day"
    DAYS = "days"


@dataclass(frozen=True, slots=True)
class DayLine:
    """A line in which a day or an hour is typed; `empty` says what it means where nothing is: ``now``, ``today``, or nothing."""

    label: str
    how: How
    empty: str = ""


def as_meant(text: str, line: DayLine, then: datetime) -> str:
    """Return what was typed, with its date as it was meant at a wall time `then`; as it is where it has one, or is none."""
    if not text.strip():
        words = {"now": f"{then:%Y-%m-%d %H:%M}", "today": f"{then:%Y-%m-%d}"}
        return words.get(line.empty, text)
    now = then.replace(tzinfo=UTC)
    if line.how is How.DAYS:
        return _WORD.sub(lambda word: _day(word[0], now), text)
    if _DATE.search(text):
        return text
    with suppress(Refused):
        match line.how:
            case How.MOMENT:
                return _written(clock.read_moment(text, _ZONE, now))
            case How.AHEAD:
                return _written(clock.read_ahead(text, _ZONE, now))
            case How.PROMISED if ":" in text:
                return _written(clock.read_promised(text, _ZONE, now))
            case How.DAY | How.PROMISED:
                return clock.read_day(text, now.date()).isoformat()
            case How.GONE_DAY:
                return clock.read_gone_day(text, now.date()).isoformat()
    return text


def _written(moment: datetime) -> str:
    return f"{to_wall(_ZONE, moment):%Y-%m-%d %H:%M}"


def _day(word: str, now: datetime) -> str:
    with suppress(Refused):
        return clock.read_day(word, now.date()).isoformat()
    return word


def written_out(kept: KeptForm, lines: Mapping[str, DayLine]) -> KeptForm:
    """Return a form with its days and hours written out, and what was; as it is where it was typed just now.

    Args:
        kept: of which `moment` is empty where it was typed just now, or nobody knows when.
        lines: those of its texts in which a day or an hour stands, by key.
    """
    if not kept.moment:
        return kept
    try:
        then = datetime.fromisoformat(kept.moment)
    except ValueError:
        return kept
    said: list[str] = []
    texts = dict(kept.texts)
    for key, line in lines.items():
        if key in texts:
            texts[key] = _said_out(texts[key], line, then, said)
    pages = tuple(_page(kept.form, page, then, said) for page in kept.pages)
    return replace(kept, texts=texts, pages=pages, meant=tuple(dict.fromkeys(said)), before=kept if said else None)


def _page(form: str, page: KeptPage, then: datetime, said: list[str]) -> KeptPage:
    texts = dict(page.texts)
    for entry in _days_of(form, page.kind):
        text = texts.get(entry.key, "")
        stood = text == entry.fresh and (page.typed is None or entry.key not in page.typed)
        if not text or (stood and not page_part(form, page).filled):
            continue  # of a page in which nothing is typed, the day it begins with is still to come
        how = How.GONE_DAY if entry.kind is Kind.GONE_DAY else How.DAYS
        texts[entry.key] = _said_out(text, DayLine(entry.label, how), then, said, stood=stood)
    return replace(page, texts=texts)


def _days_of(form: str, kind: str) -> Iterator[Entry]:
    for page in PAGES_OF.get(form, ()):
        if page.kind == kind:
            yield from (entry for entry in page.entries if entry.kind in _OF_DAYS)


def _said_out(text: str, line: DayLine, then: datetime, said: list[str], *, stood: bool = False) -> str:
    """Write a line out, and tell it: what `stood` there from the start is not told as typed."""
    found = as_meant(text, line, then)
    if found != text:
        was = f"'{text.strip()}'" if text.strip() else f"empty was {line.empty}"
        said.append(f"{line.label} {found} ({was}{', as it stood there' if stood else ''})")
    return found
