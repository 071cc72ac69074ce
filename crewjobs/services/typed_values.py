"""Numbers with units as people type them at the truck: temperatures, percents, lengths, areas."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from fractions import Fraction
from typing import Final

from crewjobs.domain.conditions import COLDEST_F, HOTTEST_F
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import FOOT, INCH, MILLIMETRE, UnitSystem, parse_length, quoted, with_point

_NUMBER: Final = re.compile(r"(-?\d{1,6}(?:\.\d{1,6})?|-?\.\d{1,6})\s*(°?\s*[FC]|%|g|)", re.IGNORECASE)
_BARE: Final = re.compile(r"(?:(\d{1,6})[ -]+)?(\d{1,6})/(\d{1,6})|(\d{1,6}(?:\.\d{1,6})?|\.\d{1,6})")
_OF_UNIT: Final = re.compile(r"(.*?)\s*(mm|cm|m|inches|inch|in|[\"″])\.?", re.IGNORECASE)
_METRIC_UNITS: Final = frozenset({"mm", "cm", "m"})
_GAP_UNITS: Final = {
    "mm": MILLIMETRE,
    "cm": 10 * MILLIMETRE,
    "m": 1000 * MILLIMETRE,
    **dict.fromkeys(("in", "inch", "inches", '"', "″"), INCH),
}
_COMMA: Final = re.compile(r"-?\d{1,6},\d{1,2}")
_SAME_TENTH: Final = 1e-6
_AREA: Final = re.compile(r"(\d{1,6}(?:\.\d{1,6})?)\s*(ft2|ft²|sq ?ft|sf|m2|m²|)", re.IGNORECASE)
COLD_F: Final = 40.0
WARM_C: Final = 45.0
"""Without its letter a temperature below the one, or above the other, may be meant in the other scale: it is asked about."""
HOUSE_C: Final = (8.0, 32.0)
"""What houses are worked in, °C; the same numbers in °F are frost."""
M2_FT2: Final = (1000 * 160 / FOOT) ** 2
"""A square metre in ft²."""


def read_temperature(text: str, units: UnitSystem = "us") -> float:
    """Return a temperature in °F, as typed: ``70F``, ``21C``, ``70`` (°F, or °C in a metric shop).

    What would be a house's temperature in °C and is written in °F is asked again; ``21F!`` says that it really froze.

    Raises:
        Refused: no temperature, one that may be meant in the other scale, or one that cannot be in a house.
    """
    sure = text.strip().endswith("!")
    found = _NUMBER.fullmatch(_with_point(text.strip().removesuffix("!")))
    letter = found[2].upper().strip("° ") if found else ""
    if found is None or letter not in ("F", "C", ""):
        raise Refused(f"{quoted(text)} is not a temperature: write it such as 70F or 21C.")
    value, metric = float(found[1]), units == "metric"
    if not letter and (value > WARM_C if metric else value < COLD_F):
        raise Refused(f"{quoted(text)} without its letter may be °F or °C: write {found[1]}F or {found[1]}C.")
    if letter == "F" and looks_celsius([value]) and not sure:
        raise Refused(
            f"{quoted(text)} would be frost in the house: is it °C? Write {found[1]}C, or {found[1]}F! where it really froze."
        )
    if letter == "C" or (not letter and metric):
        low, high = ((limit - 32) / 1.8 for limit in (COLDEST_F, HOTTEST_F))
        if not low <= value <= high:
            raise Refused(f"{value:g} °C cannot be in a house: it is {low:.0f} to {high:.0f} °C.")
        value = round(32 + 1.8 * value, 1)
    return value


def _with_point(text: str) -> str:
    """Return one value in which a comma was meant as a decimal point with the point, also where no unit is behind it: ``70,5``."""
    return text.replace(",", ".") if _COMMA.fullmatch(text) else with_point(text)


def looks_celsius(values: Sequence[float]) -> bool:
    """Return whether temperatures said to be in °F are such as houses have in °C, and frost in °F."""
    low, high = HOUSE_C
    middle = sorted(values)[len(values) // 2]
    return low <= middle <= high


def read_value(text: str, unit: str, right: str) -> float:
    """Return a number as typed, with or without its unit.

    Raises:
        Refused: not a number, or in another unit; `right` says what it is instead.
    """
    found = _NUMBER.fullmatch(_with_point(text.strip()))
    said = "" if found is None else found[2].casefold().strip("° ")
    if (
        found is None
        or said in ("f", "c")
        or (said == "%" and not unit.startswith("%"))
        or (said == "g" and unit != "g")
    ):
        raise Refused(f"{quoted(text)} is not {right}.")
    return float(found[1])


def read_inches(text: str, unit: int = INCH) -> float:
    """Return a length in inches, as typed: with its unit, or a bare number or fraction of `unit` (1/4064 inch each).

    Raises:
        Refused: not a length.
    """
    bare = _BARE.fullmatch(with_point(text.strip()))
    if bare is None:
        return parse_length(text) / INCH
    if bare[4]:
        number = Fraction(bare[4])
    elif int(bare[3]) == 0:
        raise Refused(f"{quoted(text)} is not a length: nothing is divided by 0.")
    else:
        number = int(bare[1] or 0) + Fraction(int(bare[2]), int(bare[3]))
    return float(number * unit / INCH)


def read_gap(text: str, units: UnitSystem = "us") -> float:
    """Return what is free under a straightedge, in inches, as typed: with its unit, ``5/16`` (in) or a bare number of mm in a metric shop.

    Nothing is rounded: a gap is held to its limit in the unit it was read in. In millimetres it is read to a tenth.

    Raises:
        Refused: not a length, a bare number that may be meant in another unit, or parts of a tenth of a millimetre.
    """
    text = with_point(text)
    bare = _BARE.fullmatch(text.strip())
    metric = units == "metric"
    if bare is not None and metric and bare[3]:
        raise Refused(
            f"{quoted(text)} without its unit may be inches: write {quoted(f'{text.strip()} in')}, or whole mm."
        )
    if bare is not None and not metric and bare[4] and float(bare[4]) >= 1:
        raise Refused(
            f"{quoted(text)} without its unit may be inches, sixteenths or mm: write it such as 3/16, 3 in or 5 mm."
        )
    own = _OF_UNIT.fullmatch(text.strip())
    in_mm = metric if own is None else own[2].casefold() in _METRIC_UNITS
    if own is not None and _BARE.fullmatch(own[1]):
        gap = read_inches(own[1], _GAP_UNITS[own[2].casefold()])
    else:
        gap = read_inches(text, MILLIMETRE if metric else INCH)
    tenths = gap * INCH * 10 / MILLIMETRE
    if in_mm and abs(tenths - round(tenths)) > _SAME_TENTH:
        raise Refused(
            f"{quoted(text)} is finer than a straightedge is read: write tenths of a mm, such as {round(tenths) / 10:g} mm."
        )
    return gap


def read_area(text: str, units: UnitSystem = "us") -> float:
    """Return an area in ft², as typed: ``120`` (ft², or m² in a metric shop), ``120 ft2`` or ``11 m2``.

    Raises:
        Refused: not an area.
    """
    found = _AREA.fullmatch(with_point(text.strip()))
    if found is None:
        raise Refused(f"{quoted(text)} is not an area: write it such as 120 ft2 or 11 m2.")
    metric = found[2].casefold().startswith("m") or (not found[2] and units == "metric")
    return float(found[1]) * (M2_FT2 if metric else 1.0)


@contextmanager
def told_of_line(name: str) -> Iterator[None]:
    """Put the name of what was typed before every refusal in the block, so that a form says it at that line."""
    try:
        yield
    except Refused as refused:
        raise Refused([f"{name}: {sentence}" for sentence in refused.sentences]) from None
