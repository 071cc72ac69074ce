"""Lengths, areas and durations: exact inside, as people write them outside.

A length is a whole number of 1/4064 inch, so that 1/32 inch (127) and one millimetre (160) are both
exact. An area is kept as twice its value in square units, because corner points on the grid give whole
or half squares. Labor is whole minutes of one person; waits are whole minutes by the clock.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final, Literal

from crewjobs.domain.errors import Refused

INCH: Final = 4064
FOOT: Final = 12 * INCH
MILLIMETRE: Final = 160
LONGEST: Final = 5280 * FOOT
"""No single length in a house reaches a mile; more is a slip of the finger."""

UnitSystem = Literal["us", "metric"]
UNIT_SYSTEMS: Final[tuple[UnitSystem, ...]] = ("us", "metric")

_UNITS: Final[dict[str, int]] = {
    "ft": FOOT, "feet": FOOT, "foot": FOOT, "'": FOOT,
    "in": INCH, "inch": INCH, "inches": INCH, '"': INCH,
    "mm": MILLIMETRE, "cm": 10 * MILLIMETRE, "m": 1000 * MILLIMETRE,
}  # fmt: skip
_SIGNS: Final = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "⁄": "/"}
)
_VULGAR: Final = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_NUMBER: Final = r"(?:\d{1,9}[ -]+\d{1,6}/\d{1,6}|\d{1,6}/\d{1,6}|\d{1,9}(?:\.\d{1,9})?|\.\d{1,9})"
_PART: Final = re.compile(rf"\s*({_NUMBER})\s*(feet|foot|ft|inches|inch|in|mm|cm|m|'|\")\.?\s*", re.IGNORECASE)
_DASHED: Final = re.compile(rf"\s*(\d{{1,6}})\s*(?:-|(?:'|ft\.?|feet|foot)\s*-?)\s*({_NUMBER})\s*", re.IGNORECASE)
_BEHIND_FEET: Final = re.compile(r"\d+\s*(?:'|ft|feet|foot)\.?\s*-?\s*\d", re.IGNORECASE)
_COMMA: Final = re.compile(r"(\d),(\d{1,2})(?=\s*[^\d\s,])")
"""A comma between digits where a point is meant: with three digits behind it, it could stand between thousands."""
WRITE_LENGTHS: Final = "write it with its unit, such as 12' 6 1/2\", 12-6.5, 12.5 ft, 32 in, 381 cm or 3.81 m"


def parse_length(text: str) -> int:
    """Return a length as people write it, in 1/4064 inch.

    Accepts feet-inches-fractions (``12' 6 1/2"``, also without the last sign: ``12' 6 1/2``), the tape's
    dash form (``12-6.5`` is 12 ft 6.5 in), and decimals with a unit (``12.5 ft``, ``150 in``, ``381 cm``,
    ``3.81 m``, ``3810 mm``).
    One comma before one or two digits and a unit is a decimal point (``4,5 m``).
    A value off the grid is rounded to the nearest 1/4064 inch.

    Raises:
        Refused: not a length, no unit, negative, longer than a mile, or inches behind feet that would be another foot.
    """
    text = text.strip()
    plain = with_point(text.translate(_SIGNS).replace("''", '"'))
    for sign, spelled in _VULGAR.items():
        plain = re.sub(rf"(?<=\d)\s*{sign}", f" {spelled}", plain).replace(sign, spelled)
    total = _sum_of_parts(plain)
    if total is None:
        dashed = _DASHED.fullmatch(plain)
        if dashed:
            inches = _number(dashed[2])
            if inches is not None and inches < 12:
                total = int(dashed[1]) * FOOT + inches * INCH
    if total is None:
        point = "a point stands for the comma; " if "," in plain else ""
        under = "inches behind feet are under 12, a fraction under 1; " if _BEHIND_FEET.match(plain) else ""
        raise Refused(f"{quoted(text)} is not a length: {point}{under}{WRITE_LENGTHS}.")
    if total > LONGEST:
        raise Refused(f"{quoted(text)} is longer than a mile: {WRITE_LENGTHS}.")
    return round(total)


def with_point(text: str) -> str:
    """Return text in which one comma was meant as a decimal point, with the point: ``4,5 m`` is ``4.5 m``."""
    return _COMMA.sub(r"\1.\2", text) if text.count(",") == 1 and "." not in text else text


def _sum_of_parts(plain: str) -> Fraction | None:
    """Add ``12' 6 1/2"``-like parts, each with a unit, larger units first; None if it is not that."""
    position, total, last = 0, Fraction(0), LONGEST
    while position < len(plain):
        part = _PART.match(plain, position)
        if not part:
            return None
        number, unit = _number(part[1]), _UNITS[part[2].lower()]
        if number is None or unit >= last or (last == FOOT and unit == INCH and number >= 12):
            return None
        total, last, position = total + number * unit, unit, part.end()
        if position < len(plain) - 1 and plain[position] == "-":  # 12'-6 1/2", as drawings write it
            position += 1
    return total if plain else None


def _number(text: str) -> Fraction | None:
    whole, _, rest = text.strip().replace("-", " ").rpartition(" ")
    try:
        part = Fraction(rest)
        if not whole.strip():
            return part
        return part + Fraction(whole.strip()) if part < 1 else None
    except (ValueError, ZeroDivisionError):
        return None


def format_length(length: int, system: UnitSystem = "us") -> str:
    """Return a length for people: ``12' 6 1/2"`` to the nearest 1/32 inch, or ``3.81 m`` to the millimetre."""
    if system == "metric":
        millimetres = round(Fraction(length, MILLIMETRE))
        return (
            f"{millimetres} mm"
            if abs(millimetres) < 1000
            else f"{millimetres / 1000:.3f}".rstrip("0").rstrip(".") + " m"
        )
    thirty_seconds = round(Fraction(length * 32, INCH))
    sign, thirty_seconds = ("-" if thirty_seconds < 0 else ""), abs(thirty_seconds)
    feet, rest = divmod(thirty_seconds, 12 * 32)
    return sign + _feet_inches(feet, Fraction(rest, 32))


def format_cut(length: int, system: UnitSystem = "us") -> str:
    """Return a length that is cut, ripped or marked at the work, as the tape says it: as `format_length`, or in whole ``3810 mm``.

    The rule for metric shops, for all of paper, screens and commands: cut lists, rips and distances to mark are in millimetres
    however long they are, so that one list never mixes units; rooms, walls, sticks, rolls and totals go by `format_length`.
    """
    return f"{round(Fraction(length, MILLIMETRE))} mm" if system == "metric" else format_length(length, system)


def exact_length(length: int) -> str:
    """Return the shortest spelling that `parse_length` reads back as the very same length."""
    tenth = MILLIMETRE // 10
    if length % (INCH // 32) and length % tenth == 0:
        return f"{length // tenth / 10:.1f}".removesuffix(".0") + " mm"
    feet, rest = divmod(length, FOOT)
    return _feet_inches(feet, Fraction(rest, INCH))


def _feet_inches(feet: int, inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    words = [f"{feet}'"] if feet else []
    if inches or not feet:
        number = " ".join(
            filter(
                None,
                [
                    str(whole) if whole or not part else "",
                    f"{part.numerator}/{part.denominator}" if part else "",
                ],
            )
        )
        words.append(f'{number}"')
    return " ".join(words)


def square_feet(doubled_area: int) -> float:
    """Return twice an area in square units as square feet."""
    return doubled_area / (2 * FOOT * FOOT)


def format_area(area_ft2: float, system: UnitSystem = "us") -> str:
    """Return an area in ft² (whole above 20, else one decimal) or in m² (one decimal)."""
    if system == "metric":
        return f"{area_ft2 * (FOOT / (1000 * MILLIMETRE)) ** 2:.1f} m²"
    return f"{area_ft2:.0f} ft²" if area_ft2 >= 20 else f"{area_ft2:.1f} ft²"


_DURATION: Final = re.compile(r"\s*(\d{1,6}(?:\.\d{1,3})?)\s*(minutes?|min|hours?|h|days?|d)\s*", re.IGNORECASE)
LONGEST_WAIT: Final = 366 * 24 * 60


def parse_wait(text: str) -> int:
    """Return a wait by the clock (``48 h``, ``90 min``, ``1,5 h``, ``5 days``, ``1 day 12 h``) in minutes.

    Raises:
        Refused: not a wait, or longer than a year.
    """
    position, total, plain = 0, Fraction(0), with_point(text)
    while position < len(plain):
        part = _DURATION.match(plain, position)
        if not part:
            break
        factor = {"m": 1, "h": 60, "d": 1440}[part[2][0].lower()]
        total, position = total + Fraction(part[1]) * factor, part.end()
    if position < len(plain) or not plain.strip():
        raise Refused(f"{quoted(text)} is not a wait: write hours by the clock, such as 48 h, 90 min or 5 days.")
    if total > LONGEST_WAIT:
        raise Refused(f"{quoted(text)} is longer than a year: write hours by the clock, such as 48 h or 5 days.")
    return round(total)


def exact_wait(minutes: int) -> str:
    """Return a wait as `parse_wait` reads it back, in the largest unit that is whole."""
    return f"{minutes // 60} h" if minutes % 60 == 0 else f"{minutes} min"


def span_words(minutes: int) -> str:
    """Return how long something takes or lasts as ``2 h``, ``5 h 24 min`` or ``45 min``."""
    hours, rest = divmod(minutes, 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest or not hours))


def format_hours(minutes: float) -> str:
    """Return labor of one person as hours to a tenth, such as ``6.5 h``: an estimate, not a time of day."""
    return f"{minutes / 60:.1f} h"


JOINERS: Final = "\u200c\u200d"
"""Invisible, and yet text: some scripts and signs are spelled with them."""


def quoted(text: str, most: int = 60) -> str:
    """Return a person's text in quotes for a sentence: control characters shown, long text cut."""
    shown = "".join(c if c.isprintable() or c in JOINERS else named(c) for c in text[:most])
    return f"'{shown}{'…' if len(text) > most else ''}'"


def named(character: str) -> str:
    """Return a character that must not reach a terminal by its number, such as ``\\x1b`` or ``\\u202e``."""
    number = ord(character)
    return f"\\x{number:02x}" if number < 0x100 else f"\\u{number:04x}"
