"""The rules planks of a kind are laid by where the maker's sheet was not typed in."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.material import WOOD, FloorKind, Material
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.units import INCH, square_feet
from crewjobs.engines.laying.model import Product, Profile

KERF: Final = INCH // 8
KERF_AT_45: Final = 3 * INCH // 16
"""A cut at 45 degrees takes the square root of 2 times as much of the length; rounded up."""
SHORTEST: Final = 8 * INCH
"""The shortest piece at a wall: 8 to 12 in, common practice, no source."""
SHORT_EDGE: Final = 2 * INCH
"""What a piece cut at 45 degrees keeps of its length on the shorter edge; common practice, no source."""
GAP: Final = {  # common practice, no source (laminate: general guides); the maker's sheet comes first
    FloorKind.CLICK_VINYL: INCH // 4,
    FloorKind.GLUED_VINYL: INCH // 8,
    FloorKind.LAMINATE: 3 * INCH // 8,
    FloorKind.ENGINEERED_WOOD: INCH // 2,
    FloorKind.SOLID_WOOD: 3 * INCH // 4,
}
"""What stays free at the walls."""
LEAST_STAGGER: Final = 6 * INCH
"""Resilient planks: the larger of the plank's width and this; common practice, no source."""
ROUNDED: Final = 0.25
"""Cover printed on a carton is off by so much of a plank at most; beyond it is a guess, and the lower count is taken."""
SECOND_ROW: Final = 2 * INCH
"""Joints of a row and the next but one lie so far apart, so that no H shows; common practice, no source."""


def gap_of(material: Material) -> int:
    """Return what stays free at the walls."""
    return material.gap if material.gap is not None else GAP.get(material.kind, INCH // 4)


def profile_of(material: Material) -> Profile:
    """Return what the ends of a plank allow."""
    return Profile.NONE if material.kind is FloorKind.GLUED_VINYL else Profile.CLICK


def in_carton(material: Material) -> int:
    """Return how many planks a carton holds: as the maker says, else what its cover comes to."""
    plank = square_feet(2 * material.plank_width * material.plank_length)
    return material.in_carton or max(1, int(material.carton_ft2 / plank + ROUNDED))


def carton_words(material: Material) -> str:
    """Return how many planks were taken for a carton, where its cover is no whole number of them; empty where it is, or was said."""
    if material.in_carton is not None or material.is_sheet or material.lengths:
        return ""
    plank = square_feet(2 * material.plank_width * material.plank_length)
    count, exact = in_carton(material), material.carton_ft2 / plank
    if abs(exact - count) <= ROUNDED:
        return ""
    return f"{count} planks of {material.name} in a carton (its {material.carton_ft2:g} ft² would be {exact:.1f} of them): write `planks`"


def stagger_of(material: Material) -> int:
    """Return how far end joints of neighboring rows are apart at least.

    Wood by its width: 6 in for strip, 8 in for planks of 3 to 5 in, 10 in for wider ones (national wood flooring guidelines, 2008
    revision, read at second hand); others by their own width. Never more than a third of a plank.
    """
    if material.stagger is not None:
        return material.stagger
    width = material.plank_width
    usual = max(width, LEAST_STAGGER)
    if material.kind in WOOD:
        usual = 6 * INCH if width < 3 * INCH else 8 * INCH if width <= 5 * INCH else 10 * INCH
    return min(usual, material.plank_length // 3)


def shortest_of(material: Material) -> int:
    """Return the shortest piece beside a joint; at 45 degrees so long that its short edge is 2 in still."""
    if material.shortest is not None:
        return material.shortest
    usual = SHORTEST if material.pattern is not Pattern.DIAGONAL else max(SHORTEST, material.plank_width + SHORT_EDGE)
    return min(usual, material.plank_length // 2)


def product_of(material: Material) -> Product:
    """Return a material's plank with its rules.

    Raises:
        Refused: rules no plank of that size keeps.
    """
    return Product(
        length=material.plank_length,
        width=material.plank_width,
        kerf=KERF_AT_45 if material.pattern is Pattern.DIAGONAL else KERF,
        per_carton=in_carton(material),
        min_piece=shortest_of(material),
        stagger=stagger_of(material),
        second_row=min(SECOND_ROW, stagger_of(material)),
        profile=profile_of(material),
        gap=gap_of(material),
    )
