"""How flat a subfloor has to be before a floor is laid on it: the gap under a straightedge of 10 ft, by how the floor is held."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from crewjobs.domain.material import WOOD, Material, Method
from crewjobs.domain.units import INCH, MILLIMETRE, UnitSystem, format_cut

_WHOLE: Final = 1e-3
_SAME: Final = 0.5
"""Half of the unit that lengths are counted in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatnessLimit:
    """The most that may be free under a straightedge of 10 ft (1/4064 inch), and where that is from; the floor's maker decides."""

    gap: int
    source: str


RESILIENT = FlatnessLimit(gap=3 * INCH // 16, source="ASTM F710, after summaries")
WOOD_FREE = FlatnessLimit(gap=INCH // 4, source="wood flooring guidelines for nailed and floated wood, from memory")
WOOD_GLUED = FlatnessLimit(gap=3 * INCH // 16, source="wood flooring guidelines for glued wood, from memory")


def within(gap_in: float, limit: FlatnessLimit) -> bool:
    """Return whether a gap in inches is within a limit; one read in whole millimetres is held to the limit in whole millimetres."""
    if _whole(gap_in * INCH / MILLIMETRE):
        return round(gap_in * INCH / MILLIMETRE) <= round(limit.gap / MILLIMETRE)
    return gap_in * INCH <= limit.gap + _SAME


def gap_words(gap_in: float, units: UnitSystem) -> str:
    """Return a gap in inches as the rule shows it, or as it was read where the rule's marks would hide a difference."""
    millimetres = gap_in * INCH / MILLIMETRE
    if _whole(gap_in * 32) or _whole(millimetres):
        return format_cut(round(gap_in * INCH), units)
    return f"{millimetres:.3g} mm" if units == "metric" else f"{gap_in:.3g} in"


def _whole(number: float) -> bool:
    return abs(number - round(number)) < _WHOLE


def flatness_limit(material: Material) -> FlatnessLimit:
    """Return how flat a material wants its subfloor; laminate as resilient floors (common practice)."""
    if material.kind not in WOOD:
        return RESILIENT
    return WOOD_GLUED if material.method is Method.GLUED else WOOD_FREE
