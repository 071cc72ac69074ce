"""A furnished house as the judge of the furniture engine sees it.

The modules of this folder are a judge. They share nothing with the engine: neither its types nor its reader, its
costs or its rules. A mistake made once would otherwise be made on both sides, and agree with itself.

Names are those of the format. Areas are ft2, lengths ft, weights lb, amounts labor minutes to 0.1.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

# What is done, and where every piece stands meanwhile; no work is a wait.
Stage = tuple[tuple[str, ...], Mapping[str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A floor that is worked or a place that holds furniture; capacities are whole ft2 of furniture.

    A passage capacity below zero is smaller than its walkway: it is not crossed, even empty.
    """

    name: str
    area: float
    packing_factor: float
    capacity_ft2: int
    capacity_as_passage_ft2: int
    worked: bool
    room: str
    power: bool
    sleep: bool
    outdoor: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """A way between two zones, or between a zone and outside, walked in both directions."""

    a: str
    b: str
    distance_ft: float
    doors: int
    steps: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A piece or a group moved as one; `move_minutes[from][to]` is for all its persons together."""

    id: str
    name: str
    home: str
    footprint_ft2: float
    weight_lb: float
    persons: int
    setdown_min: float
    is_bed: bool
    allowed: tuple[str, ...]
    night_cost_min: float
    move_minutes: Mapping[str, Mapping[str, float]]

    @property
    def floor(self) -> int:
        """Return the floor it takes, in hundredths of ft2."""
        return round(self.footprint_ft2 * 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What the file says of its best plan; None where it does not say."""

    optimal_cost_min: float | None
    proof: str | None
    listed_order_rule_cost_min: float | None
    listed_order_rule_failure: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """A furnished house; zones and items in the order of the file."""

    name: str
    description: tuple[str, ...]
    zones: Mapping[str, Zone]
    passages: tuple[Passage, ...]
    outside: str
    walkway_ft2: float
    work_sets: tuple[tuple[str, ...], ...]
    precedence: tuple[tuple[str, str], ...]
    cure_zones: tuple[str, ...]
    setup_min: float
    wait_min: float
    beds_needed: int
    items: tuple[Item, ...]
    expected: Expected | None = None
    witness: tuple[Stage, ...] | None = None

    @property
    def worked(self) -> tuple[str, ...]:
        """Return the zones that are worked, in the order of the file."""
        return tuple(zone.name for zone in self.zones.values() if zone.worked)


def tenths(minutes: float) -> int:
    """Return minutes as a whole number of tenths; the reader lets no finer amount in."""
    return round(minutes * 10)


def capacities(area: float, packing_factor: float, walkway_ft2: float) -> tuple[int, int]:
    """Return what a zone holds and what it holds as a passage, in whole ft2, by exact decimals."""
    factor = Fraction(str(packing_factor))
    whole = Fraction(str(area))
    return math.floor(whole * factor), math.floor((whole - Fraction(str(walkway_ft2))) * factor)


def float_capacities(area: float, packing_factor: float, walkway_ft2: float) -> tuple[int, int]:
    """Return the same by binary floats, which can be 1 less: 90 * 0.7 falls short of 63."""
    return math.floor(area * packing_factor), math.floor((area - walkway_ft2) * packing_factor)
