"""How screens write days, instants and spans, and how text that people typed is made fit to be shown.

Day and month names are the program's own, so that a picture of a screen is the same under every locale.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from datetime import date, datetime
from enum import Enum
from functools import lru_cache
from typing import TypeVar

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

T = TypeVar("T")

_CONTROL_PICTURES = 0x2400
_INVISIBLE = (0xAD, 0x200B, 0x200C, 0x200D, 0xFEFF)
_HOUR = 60
_DAY = 24 * _HOUR


def day(value: date) -> str:
    """``Thu 5 Mar``."""
    return f"{DAYS[value.weekday()]} {value.day} {MONTHS[value.month - 1]}"


def dated(value: date) -> str:
    """``Thu 5 Mar 2026``."""
    return f"{DAYS[value.weekday()]} {value.day} {MONTHS[value.month - 1]} {value.year}"


def clock(value: datetime) -> str:
    """``14:00``, in the zone the value carries."""
    return f"{value.hour:02d}:{value.minute:02d}"


def instant(value: datetime) -> str:
    """``Thu 5 Mar 14:00``, in the zone the value carries."""
    return f"{day(value)} {clock(value)}"


def between(start: datetime, end: datetime) -> str:
    """``07:00–11:30``; of no length once: ``11:30``."""
    return clock(start) if start == end else f"{clock(start)}–{clock(end)}"


def span(minutes: int) -> str:
    """Minutes by the clock as people say them: ``40 min``, ``17 h``, ``46 h 30 min``, ``5 days``.

    Whole hours up to four days, since waits are told in hours; days beyond, rounded up so that nobody comes too early.
    """
    if minutes < _HOUR:
        return f"{minutes} min"
    if minutes <= 4 * _DAY:
        hours, rest = divmod(minutes, _HOUR)
        return f"{hours} h {rest} min" if rest and hours < 48 else f"{hours + bool(rest)} h"
    days = -(-minutes // _DAY)
    return f"{days} days"


def hours(value: float) -> str:
    """Hours of labor of one person: ``14 h``, ``3.5 h``."""
    text = f"{value:.1f}"
    return f"{text.removesuffix('.0')} h"


def share(done: float) -> str:
    """``58 %``; a wait that still runs is never called whole."""
    percent = int(done * 100)
    return f"{min(percent, 99) if done < 1 else 100} %"


def clean(text: str) -> str:
    """The text with every character a terminal could act on made visible, and line breaks as blanks.

    Control characters become their pictures (``␛``), characters that turn the direction of writing a dot; joiners that
    take no room are left out, since terminals disagree about them.
    """
    if text.isprintable():
        return text
    return "".join(_shown(character) for character in text)


@lru_cache(maxsize=512)
def _shown(character: str) -> str:
    code = ord(character)
    if character.isprintable():
        return character
    if character.isspace() and code not in (0x1C, 0x1D, 0x1E, 0x1F):
        return " "
    if code < 0x20:
        return chr(_CONTROL_PICTURES + code)
    if code == 0x7F:
        return "␡"
    return "" if code in _INVISIBLE else "·"


def cleaned(value: T) -> T:
    """A row from the office with every text in it made fit to be shown; the same object where nothing had to change.

    What can be changed, as a form's draft, is no row: it goes back to the office, and stays as the office gave it.
    """
    return _cleaned(value)  # type: ignore[return-value]


def _cleaned(value: object) -> object:
    if isinstance(value, Enum):
        return value
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, tuple):
        parts = tuple(_cleaned(part) for part in value)
        return parts if any(new is not old for new, old in zip(parts, value, strict=True)) else value
    if isinstance(value, dict):
        return {key: _cleaned(part) for key, part in value.items()}
    if is_dataclass(value) and not isinstance(value, type) and value.__dataclass_params__.frozen:  # type: ignore[attr-defined]
        changed = {}
        for field in fields(value):
            old = getattr(value, field.name)
            if isinstance(old, str | tuple | dict) or is_dataclass(old):
                new = _cleaned(old)
                if new is not old:
                    changed[field.name] = new
        return replace(value, **changed) if changed else value
    return value
