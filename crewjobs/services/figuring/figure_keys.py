"""What a figure is given: keys with their kind, read as typed, each fault with its key."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from math import isfinite
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.reading import percent_faults, temperature_faults
from crewjobs.domain.units import FOOT, INCH, MILLIMETRE, UnitSystem, quoted
from crewjobs.domain.wording import listed
from crewjobs.services.typed_values import read_area, read_inches, read_temperature, read_value

Value = float | str
LARGEST: Final = 1e6
POUNDS_A_KILOGRAM: Final = 1 / 0.45359237


class Kind(StrEnum):
    """What a key holds."""

    TEMPERATURE = "temperature"
    HUMIDITY = "humidity"
    PERCENT = "percent"
    MOISTURE = "moisture"
    INCHES = "length in inches"
    FEET = "length in feet"
    AREA = "area"
    NUMBER = "number"
    WORD = "word"


EXPECTS: Final = {
    Kind.TEMPERATURE: "°F, or 21C",
    Kind.HUMIDITY: "% RH",
    Kind.PERCENT: "%",
    Kind.MOISTURE: "% moisture",
    Kind.INCHES: "in, or with its unit",
    Kind.FEET: "ft, or with its unit",
    Kind.AREA: "ft², or 11 m2",
    Kind.NUMBER: "",
    Kind.WORD: "",
}


METRIC: Final = {
    Kind.TEMPERATURE: "°C",
    Kind.INCHES: "mm, or with its unit",
    Kind.FEET: "m, or with its unit",
    Kind.AREA: "m²",
}
"""What is written in a metric shop where it is otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """A key of a figure. Numbers lie from `least` (or above it, where `above`) to `most`; words are one of `words`.

    `usual` is what it is where it is not given; None where it must be.
    """

    name: str
    kind: Kind
    says: str
    least: float = 0.0
    most: float = LARGEST
    above: bool = False
    words: tuple[str, ...] = ()
    usual: str | None = None
    unit: str = ""

    @property
    def expects(self) -> str:
        """Return what is written for it: its unit or its words."""
        return listed(self.words, most=len(self.words)) if self.words else self.unit or EXPECTS[self.kind]

    def expects_in(self, units: UnitSystem) -> str:
        """Return what is written for it in a shop that works in these units."""
        if units == "us" or self.words:
            return self.expects
        return "kg" if self.unit == "lb" else self.unit or METRIC.get(self.kind, EXPECTS[self.kind])

    def usual_in(self, units: UnitSystem) -> str:
        """Return what it usually is, for a person."""
        if units == "metric" and self.kind is Kind.INCHES and self.usual:
            return told_in(f"{self.usual} in", units)
        return self.usual or ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """The values of a figure's keys. Lengths are inches, temperatures °F, areas ft²."""

    values: Mapping[str, Value]

    def number(self, key: str) -> float:
        """Return a number."""
        value = self.values[key]
        assert isinstance(value, float)
        return value

    def word(self, key: str) -> str:
        """Return a word."""
        return str(self.values[key])


_WEIGHT: Final = re.compile(r"(.*?)\s*(kg|lbs?)", re.IGNORECASE)
"""A weight with its unit, whatever the shop works in."""


def read_given(figure: str, keys: Sequence[Key], words: Sequence[str], units: UnitSystem) -> Given:
    """Return the values of ``key=value`` words.

    Raises:
        Refused: with every fault: no such key, one twice, one missing, a value that cannot be.
    """
    known = {key.name: key for key in keys}
    texts: dict[str, str] = {}
    faults: list[str] = []
    for word in words:
        name, sign, text = word.partition("=")
        name = name.strip().casefold().replace("_", "-")
        if not sign:
            faults.append(f"{figure}: {quoted(word)} is not key=value: write such as {keys[0].name}=….")
        elif name not in known:
            close = get_close_matches(name[:40], list(known), n=1)
            meant = f" (did you mean {close[0]}?)" if close else ""
            faults.append(
                f"{figure}: there is no key {quoted(name)}{meant}: its keys are {listed(list(known), most=12)}."
            )
        elif name in texts:
            faults.append(f"{figure}: {name} is given twice.")
        else:
            texts[name] = text.strip()
    missing = [key for key in keys if key.usual is None and not texts.get(key.name)]
    if not faults and missing:
        wanted = [
            f"{key.name} ({key.says}, {key.expects_in(units)})" if key.expects else f"{key.name} ({key.says})"
            for key in missing
        ]
        faults.append(f"{figure}: {listed(wanted, most=12)} {'is' if len(missing) == 1 else 'are'} missing.")
    values: dict[str, Value] = {}
    for key in keys:
        try:
            typed = texts.get(key.name)
            values[key.name] = read_key(key, typed or key.usual or "", units if typed else "us")
        except Refused as fault:
            if texts.get(key.name):
                faults.append(f"{figure}: {key.name}: {fault.sentences[0]}")
    if faults:
        raise Refused(faults)
    return Given(values=values)


def read_key(key: Key, text: str, units: UnitSystem = "us") -> Value:
    """Return the value of a key as typed.

    Raises:
        Refused: it cannot be.
    """
    if key.kind is Kind.WORD:
        return _word(key, text)
    said = _WEIGHT.fullmatch(text.strip()) if key.unit == "lb" else None
    kilograms = said[2].casefold() == "kg" if said is not None else units == "metric"
    value = _READ[key.kind](said[1] if said is not None else text, units)
    value *= POUNDS_A_KILOGRAM if kilograms and key.unit == "lb" else 1.0
    faults = [
        *(temperature_faults(value) if key.kind is Kind.TEMPERATURE else ()),
        *(percent_faults(value, EXPECTS[key.kind]) if key.kind in (Kind.HUMIDITY, Kind.MOISTURE, Kind.PERCENT) else ()),
    ]
    low = value <= key.least if key.above else value < key.least
    if not faults and units == "metric" and isfinite(value) and (low or value > key.most):
        faults.append(f"{quoted(text)} cannot be: {_range_in_metric(key)}.")
    elif not faults and (not isfinite(value) or low or value > key.most):
        scale = 12.0 if key.kind is Kind.FEET else 1.0
        between = f"more than {key.least / scale:g}" if key.above else f"{key.least / scale:g} or more"
        up_to = "" if key.most >= LARGEST else f" and at most {key.most / scale:g}"
        faults.append(f"{quoted(text)} cannot be: it is {between}{up_to}{_unit_of(key)}.")
    if faults:
        raise Refused(faults)
    return value


def _range_in_metric(key: Key) -> str:
    """Return the range of a key in metric, rounded as the trade rounds."""
    unit = {Kind.INCHES: "in", Kind.FEET: "in", Kind.AREA: "ft²"}.get(key.kind, key.unit)
    least, most = (
        "0" if not bound else told_in(f"{bound:g} {unit}".strip(), "metric") for bound in (key.least, key.most)
    )
    above = f"more than {least}" if key.above else f"{least} or more"
    return f"it is {above}" + ("" if key.most >= LARGEST else f" and at most {most}")


def _unit_of(key: Key) -> str:
    unit = {Kind.INCHES: "in", Kind.FEET: "ft", Kind.AREA: "ft²"}.get(key.kind, key.unit)
    return f" {unit}" if unit else ""


def _word(key: Key, text: str) -> str:
    plain = " ".join(text.casefold().split())
    if plain in key.words:
        return plain
    close = get_close_matches(plain[:60], list(key.words), n=1)
    meant = f" (did you mean {close[0]}?)" if close else ""
    raise Refused(f"{quoted(text)} is not listed{meant}: it is one of {listed(key.words, most=len(key.words))}.")


def _plain_number(text: str, _: UnitSystem) -> float:
    return read_value(text, "", "a number")


def _percent(text: str, _: UnitSystem) -> float:
    return read_value(text, "%", "a percentage, such as 40")


_READ: Final[Mapping[Kind, Callable[[str, UnitSystem], float]]] = {
    Kind.TEMPERATURE: read_temperature,
    Kind.HUMIDITY: _percent,
    Kind.PERCENT: _percent,
    Kind.MOISTURE: _percent,
    Kind.INCHES: lambda text, units: read_inches(text, MILLIMETRE if units == "metric" else INCH),
    Kind.FEET: lambda text, units: read_inches(text, 1000 * MILLIMETRE if units == "metric" else FOOT),
    Kind.AREA: read_area,
    Kind.NUMBER: _plain_number,
}
