"""The values of a reading as typed, and its hours: what they must be for each kind of reading."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.reading import TIMED, UNITS, ReadingKind
from crewjobs.services.typed_values import read_gap, read_temperature, read_value

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem

AIR: Final = "air"


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
        raise Refused(f"a reading of {what} has one value or more: give them one after the other, in {UNITS[what]}.")
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
            raise Refused(f"a reading of {kind} comes with the {timed}: give --hours.")
        return None
    return read_value(text.strip().removesuffix("h").strip(), "h", "a number of hours")
