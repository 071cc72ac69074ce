"""Diagonal rows and herringbone, as counts for the take-off: the floor turned, and every plank that lies on it counted.

A diagonal floor turned by 45° is a floor of straight rows with angled walls, so that it can be laid out like any other. In a
herringbone two planks at right angles make a cell that repeats by (width, width) and (length, -length); every plank that touches
the floor takes one, and offcuts are not used again (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.engines.laying.frames import Frame
from crewjobs.engines.laying.geometry import NOTHING, inset
from crewjobs.engines.laying.model import Field, Point, Product

DIAGONAL: Final = 45.0
MOST_PLANKS: Final = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class HerringboneCount:
    """Planks of a herringbone: whole ones, cut ones, all."""

    whole: int
    cut: int

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


def herringbone(product: Product, field: Field, *, to_the_walls: bool = False) -> HerringboneCount:
    """Return the planks of a herringbone whose points run along the drawing's x, or planks square to the walls.

    The pattern is centred on the floor.

    Raises:
        Refused: no outline, or far too many planks.
    """
    from shapely import affinity, box, prepare

    within = inset(field, product.gap, Frame())
    center = within.envelope.centroid
    within = affinity.translate(within, -center.x, -center.y)
    if not to_the_walls:
        within = affinity.rotate(within, DIAGONAL, origin=(0, 0))
    prepare(within)
    length, width = product.length, product.width
    if within.area / (length * width) > MOST_PLANKS:
        raise Refused(f"{quoted(field.name)}: more than {MOST_PLANKS} planks: check the plank's size.")
    left, low, right, high = within.bounds
    reach = sqrt(max(abs(left), abs(right)) ** 2 + max(abs(low), abs(high)) ** 2) + 2 * length
    whole = cut = 0
    # along (width, width) a cell moves width * sqrt(2), along (length, -length) length * sqrt(2), at right angles
    steps, stripes = int(reach / (width * sqrt(2))) + 2, int(reach / (length * sqrt(2))) + 2
    for stripe in range(-stripes, stripes + 1):
        for step in range(-steps, steps + 1):
            x, y = step * width + stripe * length, step * width - stripe * length
            for plank in (
                box(x, y, x + length, y + width),
                box(x + length, y + width - length, x + length + width, y + width),
            ):
                if not within.intersects(plank):
                    continue
                on_floor = within.intersection(plank).area
                if on_floor >= length * width - NOTHING:
                    whole += 1
                elif on_floor > NOTHING:
                    cut += 1
    return HerringboneCount(whole=whole, cut=cut)
