"""The values of a reading as typed, and its hours: what they must be for each kind of reading."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.reading import TIMED, UNITS, ReadingKind
from crewjobs.domain.units import quoted
from crewjobs.services.typed_values import read_gap, read_temperature, read_value

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem

AIR: Final = "air"
_ALIKE: Final = {
    ReadingKind.BOARDS: "in %, such as 7.5 8",
    ReadingKind.SUBFLOOR: "in %, such as 10 11.5",
    ReadingKind.SLAB_RH: "in % RH, such as 72 74",
    ReadingKind.SLAB_VAPOR: "in grams, such as 1.8 1.7 1.6",
    ReadingKind.SLAB_PH: "such as 8.5 9",
}
_SUCH_AS: Final[Mapping[UnitSystem, Mapping[ReadingKind, str]]] = {
    "us": {**_ALIKE, ReadingKind.SURFACE: "in °F, such as 62", ReadingKind.FLATNESS: "in inches, such as 1/8 3/16"},
    "metric": {**_ALIKE, ReadingKind.SURFACE: "in °C, such as 17", ReadingKind.FLATNESS: "in millimetres, such as 3 5"},
}
"""How values are written, by the shop's units; the values themselves are made up."""
_BETWEEN: Final = re.compile(r";|(?<!\d),|,(?!\d)|(?<=/\d),|(?<=/\d\d),", re.ASCII)
"""What stands between two values: of a comma between digits it is not known, unless a fraction ends before it."""
_BARE: Final = re.compile(r"\d+,\d+", re.ASCII)
_HOURS: Final = {ReadingKind.SLAB_RH: "72", ReadingKind.SLAB_VAPOR: "66"}


def read_values(kind: str, values: Sequence[str], units: UnitSystem) -> tuple[float, ...]:
    """Return the values of a reading, each apart, or parted by semicolons or commas: of air °F and, where it was read, % relative humidity; else in the kind's own unit.

    Raises:
        Refused: none, too many, one that is no such value, or what may be one with a decimal comma or two.
    """
    values = [value for typed in values for value in _apart(typed, units)]
    if kind == AIR:
        if not 1 <= len(values) <= 2:
            raise Refused("air is read as a temperature and a humidity, such as 70F 40%.")
        humidity = [read_value(value, "% RH", "a humidity, such as 40%") for value in values[1:]]
        return (read_temperature(values[0], units), *humidity)
    what = ReadingKind(kind)
    if not values:
        raise Refused(
            f"a reading of {what} has one value or more: give them one after the other, {_SUCH_AS[units][what]}."
        )
    if what is ReadingKind.SURFACE:
        return tuple(read_temperature(value, units) for value in values)
    if what is ReadingKind.FLATNESS:
        return tuple(read_gap(value, units) for value in values)
    return tuple(read_value(value, UNITS[what], f"a value in {UNITS[what]}") for value in values)


def _apart(typed: str, units: UnitSystem) -> Iterator[str]:
    """Yield the values in what was typed as one: in a metric shop ``8,5`` is one, elsewhere it may be two and is asked about.

    Raises:
        Refused: it may be read in two ways.
    """
    for text in filter(None, map(str.strip, _BETWEEN.split(typed))):
        commas = text.count(",")
        if commas > 1 or (commas and units != "metric" and _BARE.fullmatch(text)):
            point, blank = text.replace(",", ".", 1), text.replace(",", " ")
            raise Refused(
                f"{quoted(text)} may be one value or more: write a point in a value, such as {point if commas == 1 else '8.5'}, "
                f"and a blank between values, such as {blank}."
            )
        yield text.replace(",", ".")


def read_hours(kind: str, text: str) -> float | None:
    """Return the hours a reading took, None where none are written.

    Raises:
        Refused: the kind needs them, or they are not hours.
    """
    if not text.strip():
        if kind != AIR and (timed := TIMED.get(ReadingKind(kind))):
            raise Refused(
                f"a reading of {kind} comes with the {timed}: give them, such as {_HOURS[ReadingKind(kind)]}."
            )
        return None
    plain = text.strip().removesuffix("h").strip()
    return read_value(plain.replace(",", ".") if _BARE.fullmatch(plain) else plain, "h", "a number of hours")
