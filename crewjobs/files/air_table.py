"""How files write what a material asks of the air, and the moisture a shop wants in wood: from a value to a value."""

from __future__ import annotations

import re
from typing import Final

from crewjobs.domain.conditions import Range
from crewjobs.domain.errors import Refused
from crewjobs.files.values import read_text, shown

_RANGE: Final = re.compile(
    r"\s*(-?\d{1,3}(?:\.\d{1,13})?)\s*(?:-|–|to)\s*(-?\d{1,3}(?:\.\d{1,13})?)\s*(°?\s*[FC]|%|% ?RH)?\s*", re.IGNORECASE
)


def read_range(value: object, example: str) -> tuple[Range, str]:
    """Return a range as people write it, and its unit without signs (``F``, ``C``, ``%`` or nothing).

    Raises:
        Refused: not from a value to a value.
    """
    found = _RANGE.fullmatch(read_text(value))
    if found is None:
        raise Refused(f"{shown(value)} is not from a value to a value: write it such as {example}.")
    unit = (found[3] or "").upper().replace("°", "").replace(" ", "").replace("RH", "")
    return Range(low=float(found[1]), high=float(found[2])), unit


def read_temperatures(value: object, _: object = None) -> Range:
    """Return a range of temperatures in °F from ``65-85``, ``65–85 °F`` or ``18-29 °C``.

    Raises:
        Refused: not such a range.
    """
    span, unit = read_range(value, '"65-85 F"')
    if unit == "%":
        raise Refused(f"{shown(value)} is a range of percents: a temperature is written such as 65-85 F.")
    if unit == "C":
        return Range(low=fahrenheit(span.low), high=fahrenheit(span.high))
    return span


def read_percents(value: object, _: object = None) -> Range:
    """Return a range of percents from ``30-50`` or ``30–50 %``.

    Raises:
        Refused: not such a range.
    """
    span, unit = read_range(value, '"30-50 %"')
    if unit in ("F", "C"):
        raise Refused(f"{shown(value)} is a range of temperatures: percents are written such as 30-50 %.")
    return span


def fahrenheit(celsius: float) -> float:
    """Return a temperature in °F, to a tenth: no meter for rooms shows more."""
    return round(32 + 1.8 * celsius, 1)


def range_text(span: Range | None) -> str | None:
    """Return a range as `read_temperatures` and `read_percents` read it back, None for none."""
    return None if span is None else f"{span.low:.15g} to {span.high:.15g}"
