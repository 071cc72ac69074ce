"""Sentences of the program's own, told in metric: their inches, feet, square feet, pounds and gallons by the rounding of the trade.

Rules, cautions and what supplies are counted by are written once, with the figures of their sources. A shop that works in metric
reads them in metric: what is rough stays rough (``3 in over`` is 75 mm), lengths with a tape's signs keep their millimetre.
User text is never passed through here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import floor, log10
from typing import Final

from crewjobs.domain.units import WRITE_LENGTHS, UnitSystem, format_length, parse_length

_NUMBER: Final = r"(?:\d{1,6} \d{1,3}/\d{1,3}|\d{1,3}/\d{1,3}|\d{1,6}(?:\.\d{1,4})?)"
_UNIT: Final = (
    r"lb/1000 ft²/24 h|ft² a gallon|ft of wall and seam a gallon|lb per 1000 ft² in 24 h|lb a square foot|running ft|square feet|ft²|ft³|in²|in³|fl oz|°F warmer|°F above|°F below|°F at least is|feet|ft|inches|inch|"
    r"in(?! (?:an?|the|all|one|reserve|every|each|secondary)\b)|lb|gallons?|cfm|°F"
)
_MEASURES: Final = re.compile(
    rf"(?<![\w'/.,])(?<! -)(?<!\btask )(?<!\bjob )(?<!\brow )(?<!\blot )"
    rf"({_NUMBER}(?:(?:-|\u2013| to | or | and | by )(?:{_NUMBER}))*)[ -]({_UNIT})(?![\w²³])"
)
_SIGNED: Final = re.compile(rf"(?<![\w/.])(?:\d{{1,5}}'(?: {_NUMBER}\")?|{_NUMBER}\")(?![\w'\"])")
_QUOTED: Final = r"(?<![\w'\"])'[^']*'(?!\w)"
_METRIC: Final = {  # how many of the metric unit one of it is, and that unit; lengths are told by their size
    "ft²": (0.09290304, "m²"), "square feet": (0.09290304, "m²"), "in²": (6.4516, "cm²"),
    "ft³": (28.316846592, "l"), "in³": (16.387064, "cm³"), "fl oz": (29.5735295625, "ml"),
    "lb": (0.45359237, "kg"), "lb a square foot": (4.88242764, "kg a square metre"),
    "lb/1000 ft²/24 h": (4.88242764, "g/m²/24 h"), "lb per 1000 ft² in 24 h": (4.88242764, "g/m² in 24 h"),
    "ft of wall and seam a gallon": (0.08051955, "m of wall and seam a litre"), "ft² a gallon": (0.02454257, "m² a litre"), "gallon": (3.785411784, "l"), "gallons": (3.785411784, "l"), "°F warmer": (1 / 1.8, "°C warmer"), "°F above": (1 / 1.8, "°C above"), "°F below": (1 / 1.8, "°C below"), "°F at least is": (1 / 1.8, "°C at least is"), "cfm": (1.69901082, "m³/h"),
}  # fmt: skip
_MILLIMETRES: Final = {"in": 25.4, "inch": 25.4, "inches": 25.4, "ft": 304.8, "feet": 304.8, "running ft": 304.8}

_WORDS: Final = (
    ("25 cfm an inch of wheel", "1.7 m³/h a millimetre of wheel"),
    ("25 cfm for each inch of the wheel", "1.7 m³/h for each millimetre of the wheel"),
    (WRITE_LENGTHS, "write it with its unit, such as 381 cm, 3.81 m or 3810 mm"),
    ("less than half an inch", "less than 13 mm"),
    ("each further 1000;", "each further 93 m²;"),
)
"""What is told otherwise than number by number."""


def told_in(text: str, units: UnitSystem, names: Iterable[str] = ()) -> str:
    """Return a sentence of the program's own in the units of a shop; `names` and what is quoted in it stay as typed."""
    if units != "metric":
        return text
    parts, at = list[str](), 0
    typed = [re.escape(name) for name in sorted(set(names), key=len, reverse=True) if name]
    for kept in re.finditer("|".join([*typed, _QUOTED]), text):
        parts += [_converted(text[at : kept.start()]), kept[0]]
        at = kept.end()
    return "".join([*parts, _converted(text[at:])])


def _converted(text: str) -> str:
    for ours, metric in _WORDS:
        text = text.replace(ours, metric)
    text = _MEASURES.sub(lambda found: _told(*found.groups()), text)
    return _SIGNED.sub(lambda found: format_length(parse_length(found[0]), "metric"), text)


def _told(numbers: str, unit: str) -> str:
    """Return measures of one unit in metric: ``4 to 6 in`` is ``100 to 150 mm``."""
    found = re.findall(_NUMBER, numbers)
    values = [_value(number) for number in found]
    digits = max(2, *(len(re.sub(r"^0+|0+$", "", number.replace(".", ""))) for number in found if "/" not in number), 0)
    if unit in _MILLIMETRES:
        sizes = [value * _MILLIMETRES[unit] for value in values]
        in_metres = max(sizes) >= LEAST_METRES
        words = [_rounded(size / 1000, digits) if in_metres else _millimetres(size) for size in sizes]
        metric = "m" if in_metres else "mm"
    elif unit == "°F":
        celsius = [(value - 32) / 1.8 for value in values]
        words = [
            f"{one:.1f}".removesuffix(".0") if "." in number else f"{one:.0f}"
            for one, number in zip(celsius, found, strict=True)
        ]
        metric = "°C"
    else:
        factor, metric = _METRIC[unit]
        words = [
            f"{value * factor:.1f}" if unit.startswith("°F") and "." in number else _rounded(value * factor, digits)
            for value, number in zip(values, found, strict=True)
        ]
    told = iter(words)
    return f"{re.sub(_NUMBER, lambda _: next(told), numbers)} {metric}"


LEAST_METRES: Final = 1000.0
"""Millimetres from which on a rough length is told in metres."""


def _value(number: str) -> float:
    whole, _, part = number.rpartition(" ")
    if "/" not in part:
        return float(part)
    over, under = part.split("/")
    return float(whole or 0) + float(over) / max(1.0, float(under))


def _millimetres(size: float) -> str:
    """Return a rough length in mm: to half a millimetre under 3, to 1 under 25, to 5 under 100, to 10 above."""
    step = next(step for limit, step in ((3.0, 0.5), (25.0, 1.0), (100.0, 5.0), (float("inf"), 10.0)) if size < limit)
    return f"{round(size / step) * step:g}"


def _rounded(value: float, digits: int) -> str:
    """Return a figure with as many leading digits as it was written with, two at least: rough figures stay rough."""
    if value <= 0:
        return f"{value:g}"
    step = 10.0 ** (floor(log10(value)) - digits + 1)
    return f"{round(value / step) * step:.10g}"
