"""How flat a subfloor has to be before a floor is laid on it: the gap under a straightedge of 10 ft, by how the floor is held."""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.domain.material import WOOD, Material, Method
from crewjobs.domain.units import INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatnessLimit:
    """The most that may be free under a straightedge of 10 ft (1/4064 inch), and where that is from; the floor's maker decides."""

    gap: int
    source: str


RESILIENT = FlatnessLimit(gap=3 * INCH // 16, source="ASTM F710, after summaries")
WOOD_FREE = FlatnessLimit(gap=INCH // 4, source="wood flooring guidelines for nailed and floated wood, from memory")
WOOD_GLUED = FlatnessLimit(gap=3 * INCH // 16, source="wood flooring guidelines for glued wood, from memory")


def within(gap_in: float, limit: FlatnessLimit) -> bool:
    """Return whether a gap in inches is within a limit, both to the thirty-second that a rule shows."""
    return round(gap_in * 32) <= round(limit.gap * 32 / INCH)


def flatness_limit(material: Material) -> FlatnessLimit:
    """Return how flat a material wants its subfloor; laminate as resilient floors (common practice)."""
    if material.kind not in WOOD:
        return RESILIENT
    return WOOD_GLUED if material.method is Method.GLUED else WOOD_FREE
