"""How flat a subfloor has to be before a floor is laid on it: the gap under a straightedge of 10 ft, by how the floor is held."""

from __future__ import annotations

from collections.abc import Sequence
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
    """Return whether a gap in inches is within a limit; one read in millimetres is held to the limit in whole millimetres."""
    millimetres = read_millimetres(gap_in)
    if millimetres is not None:
        return millimetres <= round(limit.gap / MILLIMETRE)
    return gap_in * INCH <= limit.gap + _SAME


def worst(gaps_in: Sequence[float], limit: FlatnessLimit) -> float:
    """Return the gap that counts of several, in inches: the largest of those over the limit, else the largest."""
    return max(gaps_in, key=lambda gap: (not within(gap, limit), gap))


def read_millimetres(gap_in: float) -> float | None:
    """Return a gap in inches as the millimetres it was read in; None where it was read in inches.

    In millimetres it is read to a tenth, which no thirty-second of an inch under half of one is.
    """
    tenths = gap_in * INCH * 10 / MILLIMETRE
    return round(tenths) / 10 if _whole(tenths) and not _whole(gap_in * 32) else None


def limit_words(gap_in: float, limit: FlatnessLimit, units: UnitSystem) -> str:
    """Return a limit in the words a gap is held to it in."""
    if read_millimetres(gap_in) is not None:
        return f"{round(limit.gap / MILLIMETRE)} mm"
    exact = units == "metric" and not _whole(gap_in * 32)
    return f"{limit.gap / MILLIMETRE:.3g} mm" if exact else format_cut(limit.gap, units)


def gap_words(gap_in: float, units: UnitSystem) -> str:
    """Return a gap in inches as the rule shows it, or as it was read: in millimetres, or where the rule's marks would hide a difference."""
    millimetres, read = gap_in * INCH / MILLIMETRE, read_millimetres(gap_in)
    if read:
        return f"{read:g} mm"
    if _whole(gap_in * 32):
        return format_cut(round(gap_in * INCH), units)
    return f"{millimetres:.3g} mm" if units == "metric" else f"{gap_in:.3g} in"


def _whole(number: float) -> bool:
    return abs(number - round(number)) < _WHOLE


def flatness_limit(material: Material) -> FlatnessLimit:
    """Return how flat a material wants its subfloor; laminate as resilient floors (common practice)."""
    if material.kind not in WOOD:
        return RESILIENT
    return WOOD_GLUED if material.method is Method.GLUED else WOOD_FREE
