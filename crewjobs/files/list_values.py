"""The cells of a list as values of a job: text, a state in other people's words, a day as any country writes it."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable
from datetime import MAXYEAR, MINYEAR, date, timedelta
from enum import StrEnum
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobState
from crewjobs.domain.units import quoted
from crewjobs.files.values import LINE, plain_word, read_date, read_text

_STATES: Final = {
    JobState.ASKED: ("asked", "inquiry", "enquiry", "lead", "new", "request", "requested", "prospect", "open"),
    JobState.QUOTED: (
        "quoted",
        "quote",
        "quote sent",
        "estimate",
        "estimated",
        "estimate sent",
        "bid",
        "proposal",
        "offered",
    ),
    JobState.BOOKED: (
        "booked",
        "sold",
        "won",
        "accepted",
        "signed",
        "confirmed",
        "scheduled",
        "ordered",
        "in progress",
        "active",
    ),
}
_OVER: Final = frozenset(
    {
        *("done", "closed", "called off", "complete", "completed", "finished", "paid", "invoiced", "lost", "declined"),
        *("cancelled", "canceled", "dead", "archived"),
    }
)
_DAY: Final = re.compile(
    r"(\d{1,4})\s*([-/.])\s*(\d{1,2})\s*\2\s*(\d{1,4})(?:[ T]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?)?", re.ASCII
)
_MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_WORD_DAY: Final = re.compile(
    r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?"
    r"(?:(?P<month>[a-z]{3,9})\.?\s+(?P<day>\d{1,2})(?:st|nd|rd|th)?,?\s+|(?P<first>\d{1,2})(?:st|nd|rd|th)?[\s.-]+(?P<second>[a-z]{3,9})\.?,?[\s-]+)"
    r"(?P<year>\d{4})",
    re.ASCII | re.IGNORECASE,
)
"""A day with its month in English: Mar 13, 2026 or 13 March 2026."""
_LONG_MONTHS: Final = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_SERIAL: Final = re.compile(r"(\d{4,6})(?:\.\d+)?", re.ASCII)
_SERIAL_ZERO: Final = date(1899, 12, 30)
"""Day 0 of spreadsheets that count days since 1900 (from March 1900 on)."""
_RIGHT: Final = "write year, month and day, such as 2026-03-06"


class Order(StrEnum):
    """Which comes first in a day such as 3/4/2026, or that days are a spreadsheet's numbers."""

    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"
    SERIAL = "serial"


class Over(Refused):
    """A row of a job that is over: it is left out, and no fault of the list."""


def read_line(cell: str) -> str:
    """Return text of one line: line breaks within a cell become blanks.

    Raises:
        Refused: too long, or it holds a character that steers a terminal.
    """
    return read_text(" ".join(re.split(r"[ \t\r\n\x0b\x0c\x85\u2028\u2029]+", cell)).strip(), LINE)


def read_state(cell: str) -> JobState:
    """Return the state of a job in a list's own words.

    Raises:
        Over: the job is over.
        Refused: it is none of the words known.
    """
    plain = plain_word(cell)
    for state, words in _STATES.items():
        if plain in words:
            return state
    if plain in _OVER:
        raise Over(f"it is {plain}")
    raise Refused(f"{quoted(cell)} is no state known here: write asked, quoted or booked.")


def order_of(cells: Iterable[str]) -> Order | None:
    """Return which comes first in the days of a column, by those of which only one reading is a day; None where nothing tells.

    With slashes the month is first where nothing tells, with dots the day.

    Raises:
        Refused: some of them can only be read one way and others only the other.
    """
    found: dict[Order, str] = {}
    for cell in cells:
        match = _DAY.fullmatch(cell.strip())
        if match is None or len(match[1]) == 4:
            continue
        if int(match[1]) > 12 >= int(match[3]):
            found.setdefault(Order.DAY_FIRST, cell)
        elif int(match[3]) > 12 >= int(match[1]):
            found.setdefault(Order.MONTH_FIRST, cell)
    if len(found) > 1:
        raise Refused(
            f"{' and '.join(quoted(one) for one in found.values())} are written the one way and the other: {_RIGHT}."
        )
    return next(iter(found), None)


def is_ambiguous(cell: str) -> bool:
    """Return whether a day could be read day first and month first, and be another day then."""
    match = _DAY.fullmatch(cell.strip())
    return (
        match is not None and len(match[1]) < 4 and int(match[1]) <= 12 and int(match[3]) <= 12 and match[1] != match[3]
    )


def read_day_cell(cell: str, order: Order | None) -> date:
    """Return a day as 2026-03-06, 3/6/2026, 06.03.2026 (with a time after it or not), Mar 6, 2026 or 6 March 2026.

    Two digits of a year are of this century. A spreadsheet's number of a day is read where the order says so.

    Raises:
        Refused: it is none, or does not exist.
    """
    match = _DAY.fullmatch(cell.strip())
    if match is None:
        return _worded_or_serial(cell, order)
    first, sign, middle, last = match[1], match[2], match[3], match[4]
    if len(first) == 4:
        year, month, day, read = first, middle, last, "year first"
    elif len(first) == 3 or len(last) not in (2, 4):
        raise Refused(f"{quoted(cell)} is not a date: {_RIGHT}.")
    else:
        said = order if order is not Order.SERIAL else None
        day_first = (said or (Order.DAY_FIRST if sign == "." else Order.MONTH_FIRST)) is Order.DAY_FIRST
        year = last if len(last) == 4 else f"20{last}"
        day, month, read = (first, middle, "day first") if day_first else (middle, first, "month first")
    try:
        return read_date(f"{int(year):04d}-{int(month)}-{int(day)}")
    except Refused:
        raise Refused(f"{quoted(cell)} {_why_no_day(int(year), int(month), int(day), read)}: {_RIGHT}.") from None


def _why_no_day(year: int, month: int, day: int, read: str) -> str:
    """Return why three numbers are no day, by the order they were read in."""
    if not 1 <= month <= 12:
        return f"read {read} has a month {month}"
    if not 1 <= day <= 31 or (MINYEAR <= year <= MAXYEAR and day > monthrange(year, month)[1]):
        return f"read {read} has a day {day} in {_LONG_MONTHS[month - 1].capitalize()} {year:04d}"
    return "is no day in the calendar of these times"


def _worded_or_serial(cell: str, order: Order | None) -> date:
    """Return a day whose month is a word, or a spreadsheet's number of one.

    Raises:
        Refused: it is none, does not exist, or is a number and nobody said that days are.
    """
    plain = " ".join(cell.split())
    word = _WORD_DAY.fullmatch(plain)
    number = _SERIAL.fullmatch(plain)
    try:
        if number is not None:
            found = read_date(_SERIAL_ZERO + timedelta(days=int(number[1])))
        elif word is not None:
            month = _month(word["month"] or word["second"])
            found = read_date(f"{word['year']}-{month}-{int(word['day'] or word['first'])}")
        else:
            raise Refused("no day")
    except Refused:
        raise Refused(f"{quoted(cell)} is not a date: {_RIGHT}.") from None
    if number is not None and order is not Order.SERIAL:
        raise Refused(
            f"{quoted(cell)} may be a spreadsheet's number of a day ({found}): say --dates serial if it is, or {_RIGHT}."
        )
    return found


def _month(word: str) -> int:
    plain = word.casefold()
    for number, (short, full) in enumerate(zip(_MONTHS, _LONG_MONTHS, strict=True), start=1):
        if plain in (short, full) or (plain == "sept" and short == "sep"):
            return number
    raise Refused("no month")


def read_year(cell: str) -> int:
    """Return a year as written, whole.

    Raises:
        Refused: it is no whole number.
    """
    return _whole(cell, "a year, such as 1987")


def read_minutes(cell: str) -> int:
    """Return minutes as written, with or without their unit.

    Raises:
        Refused: it is no whole number.
    """
    return _whole(re.sub(r"\s*min(utes|s|\.)?$", "", cell.strip(), flags=re.IGNORECASE), "minutes, such as 20")


def _whole(cell: str, right: str) -> int:
    match = re.fullmatch(r"(\d{1,6})(?:\.0+)?", cell.strip(), re.ASCII)
    if match is None:
        raise Refused(f"{quoted(cell)} is not a whole number: write {right}.")
    return int(match[1])
