"""How a slab's moisture is tested: how many holes or dishes, how deep, when they count, what they say.

Sources, in secondary texts where not said otherwise: ASTM F2170 (relative humidity in the slab), sections 9, 10.1, 10.2, 10.3.4;
ASTM F1869 (calcium chloride; its formula by the worked text of F1869-16a).
"""

from __future__ import annotations

from math import ceil
from typing import Final

FIRST_FT2: Final = 1000.0
FIRST_TESTS: Final = 3
PROBE_HOURS: Final = 24.0
"""A reading counts so long after the hole was drilled and lined (current editions; 72 h in older ones, F2170-09)."""
OLD_PROBE_HOURS: Final = 72.0
SERVICE_HOURS: Final = 48
"""Slab and air are at service conditions so long beforehand."""
ONE_SIDE: Final = 0.40
BOTH_SIDES: Final = 0.20
"""Share of the slab's thickness: drying from the top alone, and from both sides."""
NET_DISH_FT2: Final = (70 - 5.94) / 144
"""What is left under the dome beside the dish, ft² (F1869-16a)."""
DOME_FT2: Final = 0.486
"""The whole dome's floor, ft², as older forms count it: results differ by 9 %."""
GRAMS_LB: Final = 453.612
"""As the standard's worked text has it."""


def probe_count(area_ft2: float) -> int:
    """Return how many holes an area takes: three for the first 1000 ft², one for each further 1000 ft² begun."""
    return FIRST_TESTS + max(0, ceil((area_ft2 - FIRST_FT2) / FIRST_FT2 - 1e-9))


def dish_count(area_ft2: float) -> int:
    """Return how many calcium chloride dishes an area takes: as many as holes (F1869, MEMORY)."""
    return probe_count(area_ft2)


def probe_depth(thickness: float, sides: int) -> float:
    """Return how deep a hole goes, in the unit of the slab's thickness.

    Args:
        thickness: of the slab.
        sides: 1 where it dries from the top alone (on ground, over a vapor barrier, in a metal deck), 2 from both sides.
    """
    return thickness * (ONE_SIDE if sides == 1 else BOTH_SIDES)


def vapor_emission(grams: float, hours: float, area_ft2: float = NET_DISH_FT2) -> float:
    """Return the vapor emission in lb per 1000 ft² and 24 h, of what a dish gained in grams while exposed for some hours."""
    return 24 * 1000 * grams / (GRAMS_LB * area_ft2 * hours)
