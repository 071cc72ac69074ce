"""Single values of a file: as people write them, and written so that they read back exactly.

Every `read_…` takes what TOML gave (text, number, date) and raises `Refused` with what is wrong and what
would be right; the place (file, room, key) is put in front by `files.faults`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from math import isfinite
from typing import Final, TypeVar

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import (
    FOOT,
    JOINERS,
    MILLIMETRE,
    WRITE_LENGTHS,
    exact_length,
    exact_wait,
    named,
    parse_length,
    parse_wait,
    quoted,
    with_point,
)
from crewjobs.domain.wall import exists, to_utc, to_wall, wall_minute

NAME: Final = 80
LINE: Final = 200
NOTES: Final = 2000
"""The most characters a name, a line and private notes may have."""
LARGEST: Final = 1_000_000
"""No count, weight or area of a house reaches it; more is a slip of the finger."""

_FORBIDDEN: Final = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
_YEARS: Final = range(1990, 2101)

Choice = TypeVar("Choice", bound=StrEnum)


def read_text(value: object, most: int = NAME, *, lines: bool = False, empty: bool = True) -> str:
    """Return text as it may be shown: without control, escape or direction characters, `most` long at most.

    `lines` allows line breaks, as notes need them.

    Raises:
        Refused: not text, too long, empty where it must not be, or it holds a character that steers a terminal.
    """
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} is not text: put it in quotes.")
    for character in value:
        if unicodedata.category(character) not in _FORBIDDEN or character in JOINERS:
            continue
        if character == "\n":
            if lines:
                continue
            raise Refused(f"{quoted(value)} runs over several lines: write it on one.")
        raise Refused(f"{quoted(value)} holds the character {named(character)}: take it out.")
    if len(value) > most:
        raise Refused(f"{quoted(value)} has {len(value)} characters: {most} are the most.")
    if not empty and not value.strip():
        raise Refused("it is empty: write a name.")
    return value


def shown(value: object) -> str:
    """Return any value of a file in quotes, as a sentence can hold it."""
    if isinstance(value, bool):
        return quoted(str(value).lower())
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and abs(value) >= 10**30:
        return "a number of more than thirty digits"
    return quoted(str(value))


def nearest(text: str, known: list[str], alike: float = 0.6) -> str:
    """Return the known word closest to a mistyped one, empty if none is so much `alike`, of 1."""
    plain = {plain_word(word): word for word in known}
    close = get_close_matches(plain_word(text)[:NAME], list(plain), n=1, cutoff=alike)
    return plain[close[0]] if close else ""


def plain_word(text: str) -> str:
    """Return a word without case, and with blanks for underscores and hyphens."""
    return re.sub(r"[\s_-]+", " ", text).strip().casefold()


_ALIKE: Final = 0.65
"""A vanity is no mistyped vent: those that are not more alike are told all there is."""


def read_choice(value: object, kinds: type[Choice], spellings: Mapping[str, StrEnum] | None = None) -> Choice:
    """Return one of a closed set of words; case, hyphens and underscores do not matter.

    Raises:
        Refused: none of them; names those it is a word of, the nearest, or all.
    """
    wanted = plain_word(value) if isinstance(value, str) else ""
    if isinstance(value, str):
        for kind in kinds:
            if plain_word(kind.value) == wanted:
                return kind
        if spellings and wanted in spellings:
            return kinds(spellings[wanted])
    words = [kind.value for kind in kinds if kind.value]
    several = [word for word in words if wanted and wanted in plain_word(word).split()]
    if len(several) > 1:  # a range may be on gas: nobody guesses
        raise Refused(f"{shown(value)} is not known: say which, {' or '.join(several)}.")
    near = nearest(value, [*words, *(spellings or ())], _ALIKE) if isinstance(value, str) else ""
    if near:
        raise Refused(f"{shown(value)} is not known; did you mean {quoted(near)}?")
    raise Refused(f"{shown(value)} is not known: it is one of {', '.join(words)}.")


def read_whole(value: object, least: int = 0, most: int = LARGEST) -> int:
    """Return a whole number between two bounds.

    Raises:
        Refused: not a whole number, or out of bounds.
    """
    if isinstance(value, bool) or not isinstance(value, int):
        raise Refused(f"{shown(value)} is not a whole number.")
    if not least <= value <= most:
        raise Refused(f"{shown(value)} is not between {least} and {most}.")
    return value


def read_number(value: object, most: float = LARGEST) -> float:
    """Return a finite number from zero to `most`.

    Raises:
        Refused: not a number, or out of bounds.
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refused(f"{shown(value)} is not a number.")
    if not isfinite(value) or not 0 <= value <= most:
        raise Refused(f"{shown(value)} is not between 0 and {most:.15g}.")
    return float(value)


def tidy(value: float) -> float:
    """Return a number as people write it: 85, not 85.0."""
    return round(value) if value == round(value) else value


def read_any_whole(value: object) -> int:
    """Return a whole number whose bounds depend on its neighbours, which the table's own check knows.

    Raises:
        Refused: not a whole number, or beyond all bounds.
    """
    if isinstance(value, bool) or not isinstance(value, int):
        raise Refused(f"{shown(value)} is not a whole number.")
    if abs(value) > LARGEST:
        raise Refused(f"{shown(value)} is beyond any house: look at its digits.")
    return value


def within(least: int, most: int) -> Callable[[object, object], int]:
    """Return `read_whole` with its bounds set, in the form a table's reader takes."""
    return lambda value, _: read_whole(value, least, most)


def read_flag(value: object) -> bool:
    """Return yes or no.

    Raises:
        Refused: neither true nor false.
    """
    if not isinstance(value, bool):
        raise Refused(f"{shown(value)} is neither true nor false.")
    return value


def read_length(value: object) -> int:
    """Return a length in 1/4064 inch from text such as ``12' 6 1/2`` or ``3.81 m``.

    Raises:
        Refused: not text, or not a length.
    """
    if not isinstance(value, str):
        raise Refused(
            f'{shown(value)} is not a length: put it in quotes with its unit, such as "12\' 6 1/2" or "381 cm".'
        )
    return parse_length(value)


def read_two_lengths(value: object, what: str) -> tuple[int, int]:
    """Return two lengths from text such as ``7 in x 48 in``; `what` says what a wrong one is not, and what to write.

    Raises:
        Refused: it is not two lengths.
    """
    text = read_text(value)
    for sign in ("×", " by ", "x", "X"):
        if text.count(sign) == 1:
            one, other = text.split(sign)
            try:
                return read_length(one), read_length(other)
            except Refused as refused:
                # Its examples are of one length, such as a room's side; here both are wanted, such as a plank's.
                if not all(WRITE_LENGTHS in sentence and "not a length" in sentence for sentence in refused.sentences):
                    raise
    raise Refused(f"{quoted(text)} is not {what}.")


def length_text(length: int) -> str:
    """Return a length as `read_length` reads it back exactly, without an inch sign that TOML would want escaped."""
    spelled = exact_length(length)
    if not spelled.endswith('"'):
        return spelled
    return spelled[:-1] if "'" in spelled else f"{spelled[:-1]} in"


_AREA: Final = re.compile(
    r"\s*(\d{1,12}(?:\.\d{1,400})?)\s*"
    r"(?:(ft2|ft²|ft\^2|sq\.? ?ft\.?|square feet|sf)|(m2|m²|m\^2|sq\.? ?m|square met(?:er|re)s?))\s*",
    re.IGNORECASE,
)
_FT2_IN_M2: Final = (1000 * MILLIMETRE / FOOT) ** 2


def read_area(value: object) -> float:
    """Return an area in ft² from text such as ``23.8 ft2`` or ``2.21 m2``.

    Raises:
        Refused: not text, no unit, or beyond any house.
    """
    match = _AREA.fullmatch(with_point(value)) if isinstance(value, str) else None
    if match is None:
        point = "a point stands for the comma; " if isinstance(value, str) and "," in value else ""
        if isinstance(value, str) and re.match(r"\s*[\d.,]+e[+-]?\d", value, re.IGNORECASE):
            point = "write the number out, without an exponent; "
        raise Refused(
            f'{shown(value)} is not an area: {point}write it in quotes with its unit, such as "23.8 ft2" or "2.21 m2".'
        )
    area = float(match[1]) * (_FT2_IN_M2 if match[3] else 1.0)
    if not area <= LARGEST:  # each area has a bound of its own; this one only keeps numbers sane
        raise Refused(f"{shown(value)} is larger than any house: look at its digits and its unit.")
    return area


def area_text(area_ft2: float) -> str:
    """Return an area as `read_area` reads it back exactly, in the unit and digits a person would write where it can be."""
    for digits in range(4):
        for unit, factor in (("ft2", 1.0), ("m2", _FT2_IN_M2)):
            spelled = f"{area_ft2 / factor:.{digits}f}"
            if float(spelled) * factor == area_ft2:
                return f"{spelled} {unit}"
    return f"{Decimal(repr(area_ft2)):f} ft2"  # without an exponent, which nobody writes of a house


def read_wait(value: object) -> int:
    """Return a wait by the clock in minutes from text such as ``48 h`` or ``5 days``.

    Raises:
        Refused: not text, or not a wait.
    """
    if not isinstance(value, str):
        raise Refused(f'{shown(value)} is not a wait: put it in quotes with its unit, such as "48 h" or "5 days".')
    return parse_wait(value)


def wait_text(minutes: int) -> str:
    """Return a wait as `read_wait` reads it back exactly."""
    return exact_wait(minutes)


_DATE_RIGHT: Final = "write year, month and day, such as 2026-03-06"
_INSTANT_RIGHT: Final = 'write date and time in quotes, such as "2026-03-06 14:00"'
_DATE: Final = re.compile(r"\d{4}-\d{1,2}-\d{1,2}", re.ASCII)
_INSTANT: Final = re.compile(r"(\d{4}-\d{1,2}-\d{1,2})[ T](\d{1,2}:\d{2})", re.ASCII)


def read_date(value: object) -> date:
    """Return a calendar day, from a TOML date or from text.

    Raises:
        Refused: not a date, one that does not exist, or not of these times.
    """
    if isinstance(value, datetime):
        raise Refused(f"{shown(value)} has a time: {_DATE_RIGHT}.")
    if isinstance(value, str) and _DATE.fullmatch(value.strip()):
        value = _parsed(value.strip(), "YYYY-M-D", _DATE_RIGHT).date()
    if not isinstance(value, date):
        raise Refused(f"{shown(value)} is not a date: {_DATE_RIGHT}.")
    if value.year not in _YEARS:
        raise Refused(f"{shown(value)} is not a date between {_YEARS[0]} and {_YEARS[-1]}: {_DATE_RIGHT}.")
    return value


def read_dates(value: object) -> frozenset[date]:
    """Return days from a list of dates; ``"2026-03-09 to 2026-03-13"`` in it stands for all of them.

    Raises:
        Refused: not a list, or an item that is not a date or a run of at most a year.
    """
    if not isinstance(value, list):
        raise Refused(f"{shown(value)} is not a list of dates: write it as [2026-03-09, 2026-03-10].")
    days: set[date] = set()
    for item in value:
        first, to, last = item.partition(" to ") if isinstance(item, str) else (item, "", "")
        if not to:
            days.add(read_date(first))
            continue
        begin, end = read_date(first), read_date(last)
        if not 0 <= (end - begin).days <= 366:
            raise Refused(f"{shown(item)} does not run forward within a year: write first day to last day.")
        days.update(begin + timedelta(days=n) for n in range((end - begin).days + 1))
    return frozenset(days)


def read_instant(value: object, zone: str) -> datetime:
    """Return a UTC instant from the wall time of a zone: a TOML date-time, or text such as ``2026-03-06 14:00``.

    A wall time that comes twice in autumn means its first; with an offset it is exact.

    Raises:
        Refused: not a date with a time, one that does not exist, or one the clocks of the zone jump over.
    """
    if isinstance(value, str):
        match = _INSTANT.fullmatch(value.strip())
        if match:
            value = _parsed(f"{match[1]} {match[2]}", "YYYY-M-D H:mm", _INSTANT_RIGHT)
    if not isinstance(value, datetime):
        raise Refused(f"{shown(value)} is not a date with a time: {_INSTANT_RIGHT}.")
    read_date(value.date())
    if value.tzinfo is not None:
        return value.astimezone(UTC)
    if not exists(zone, value.date(), wall_minute(value)):
        raise Refused(
            f"{value:%Y-%m-%d %H:%M} does not exist in {zone}: the clocks jump over it; write the time after the change."
        )
    return to_utc(zone, value.date(), wall_minute(value)) + timedelta(
        seconds=value.second, microseconds=value.microsecond
    )


def instant_value(instant: datetime, zone: str) -> str | datetime:
    """Return an instant as `read_instant` reads it back exactly: wall time in text, with its offset where it comes twice."""
    wall = to_wall(zone, instant)
    if wall.second == 0 and wall.microsecond == 0 and to_utc(zone, wall.date(), wall_minute(wall)) == instant:
        return f"{wall:%Y-%m-%d %H:%M}"
    offset = wall.utcoffset() or timedelta()
    return wall if offset % timedelta(minutes=1) == timedelta() else instant


def _parsed(text: str, form: str, right: str) -> datetime:
    """Return a naive date-time; pendulum refuses days and times that do not exist."""
    import pendulum

    try:
        found = pendulum.from_format(text, form)
        return datetime.combine(date(found.year, found.month, found.day), time(found.hour, found.minute))
    except ValueError:
        raise Refused(f"{quoted(text)} does not exist in the calendar: {right}.") from None


def with_limit(most: int, *, lines: bool = False, empty: bool = True) -> Callable[[object, object], str]:
    """Return `read_text` with its limits set, in the form a table's reader takes."""
    return lambda value, _: read_text(value, most, lines=lines, empty=empty)
