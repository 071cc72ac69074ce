"""The values of a reading as typed, and its hours: what they must be for each kind of reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.reading import TIMED, UNITS, ReadingKind
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
_HOURS: Final = {ReadingKind.SLAB_RH: "72", ReadingKind.SLAB_VAPOR: "66"}


def read_values(kind: str, values: Sequence[str], units: UnitSystem) -> tuple[float, ...]:
    """Return the values of a reading: of air °F and, where it was read, % relative humidity; else in the kind's own unit.

    Raises:
        Refused: none, too many, or one that is no such value.
    """
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
    return read_value(text.strip().removesuffix("h").strip(), "h", "a number of hours")
