"""How much coated surface the work at a room's trim disturbs: a part that is taken off counts by its whole face (40 CFR 745.83)."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.house import Room, Trim
from crewjobs.domain.job import Job
from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.quantities import base_length

BASE_IN: Final = 5.25
"""Height of base in an old house where nobody measured it; common practice, no source."""
SHOE_IN: Final = 0.75
"""Face of shoe molding; common practice, no source."""
JAMB_FT2: Final = 0.1
"""Coated surface where one jamb with its casing is cut off at the bottom: about 14 in around, 1 in high; common practice, no source."""
JAMBS: Final = 2


def coated_parts(job: Job, room: Room) -> dict[str, float]:
    """Return the coated ft² of base, shoe and jambs that the work in a room disturbs, by what its trim is to be.

    Base that stays on its wall is not disturbed, its shoe is. Every opening of the room has two jambs.
    """
    openings = [opening for opening in job.openings if room.name in opening.between]
    length_ft = base_length(room.outline.walls, [opening.width for opening in openings]) / FOOT
    parts: dict[str, float] = {}
    if room.trim in (Trim.REUSE_BASE, Trim.NEW_BASE):
        parts["base"] = length_ft * BASE_IN / 12
    if room.trim is not Trim.NONE:
        parts["shoe"] = length_ft * SHOE_IN / 12
    if openings:
        parts["jambs"] = len(openings) * JAMBS * JAMB_FT2
    return parts
