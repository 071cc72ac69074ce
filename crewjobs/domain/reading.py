"""Readings: the air of a room, boards against subfloor, a slab, a floor's surface; who read it, when, with what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from itertools import pairwise
from math import isfinite
from typing import Final

from crewjobs.domain.conditions import COLDEST_F, HOTTEST_F, MOST_RH
from crewjobs.domain.errors import Refused

MOST_SAMPLES: Final = 20_000
"""Of one logger file: two months of readings every five minutes."""
MOST_VALUES: Final = 500
WETTEST_WOOD: Final = 60.0
"""Moisture meters for floors show no more, in % of the dry wood."""
DISH_HOURS: Final = (60.0, 72.0)
"""How long a calcium chloride dish is exposed. Source: ASTM F1869."""
HEAVIEST_DISH_G: Final = 20.0
MOST_GAP_IN: Final = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AirSample:
    """The air at an instant (UTC): °F, and % relative humidity where it was read."""

    at: datetime
    temp_f: float
    rh: float | None = None

    def __post_init__(self) -> None:
        faults = [*temperature_faults(self.temp_f), *(() if self.rh is None else percent_faults(self.rh, "% RH"))]
        if faults:
            raise Refused(faults)


@dataclass(frozen=True, slots=True, kw_only=True)
class AirReadings:
    """What one meter or logger read of a room's air, in the order of time; `room` is empty for the whole house.

    `meter` says with what: a meter's name or a logger's file.
    """

    room: str
    samples: tuple[AirSample, ...]
    by: str = ""
    meter: str = ""

    def __post_init__(self) -> None:
        if not 0 < len(self.samples) <= MOST_SAMPLES:
            raise Refused(f"{len(self.samples)} readings of the air at once: it is 1 to {MOST_SAMPLES}.")
        if any(after.at < before.at for before, after in pairwise(self.samples)):
            raise Refused("readings of the air are in the order of time.")

    @property
    def first(self) -> datetime:
        """Return the instant of the first sample."""
        return self.samples[0].at


class ReadingKind(StrEnum):
    """What is read of a floor. The unit of each value is in `UNITS`."""

    BOARDS = "boards"
    SUBFLOOR = "subfloor"
    SURFACE = "surface"
    SLAB_RH = "slab rh"
    SLAB_VAPOR = "slab vapor"
    SLAB_PH = "slab ph"
    FLATNESS = "flatness"


UNITS: Final = {
    ReadingKind.BOARDS: "%",
    ReadingKind.SUBFLOOR: "%",
    ReadingKind.SURFACE: "°F",
    ReadingKind.SLAB_RH: "% RH",
    ReadingKind.SLAB_VAPOR: "g",
    ReadingKind.SLAB_PH: "pH",
    ReadingKind.FLATNESS: "in",
}
TIMED: Final = {
    ReadingKind.SLAB_RH: "hours since the probes were set",
    ReadingKind.SLAB_VAPOR: "hours the dishes were exposed",
}
"""Kinds whose values say nothing without the hours before them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Values of one kind, read in one place at one time (UTC).

    `values` is one for each board, place, hole or dish. `room` is where; `material` whose boards. `hours` is how long probes were
    in their holes or dishes exposed, None for all else. `target` is the moisture that the shop wanted in wood when boards were
    read: kept with the facts seen.
    """

    kind: ReadingKind
    at: datetime
    room: str
    values: tuple[float, ...]
    material: str = ""
    hours: float | None = None
    by: str = ""
    meter: str = ""
    target: float | None = None

    def __post_init__(self) -> None:
        faults = [*self._faults()]
        if faults:
            raise Refused(faults)

    def _faults(self) -> Iterator[str]:
        if not 0 < len(self.values) <= MOST_VALUES:
            yield f"{len(self.values)} values of a reading: it is 1 to {MOST_VALUES}."
        for value in dict.fromkeys(self.values):
            yield from value_faults(self.kind, value)
        if (self.hours is not None) != (self.kind in TIMED):
            yield (
                f"a reading of {self.kind} comes with the {TIMED[self.kind]}."
                if self.kind in TIMED
                else f"a reading of {self.kind} has no hours before it."
            )
        elif self.kind is ReadingKind.SLAB_VAPOR and self.hours is not None:
            low, high = DISH_HOURS
            if not low <= self.hours <= high:
                yield f"dishes exposed for {self.hours:g} h say nothing: it is {low:g} to {high:g} h (ASTM F1869); set new ones."
        elif self.hours is not None and not 0 <= self.hours <= 24 * 366:
            yield f"{self.hours:g} h since the probes were set: it is 0 h to a year."
        if (self.kind is ReadingKind.BOARDS) != bool(self.material):
            yield "a reading of boards says of which material, and no other reading does."
        if self.target is not None and self.kind is not ReadingKind.BOARDS:
            yield f"a reading of {self.kind} has no target."

    @property
    def mean(self) -> float:
        """Return the mean of the values."""
        return sum(self.values) / len(self.values)


def value_faults(kind: ReadingKind, value: float) -> Iterator[str]:
    """Yield a sentence if a value of a kind cannot be."""
    if kind is ReadingKind.SURFACE:
        yield from temperature_faults(value)
    elif kind is ReadingKind.SLAB_RH:
        yield from percent_faults(value, "% RH")
    elif kind is ReadingKind.SLAB_PH:
        if not (isfinite(value) and 0 <= value <= 14):
            yield f"pH {value:g} cannot be: it is 0 to 14."
    elif kind is ReadingKind.FLATNESS:
        if not (isfinite(value) and 0 <= value <= MOST_GAP_IN):
            yield f"{value:g} in under a straightedge of 10 ft cannot be: it is 0 to {MOST_GAP_IN:g} in."
    elif kind is ReadingKind.SLAB_VAPOR:
        if not (isfinite(value) and 0 <= value <= HEAVIEST_DISH_G):
            yield f"{value:g} g gained by a dish cannot be: it is 0 to {HEAVIEST_DISH_G:g} g."
    else:
        yield from percent_faults(value, "% moisture", WETTEST_WOOD)


def temperature_faults(temp_f: float) -> Iterator[str]:
    """Yield a sentence if a temperature in °F cannot be in a house."""
    if not (isfinite(temp_f) and COLDEST_F <= temp_f <= HOTTEST_F):
        yield f"{temp_f:g} °F cannot be in a house: it is {COLDEST_F:g} to {HOTTEST_F:g} °F."


def percent_faults(value: float, unit: str, most: float = MOST_RH) -> Iterator[str]:
    """Yield a sentence if a percentage cannot be, or is written as a fraction."""
    if 0 < value < 1:
        yield f"{value:g} {unit} looks like a fraction: write {100 * value:g} for {100 * value:g} %."
    elif not (isfinite(value) and 0 <= value <= most):
        yield f"{value:g} {unit} cannot be: it is 0 to {most:g}."
