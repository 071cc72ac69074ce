"""Boards against the subfloor under them: how far apart their moistures may be, and how many readings say so.

Source: national wood flooring installation guidelines, in secondary texts; where it says so, common practice.
"""

from __future__ import annotations

from math import ceil
from typing import Final

STRIP_POINTS: Final = 4.0
PLANK_POINTS: Final = 2.0
"""Points of moisture by which boards and subfloor may differ at most: strips under 3 in, planks from 3 in."""
PLANK_FROM_IN: Final = 3.0
BOARDS_PER_1000: Final = 40
SUBFLOOR_PER_1000: Final = 20
"""Readings of an area of 1000 ft² (20 to 40 of the subfloor in some texts)."""
FEWEST: Final = 3
"""Of a small room; common practice, no source."""
WETTEST_SUBFLOOR: Final = 12.0
"""% moisture of a wood subfloor (13 in one text)."""
LOOK_CLOSER_POINTS: Final = 3.0
LOOK_CLOSER_FROM: Final = 2
"""Two or more readings so far off their mean call for a closer look (a trade article)."""
ONE_FAR_POINTS: Final = 6.0
"""One reading so far off its mean is a wet board or a bad reading; common practice, no source."""
TARGET_POINTS: Final = 2.0
"""Boards lie within so many points of what wood indoors has in the region over the year; common practice, no source."""
AIR_DAYS: Final = 5
"""Heating or cooling runs so many days before wood is brought in (7 in some texts)."""


def points_apart(width_in: float) -> float:
    """Return by how many points boards of a width in inches and the subfloor may differ."""
    return STRIP_POINTS if width_in < PLANK_FROM_IN else PLANK_POINTS


def boards_wanted(area_ft2: float) -> int:
    """Return how many boards are read for an area, from several cartons."""
    return max(FEWEST, ceil(area_ft2 * BOARDS_PER_1000 / 1000 - 1e-9))


def subfloor_wanted(area_ft2: float) -> int:
    """Return in how many places the subfloor is read for an area."""
    return max(FEWEST, ceil(area_ft2 * SUBFLOOR_PER_1000 / 1000 - 1e-9))
