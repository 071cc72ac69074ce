"""Which task takes which covering of a present floor out."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.house import Covering

TAKES_OUT: Final = {
    "carpet-out": Covering.CARPET,
    "glued-carpet-out": Covering.GLUED_CARPET,
    "sheet-vinyl-out": Covering.SHEET_VINYL,
    "vinyl-tile-out": Covering.VINYL_TILE,
    "glued-vinyl-out": Covering.GLUED_VINYL,
    "click-vinyl-out": Covering.CLICK_VINYL,
    "laminate-out": Covering.LAMINATE,
    "floating-wood-out": Covering.FLOATING_WOOD,
    "nailed-wood-out": Covering.NAILED_WOOD,
    "glued-wood-out": Covering.GLUED_WOOD,
    "ceramic-tile-out": Covering.CERAMIC_TILE,
    "plywood-out": Covering.PLYWOOD,
}
"""By task template, what it takes out. A test holds it to the catalogue."""
OFF_STAIRS: Final = frozenset({"stairs-carpet-out", "stairs-covering-out"})
"""Task templates that take what lies on stairs off them. A test holds them to the catalogue."""
