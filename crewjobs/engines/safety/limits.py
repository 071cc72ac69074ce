"""Limits of published rules, by area and airflow; those by year are facts of house and layer (`domain.house`). None is a permission.

Sources, in secondary texts: 40 CFR 745.83 (lead paint); EPA mold guidance; 29 CFR 1926.1153 Table 1 (xii) (silica).
"""

from __future__ import annotations

from typing import Final

PAINTED_FT2: Final = 6.0
"""Painted area in one room within 30 days; more of it comes under the rule."""
MOLD_FT2: Final = 10.0
"""From this area on a specialist is asked; below it the lead decides with the customer. A guide: the true area shows only later."""
CFM_PER_INCH: Final = 25.0
"""Airflow of a dust collector for an inch of a grinder's wheel, at least."""


def over_painted_limit(area_ft2: float) -> bool:
    """Return whether painted area disturbed in a room is more than minor work."""
    return area_ft2 > PAINTED_FT2 + 1e-9


def base_length_ft(height_in: float) -> float:
    """Return how many feet of painted base of a height reach the limit of one room; shoe and painted jambs add to it."""
    return PAINTED_FT2 / (height_in / 12)


def refer_mold(area_ft2: float) -> bool:
    """Return whether mold of an area is referred to a specialist; below, the lead decides with the customer."""
    return area_ft2 >= MOLD_FT2 - 1e-9


def grinder_airflow(wheel_in: float) -> float:
    """Return the least airflow in ft³ a minute of the dust collector at a grinder's shroud."""
    return CFM_PER_INCH * wheel_in
