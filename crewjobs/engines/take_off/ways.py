"""The ways in which a floor in cartons is laid out: each has a module of its own."""

from __future__ import annotations

from enum import StrEnum

from crewjobs.domain.material import Material
from crewjobs.domain.pattern import GRIDS, Pattern


class Way(StrEnum):
    """How a material is laid out."""

    ROWS = "rows"
    RANDOM_LENGTHS = "random lengths"
    TILES = "tiles"
    HERRINGBONE = "herringbone"


def way_of(material: Material) -> Way:
    """Return how a material is laid out: rows of equal planks (diagonal ones too), racked boards, a grid or a herringbone."""
    if material.lengths:
        return Way.RANDOM_LENGTHS
    if material.pattern in GRIDS:
        return Way.TILES
    return Way.HERRINGBONE if material.pattern is Pattern.HERRINGBONE else Way.ROWS
