"""Diagonal rows and herringbone: the floor turned, and every plank that lies on it counted.

A diagonal floor turned by 45° is a floor of straight rows with angled walls, so that it can be laid out like any other. In a
herringbone two planks at right angles make a cell that repeats by (width, width) and (length, -length); every plank that touches
the floor takes one, and offcuts are not used again (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import cos, radians, sin, sqrt
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.engines.laying.frames import Frame
from crewjobs.engines.laying.geometry import NOTHING, inset
from crewjobs.engines.laying.model import Field, Point, Product

DIAGONAL: Final = 45.0
MOST_PLANKS: Final = 100_000
PHASES: Final = 8
"""Places along its center line, a plank's width apart in all, at which a herringbone may begin."""
MOST_MOVED: Final = 4000
"""In floors of more planks where it begins makes no difference worth the time."""


Ring = tuple[tuple[float, float], ...]


class Through(StrEnum):
    """What the center line of a herringbone runs through."""

    POINTS = "the points"
    PLANKS = "the middle of planks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Herringbone:
    """Planks of a herringbone: whole ones, cut ones, all; `rings` are their corners on the drawing, with whether it is whole.

    `center` is where the center line lies on the drawing (y where points run along x, else x), `through` what it runs through.
    """

    whole: int
    cut: int
    along_x: bool
    center: float
    through: Through
    rings: tuple[tuple[Ring, bool], ...]

    @property
    def planks(self) -> int:
        """Return the planks it takes."""
        return self.whole + self.cut


def turned(field: Field, degrees: float = DIAGONAL) -> Field:
    """Return a field turned about the drawing's origin; corners are rounded to 1/4064 inch."""
    c, s = cos(radians(degrees)), sin(radians(degrees))

    def turn(point: Point) -> Point:
        x, y = point
        return round(x * c - y * s), round(x * s + y * c)

    return Field(
        name=field.name,
        outline=tuple(turn(point) for point in field.outline),
        holes=tuple(tuple(turn(point) for point in hole) for hole in field.holes),
    )


def herringbone(
    product: Product,
    field: Field,
    *,
    to_the_walls: bool = False,
    along_x: bool = True,
    center: tuple[float, float] | None = None,
) -> Herringbone:
    """Return the planks of a herringbone whose points run along the drawing's x or y, or planks square to the walls.

    The center line lies in the middle of the floor's extent, or through `center` (on the drawing). It runs through the points or
    through the middle of planks, and the pattern is moved along it, whichever takes the fewest planks.

    Raises:
        Refused: no outline, or far too many planks.
    """
    from shapely import affinity, prepare

    within = inset(field, product.gap, Frame())
    if within.area / (product.length * product.width) > MOST_PLANKS:
        raise Refused(f"{quoted(field.name)}: more than {MOST_PLANKS} planks: check the plank's size.")
    middle = within.envelope.centroid
    x, y = center or (middle.x, middle.y)
    angle = 0.0 if to_the_walls else DIAGONAL if along_x else -DIAGONAL
    there = affinity.rotate(affinity.translate(within, -x, -y), angle, origin=(0, 0))
    prepare(there)
    few = within.area / (product.length * product.width) <= MOST_MOVED
    best: tuple[int, Through, Any] | None = None
    for through in Through:
        for phase in range(PHASES if few else 1):
            planks, whole = _laid(product, there, through, phase)
            if best is None or len(whole) < best[0]:
                best = len(whole), through, (planks, whole)
    assert best is not None
    _, through, (planks, whole) = best
    rings = tuple(
        (
            tuple(affinity.translate(affinity.rotate(plank, -angle, origin=(0, 0)), x, y).exterior.coords[:4]),
            bool(one),
        )
        for plank, one in zip(planks, whole, strict=True)
    )
    return Herringbone(
        whole=int(sum(whole)), cut=len(whole) - int(sum(whole)), along_x=along_x, center=y if along_x else x,
        through=through, rings=rings,
    )  # fmt: skip


def _laid(product: Product, there: Any, through: Through, phase: int) -> tuple[Any, Any]:
    """Return the planks that lie on a floor about the origin, turned so that they run along x and y, and which are whole."""
    import numpy as np
    import shapely

    length, width = product.length, product.width
    left, low, right, high = there.bounds
    reach = sqrt(max(abs(left), abs(right)) ** 2 + max(abs(low), abs(high)) ** 2) + 2 * length
    # along (width, width) a cell moves width * sqrt(2), along (length, -length) length * sqrt(2), at right angles
    steps, stripes = int(reach / (width * sqrt(2))) + 2, int(reach / (length * sqrt(2))) + 2
    step, stripe = np.meshgrid(np.arange(-steps, steps + 1), np.arange(-stripes, stripes + 1))
    # the line from (0, 0) along (1, 1) runs through the middle of ends, or half a plank before, through the middle of planks
    moved = width * phase / PHASES
    x = (step * width + stripe * length - (length if through is Through.POINTS else length / 2) + moved).ravel()
    y = (step * width - stripe * length - width / 2 + moved).ravel()
    planks = np.concatenate(
        [
            shapely.box(x, y, x + length, y + width),
            shapely.box(x + length, y + width - length, x + length + width, y + width),
        ]
    )
    planks = planks[shapely.intersects(there, planks)]
    areas = shapely.area(shapely.intersection(there, planks))
    planks, areas = planks[areas > NOTHING], areas[areas > NOTHING]
    return planks, areas >= length * width - NOTHING
