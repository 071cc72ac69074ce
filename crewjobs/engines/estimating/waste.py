"""What is bought over a floor's area by the rule of thumb, by how its pieces lie."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.material import Material
from crewjobs.domain.pattern import Pattern
from crewjobs.engines.estimating.quantities import USUAL_WASTE

WASTE: Final = {
    Pattern.STRAIGHT: USUAL_WASTE,
    Pattern.GRID: USUAL_WASTE,
    Pattern.THIRD_OFFSET: USUAL_WASTE,
    Pattern.DIAGONAL: 0.15,
    Pattern.DIAGONAL_GRID: 0.15,
    Pattern.HERRINGBONE: 0.20,
}
"""Diagonal 15 %, herringbone 15 to 20 %: common practice, no source."""


def waste_of(material: Material) -> float:
    """Return what is bought over the area of a material, as a share of it."""
    return WASTE[material.pattern]
