"""What a floor does with the seasons over its whole run, held against what is free at its walls.

Along its rows and across them a floor is as long as its outline; what it grows goes to both ends alike. Sources of the figures:
`climate.movement` and `climate.wood_moisture`; longest runs from general guides and practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.material import WOOD, FloorKind, Material, Method
from crewjobs.domain.units import FOOT
from crewjobs.engines.climate import movement
from crewjobs.engines.climate.wood_moisture import equilibrium_moisture
from crewjobs.engines.laying.floors import FieldRows
from crewjobs.engines.take_off.rules import gap_of

LONGEST_RUNS: Final = {
    FloorKind.LAMINATE: (26 * FOOT, 40 * FOOT),  # general guide
    FloorKind.CLICK_VINYL: (30 * FOOT, 60 * FOOT),  # common practice, no source
}
"""From where to where makers set the longest run of a floating floor before a break; its own sheet decides."""
VINYL: Final = frozenset({FloorKind.CLICK_VINYL, FloorKind.GLUED_VINYL, FloorKind.SHEET_VINYL})


class Way(StrEnum):
    """Which way a run goes."""

    ALONG = "along the rows"
    ACROSS = "across the rows"


class Moves(StrEnum):
    """What moves it."""

    HEAT = "heat"
    MOISTURE = "moisture"


@dataclass(frozen=True, slots=True, kw_only=True)
class RunOf:
    """A floor's whole run one way (1/4064 inch): what it grows from one end of its conditions to the other, None where that is not known.

    `between` are these ends, °F or % of moisture; `longest` the shortest and the longest run that makers allow without a break.
    """

    way: Way
    length: int
    longest: tuple[int, int] | None
    grows: float | None
    moves: Moves
    between: tuple[float, float]
    gap: int

    @property
    def breaks(self) -> bool:
        """Return whether it is longer than some makers allow without a break."""
        return self.longest is not None and self.length > self.longest[0]

    @property
    def over(self) -> bool:
        """Return whether it grows more than both gaps take."""
        return self.grows is not None and self.grows > 2 * self.gap


def runs_of(material: Material, rows: FieldRows) -> Iterator[RunOf]:
    """Yield the runs of a field along and across its rows; nothing for what is glued down all over, which does not move as a whole."""
    if material.method is Method.GLUED:
        return
    corners = [rows.frame.to(point) for point in rows.field.outline]
    floating = material.method is Method.FLOATING
    for way, axis in ((Way.ALONG, 0), (Way.ACROSS, 1)):
        length = max(point[axis] for point in corners) - min(point[axis] for point in corners)
        longest = LONGEST_RUNS.get(material.kind) if floating else None
        if material.kind in VINYL:
            low, high = material.asks.temperature.low, material.asks.temperature.high
            grows: float | None = movement.vinyl_movement(length, low, high)
            moves = Moves.HEAT
        elif material.kind in WOOD and way is Way.ACROSS:
            low, high = _moistures(material)
            per = movement.coefficient(material.species, movement.Cut(material.cut)) if material.species else None
            grows = None if per is None else movement.wood_movement(length, per, low, high)
            moves = Moves.MOISTURE
        else:
            low = high = 0.0
            grows, moves = None, Moves.MOISTURE
        if grows is not None or longest is not None:
            yield RunOf(
                way=way,
                length=length,
                longest=longest,
                grows=grows,
                moves=moves,
                between=(low, high),
                gap=gap_of(material),
            )


def _moistures(material: Material) -> tuple[float, float]:
    """Return the moisture wood comes to at both ends of the air it is kept in, in the middle of its temperatures."""
    asks = material.asks
    middle = (asks.temperature.low + asks.temperature.high) / 2
    span = asks.humidity
    found = [equilibrium_moisture(middle, rh) for rh in ((span.low, span.high) if span is not None else (30.0, 50.0))]
    low, high = movement.MOISTURES
    return max(low, min(high, found[0])), max(low, min(high, found[1]))
