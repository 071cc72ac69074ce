"""What a floor asks of the air it lies in and of the slab under it: the maker's rule, else the usual one of its kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.errors import Refused

COLDEST_F: Final = -40.0
HOTTEST_F: Final = 130.0
"""No air or floor of a house that somebody works in is colder or hotter."""
MOST_RH: Final = 100.0


class Outside(StrEnum):
    """What a reading out of range does to the hours of acclimation."""

    STOPS = "clock stops"
    """Hours count again from the next reading in range."""
    STARTS_AGAIN = "starts again"
    """All hours are counted anew from the next reading in range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """From a value to a value, both in it."""

    low: float
    high: float

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high

    def __str__(self) -> str:
        return f"{self.low:g}–{self.high:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """The air in which a material acclimates and is laid: °F, and % relative humidity (None where nothing is asked of it)."""

    temperature: Range
    humidity: Range | None = None
    outside: Outside = Outside.STOPS

    def __post_init__(self) -> None:
        faults = [*self._faults()]
        if faults:
            raise Refused(faults)

    def _faults(self) -> Iterator[str]:
        for what, unit, span, low, high in (
            ("temperature", "°F", self.temperature, COLDEST_F, HOTTEST_F),
            ("humidity", "% RH", self.humidity, 0.0, MOST_RH),
        ):
            if span is not None and not low <= span.low < span.high <= high:
                yield f"{what} {span} {unit}: write the lower value first, {low:g} to {high:g}, such as {_EXAMPLE[what]}."

    def fits(self, temp_f: float | None, rh: float | None) -> bool:
        """Return whether air is in range, by what of it was read."""
        return (temp_f is None or temp_f in self.temperature) and (
            rh is None or self.humidity is None or rh in self.humidity
        )

    @property
    def words(self) -> str:
        """Return the ranges as people say them: ``65–85 °F and 30–50 % RH``."""
        return f"{self.temperature} °F" + (f" and {self.humidity} % RH" if self.humidity is not None else "")


_EXAMPLE: Final = {"temperature": '"65-85"', "humidity": '"30-50"'}


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabLimits:
    """What a floor or its adhesive allows of a slab, each at most: % RH in the slab, lb/1000 ft²/24 h, pH."""

    rh: float
    vapor: float
    ph: float

    def __post_init__(self) -> None:
        faults = [
            f"{what} of the slab {value:g}: it is more than {low:g} and at most {high:g}."
            for what, value, low, high in (
                ("relative humidity", self.rh, 0.0, MOST_RH),
                ("vapor emission", self.vapor, 0.0, 25.0),
                ("pH", self.ph, 0.0, 14.0),
            )
            if not low < value <= high
        ]
        if faults:
            raise Refused(faults)


USUAL_SLAB: Final = SlabLimits(rh=75.0, vapor=3.0, ph=9.0)
"""Where neither maker nor adhesive gives a limit. Source: ASTM F710 in secondary texts; newer editions defer to pH 10 or
the maker (MEMORY)."""
