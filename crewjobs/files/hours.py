"""Hours by weekday: ``{ mon-thu = "7:00-12:00, 12:30-15:30", sat = "8:00-12:00" }``, and of single days."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import DAY, WEEKDAYS, Span, WeekHours
from crewjobs.files.values import read_date, shown

_TIME: Final = r"(\d{1,2})(?:[:.](\d{2}))?\s*(am|pm)?"
_SPAN: Final = re.compile(rf"\s*{_TIME}\s*(?:-|–|to)\s*{_TIME}\s*", re.IGNORECASE | re.ASCII)
_FULL: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_RIGHT_SINGLE: Final = 'write single days such as { "2026-03-07" = "8:00-12:00", "2026-03-06" = "off" }'
_RIGHT: Final = 'write hours such as mon-fri = "7:00-12:00, 12:30-15:30"'


def read_hours(value: object) -> WeekHours:
    """Return hours by weekday from a table of days and stretches; days not named are off.

    Raises:
        Refused: every day or stretch that cannot be read, a day given twice, hours off the quarter hour.
    """
    if not isinstance(value, dict):
        raise Refused(f"{shown(value)} is not a table of days: {_RIGHT}.")
    days: list[tuple[Span, ...]] = [()] * 7
    given: set[int] = set()
    faults: list[str] = []
    for key, stretches in value.items():
        try:
            wanted, spans = _read_days(key), read_spans(stretches)
        except Refused as fault:
            faults += fault.sentences
            continue
        for day in wanted:
            if day in given:
                faults.append(f"{WEEKDAYS[day]} is given twice: name each day once.")
            given.add(day)
            days[day] = spans
    if faults:
        raise Refused(faults)
    return WeekHours(days=tuple(days))


def hours_table(hours: WeekHours) -> dict[str, str]:
    """Return hours as `read_hours` reads them back, neighbouring days of equal hours together."""
    table: dict[str, str] = {}
    day = 0
    while day < 7:
        last = day
        while last < 6 and hours.days[last + 1] == hours.days[day]:
            last += 1
        if hours.days[day]:
            name = WEEKDAYS[day] if last == day else f"{WEEKDAYS[day]}-{WEEKDAYS[last]}"
            table[name] = _stretches(hours.days[day])
        day = last + 1
    return table


def read_single_days(value: object) -> tuple[tuple[date, tuple[Span, ...]], ...]:
    """Return single days with hours of their own from a table such as ``{ "2026-03-07" = "8:00-12:00" }``; off is none.

    Raises:
        Refused: every day or stretch that cannot be read, a day given twice, hours off the quarter hour.
    """
    if not isinstance(value, dict):
        raise Refused(f"{shown(value)} is not a table of dates: {_RIGHT_SINGLE}.")
    single: list[tuple[date, tuple[Span, ...]]] = []
    faults: list[str] = []
    for key, stretches in value.items():
        try:
            single.append((read_date(key), read_spans(stretches)))
        except Refused as fault:
            faults += fault.sentences
    if faults:
        raise Refused(faults)
    return WeekHours(days=((),) * 7, but=tuple(single)).but


def single_days_table(hours: WeekHours) -> dict[str, str] | None:
    """Return the single days of hours as `read_single_days` reads them back, None where there are none."""
    return {day.isoformat(): _stretches(spans) or "off" for day, spans in hours.but} or None


def _stretches(spans: Iterable[Span]) -> str:
    return ", ".join(f"{_clock(span.start)}-{_clock(span.end)}" for span in spans)


def _clock(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"


def _read_days(key: str) -> list[int]:
    days: list[int] = []
    for part in key.split(","):
        first, dash, last = part.partition("-")
        begin = _read_day(first, key)
        end = _read_day(last, key) if dash else begin
        if end < begin:
            raise Refused(f"{quoted(key)} runs backward: a week starts on mon.")
        days += range(begin, end + 1)
    return days


def _read_day(text: str, key: str) -> int:
    word = text.strip().casefold()
    for number, name in enumerate(_FULL):
        if len(word) >= 3 and name.startswith(word):
            return number
    raise Refused(f"{quoted(key)} is not a weekday or a run of them: {_RIGHT}.")


def read_spans(value: object) -> tuple[Span, ...]:
    """Return the stretches of one day from text such as ``7:00-12:00, 12:30-15:30``; none for ``off``.

    Raises:
        Refused: not a stretch, or one that ends before it starts.
    """
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} is not a stretch of a day: {_RIGHT}.")
    if value.strip().casefold() in ("", "closed", "off"):
        return ()
    return tuple(_read_span(part, value) for part in value.split(","))


def _read_span(part: str, whole: str) -> Span:
    match = _SPAN.fullmatch(part)
    if not match:
        raise Refused(f"{quoted(whole)} is not a stretch of a day: {_RIGHT}.")
    start, end = _minute(match[1], match[2], match[3], whole), _minute(match[4], match[5], match[6], whole)
    if not start < end:
        raise Refused(
            f"{quoted(whole)}: the end comes after the start; hours run by the 24-hour clock or with am and pm."
        )
    return Span(start=start, end=end)


def _minute(hour_text: str, minute_text: str | None, half: str | None, whole: str) -> int:
    hour, minute = int(hour_text), int(minute_text or 0)
    if half:
        if not 1 <= hour <= 12:
            raise Refused(f"{quoted(whole)}: with am or pm the hour is 1 to 12.")
        hour = hour % 12 + (12 if half.casefold() == "pm" else 0)
    if minute > 59 or hour * 60 + minute > DAY:
        raise Refused(f"{quoted(whole)} names a time no day has: the last is 24:00.")
    return hour * 60 + minute
