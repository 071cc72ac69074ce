"""The floor within its gap, cut into rows and runs, with shapely, which is loaded only inside these functions.

Angled walls are clipped truly: a run reaches as far as any part of its strip does, and is charged that far.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from math import ceil, floor
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, format_length, quoted
from crewjobs.engines.laying.frames import Frame
from crewjobs.engines.laying.model import Field, Run

MITRE: Final = 20.0
"""How far a mitred corner of the gap may run out, in gaps: sharper corners than any room has."""
NOTHING: Final = (INCH / 64) ** 2
"""An area below which a clipped part is rounding, not floor."""
OFF: Final = 1e-3
"""What a corner may be off the grid by rounding."""


def inset(field: Field, gap: int, frame: Frame) -> Any:
    """Return the floor that planks must cover, in the frame: the outline less the gap at walls and around islands.

    Raises:
        Refused: the outline crosses itself, an island is not inside, or nothing is left within the gap.
    """
    from shapely import LinearRing, Polygon

    where = quoted(field.name)
    rings = [LinearRing([frame.to(point) for point in ring]) for ring in (field.outline, *field.holes)]
    for number, ring in enumerate(rings):
        what = "the outline" if number == 0 else f"island {number}"
        if not ring.is_simple or Polygon(ring).area <= 0:
            raise Refused(f"{where}: {what} crosses or touches itself: list its corners in order along the wall.")
    outside = Polygon(rings[0])
    islands = [Polygon(ring) for ring in rings[1:]]
    for number, island in enumerate(islands, start=1):
        if not outside.covers(island):
            raise Refused(
                f"{where}: island {number} is not inside the room: measure it from the same corner as the walls."
            )
        if any(island.intersection(other).area > 0 for other in islands[: number - 1]):
            raise Refused(f"{where}: island {number} overlaps another one: give them as one.")
    floor_ = outside
    for island in islands:
        floor_ = floor_.difference(island)
    within = floor_.buffer(-gap, join_style="mitre", mitre_limit=MITRE) if gap else floor_
    if within.area <= NOTHING:
        raise Refused(f"{where}: nothing is left to lay within a gap of {format_length(gap)} at every wall.")
    return within


def depth(within: Any) -> tuple[int, int]:
    """Return where the floor begins and ends across the rows, rounded outwards."""
    _, low, _, high = within.bounds
    return floor(low + OFF), ceil(high - OFF)


def level_edges(within: Any) -> list[tuple[int, bool]]:
    """Return the walls that run along the rows: where each is, and whether the floor lies beyond it (at greater y)."""
    found = set()
    for part in polygons(within):
        for number, ring in enumerate((part.exterior, *part.interiors)):
            corners = list(ring.coords)
            turn = 1 if ring.is_ccw == (number == 0) else -1
            for (x1, y1), (x2, y2) in itertools.pairwise(corners):
                if abs(y1 - y2) < 1 and abs(x1 - x2) >= 1:
                    # a floor lies on the left of its outline walked counterclockwise
                    found.add((round(y1), (x2 > x1) == (turn == 1)))
    return sorted(found)


def runs_of(within: Any, rips: Sequence[int], *, field: int = 0, low: int | None = None) -> list[Run]:
    """Return the runs of rows with these widths, row by row from the starting wall, each row from left to right.

    The first row begins at `low` (y in the frame), else where the floor does.
    """
    from shapely import box

    left, lowest, right, _ = within.bounds
    y = floor(lowest + OFF) if low is None else low
    found = []
    for row, rip in enumerate(rips):
        strip = within.intersection(box(left - 1, y, right + 1, y + rip))
        y += rip
        spans = sorted((part.bounds[0], part.bounds[2]) for part in polygons(strip) if part.area > NOTHING)
        joined: list[tuple[float, float]] = []
        for begin, end in spans:
            if joined and begin < joined[-1][1] - OFF:  # parts one above the other are one run
                joined[-1] = (joined[-1][0], max(joined[-1][1], end))
            else:
                joined.append((begin, end))
        found += [Run(field=field, row=row, left=floor(begin + OFF), right=ceil(end - OFF)) for begin, end in joined]
    return found


def polygons(shape: Any) -> list[Any]:
    """Return the polygons of whatever an intersection gave."""
    if shape.geom_type == "Polygon":
        return [] if shape.is_empty else [shape]
    return [part for one in getattr(shape, "geoms", ()) for part in polygons(one)]
