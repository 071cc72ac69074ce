"""How thick floors and what lies under them usually are, where nobody measured: all common practice, no source; a tape decides."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from crewjobs.domain.house import Covering
from crewjobs.domain.material import FloorKind
from crewjobs.domain.units import INCH

OF_LAYERS: Final[Mapping[Covering, int]] = {
    Covering.CARPET: 5 * INCH // 8,  # walked down, with its pad
    Covering.GLUED_CARPET: INCH // 4,  # no pad under it
    Covering.SHEET_VINYL: INCH // 8,
    Covering.VINYL_TILE: INCH // 8,
    Covering.GLUED_VINYL: INCH // 8,
    Covering.CLICK_VINYL: INCH // 4,
    Covering.LAMINATE: 3 * INCH // 8,
    Covering.FLOATING_WOOD: INCH // 2,
    Covering.NAILED_WOOD: 3 * INCH // 4,
    Covering.GLUED_WOOD: INCH // 2,
    Covering.CERAMIC_TILE: INCH // 2,  # with its mortar
    Covering.PLYWOOD: INCH // 4,
}
"""What lies, by 1/4064 inch."""
OF_MATERIALS: Final[Mapping[FloorKind, int]] = {
    FloorKind.CLICK_VINYL: INCH // 4,
    FloorKind.GLUED_VINYL: INCH // 8,
    FloorKind.LAMINATE: 3 * INCH // 8,
    FloorKind.ENGINEERED_WOOD: INCH // 2,
    FloorKind.SOLID_WOOD: 3 * INCH // 4,
    FloorKind.SHEET_VINYL: INCH // 8,
}
"""What is laid."""
PAD: Final = INCH // 8
"""Underlayment under a floating floor."""
PLYWOOD: Final = INCH // 4
"""Plywood underlayment that is added."""
