"""Tile grids, straight and third offset: where the grid lies so that cuts at facing walls are equal and no sliver is left.

A grid line or the middle of a tile lies in the middle of the floor, whichever leaves the wider cuts at the walls; with that a
cut is never narrower than half a tile less half a joint, unless the floor itself is. Offset by a third three kinds of rows end
differently; they are shifted together so that the narrowest of their six cuts is as wide as it can be: a sixth of a tile or
more. Where a jog would get a sliver the grid is moved off the middle.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final, NamedTuple

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, exact_length, quoted
from crewjobs.engines.laying.frames import Frame
from crewjobs.engines.laying.geometry import NOTHING, inset
from crewjobs.engines.laying.model import Field, Point, Profile
from crewjobs.engines.laying.tile_cuts import Cuts, RowCuts, balanced, row_cuts, third_offset

SLIVER: Final = 2 * INCH
"""A cut tile narrower than this is a sliver; common practice, no source."""
ROUNDED: Final = 4
"""A part no wider (1/4064 inch) is what thirds and slants are rounded by."""
FEW_TILES: Final = 600
MOST_MOVED: Final = 4000
"""In floors of more tiles the grid is not moved for a sliver."""
MOST_TILES: Final = 200_000
"""More tiles than any house's floor; counted one by one."""


class Grid(StrEnum):
    """How rows of tiles lie to each other."""

    STRAIGHT = "straight"
    THIRD = "third offset"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """A tile and its joint; lengths in 1/4064 inch. `gap` stays free at the walls.

    With a click `profile` a cut edge stands at a wall, so that two cut pieces of one tile are one at the left and one at the right.
    """

    length: int
    width: int
    joint: int
    gap: int = 0
    profile: Profile = Profile.NONE

    def __post_init__(self) -> None:
        if min(self.length, self.width) <= 0 or self.joint < 0 or self.gap < 0:
            raise Refused("a tile's length and width are above zero, its joint and the gap zero or more.")


class Cell(NamedTuple):
    """A tile on the floor, in the frame: its row and place in it, its near left corner, and the extents of its part on the floor.

    `whole` is whether nothing is cut from it.
    """

    row: int
    column: int
    x: int
    y: int
    left: int
    low: int
    right: int
    high: int
    whole: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TileLayout:
    """A grid: cuts along x and y, whole tiles, cut ones, and how many tiles these take.

    `tiles` counts one tile for every cut one. `shared` counts two cut pieces from one tile where both fit side by side
    with square cuts in one direction; breakage is in neither. `rows` are the kinds of rows, first to last: one, or three that
    follow each other offset by a third, `across` how tiles end across the rows; both are measured on the floor's whole extent. `origin`
    is the near left corner of a tile of the first kind.
    """

    along_x: Cuts
    along_y: Cuts
    whole: int
    cut: int
    shared: int
    rows: tuple[RowCuts, ...]
    across: RowCuts
    origin: Point
    extent: tuple[int, int, int, int]
    cells: tuple[Cell, ...]

    @property
    def tiles(self) -> int:
        """Return the tiles it takes when every cut piece takes one."""
        return self.whole + self.cut

    @property
    def narrowest(self) -> int:
        """Return the narrowest extent of a cut tile, a whole tile's where none is cut."""
        cut = [min(cell.right - cell.left, cell.high - cell.low) for cell in self.cells if not cell.whole]
        return min(cut, default=min((min(c.right - c.left, c.high - c.low) for c in self.cells), default=0))


def tile_layout(
    tile: Tile,
    field: Field,
    grid: Grid = Grid.STRAIGHT,
    *,
    frame: Frame | None = None,
    extent: tuple[int, int, int, int] | None = None,
    at: Point | None = None,
) -> TileLayout:
    """Return a tile grid over a field, lengths of tiles along x of the frame (of the drawing, where none is given).

    Cuts are balanced within `extent` (left, low, right, high within the gap, in the frame), which leaves doorways out; where it is
    not given, within all of the floor. `at` asks for a tile's near left corner there instead.

    Raises:
        Refused: no outline, or far too many tiles.
    """
    within = inset(field, tile.gap, frame or Frame())
    floor = tuple(round(value) for value in within.bounds)
    low_x, low_y, high_x, high_y = extent or floor
    wide, deep = high_x - low_x, high_y - low_y
    along_x, along_y = balanced(wide, tile.length, tile.joint), balanced(deep, tile.width, tile.joint)
    pitch_x, pitch_y = tile.length + tile.joint, tile.width + tile.joint
    if ((floor[3] - floor[1]) // pitch_y + 2) * ((floor[2] - floor[0]) // pitch_x + 3) > MOST_TILES:
        raise Refused(
            f"{quoted(field.name)}: more than {MOST_TILES} tiles of {exact_length(tile.length)}: check the tile's size."
        )
    kinds = 3 if grid is Grid.THIRD else 1
    x, y = low_x + along_x.width - tile.length, low_y + along_y.width - tile.width
    if grid is Grid.THIRD:
        x = low_x + third_offset(wide, tile.length, tile.joint)
    if at is not None:
        x, y = at
    before = -(-(y - floor[1]) // pitch_y)  # rows from the first of the floor to the one at y
    y -= before * pitch_y
    x += pitch_x * (-before % kinds) // 3
    places = []
    for row in range((floor[3] - y) // pitch_y + 1):
        begins = x + pitch_x * (row % kinds) // 3
        begins -= -(-(begins - floor[0]) // pitch_x) * pitch_x
        places += [
            (row, column, begins + column * pitch_x, y + row * pitch_y)
            for column in range((floor[2] - begins) // pitch_x + 1)
        ]
    cells = _on_floor(within, tile, places)
    return TileLayout(
        along_x=along_x,
        along_y=along_y,
        whole=sum(cell.whole for cell in cells),
        cut=sum(not cell.whole for cell in cells),
        shared=_shared(tile, [cell for cell in cells if not cell.whole]),
        rows=tuple(row_cuts(wide, tile.length, tile.joint, x - low_x + pitch_x * kind // 3) for kind in range(kinds)),
        across=row_cuts(deep, tile.width, tile.joint, y - low_y),
        origin=(x, y),
        extent=(low_x, low_y, high_x, high_y),  # what cuts are balanced in
        cells=tuple(cells),
    )


def away_from_slivers(
    tile: Tile, layout: TileLayout, lay: Callable[[Point], TileLayout], *, kinds: int = 1
) -> tuple[TileLayout, bool]:
    """Return a grid moved off the middle where a jog or a doorway would get a sliver there, and whether it was moved.

    Eighths of a pitch both ways are tried, of large floors quarters (`kinds` of rows a third of one apart: parts of that third); the
    one whose narrowest cut is widest is taken, if that is wider. `lay` makes the grid with a tile's near left corner where it is told.
    """
    if layout.narrowest >= SLIVER or len(layout.cells) > MOST_MOVED:
        return layout, False
    parts = 8 if len(layout.cells) <= FEW_TILES else 4
    x, y = layout.origin
    steps_x, steps_y = (tile.length + tile.joint) // kinds, tile.width + tile.joint
    best = layout
    for part_x in range(parts):
        for part_y in range(parts):
            if part_x or part_y:
                moved = lay((x + steps_x * part_x // parts, y + steps_y * part_y // parts))
                if moved.narrowest > best.narrowest:
                    best = moved
    return best, best is not layout


def _on_floor(within: Any, tile: Tile, places: Sequence[tuple[int, int, int, int]]) -> list[Cell]:
    """Return the tiles of which some lies on the floor."""
    import numpy as np
    import shapely

    x, y = (np.array([place[axis] for place in places], dtype=float) for axis in (2, 3))
    cells = shapely.box(x, y, x + tile.length, y + tile.width)
    shapely.prepare(within)
    parts = shapely.intersection(within, cells)
    areas, bounds = shapely.area(parts), shapely.bounds(parts)
    found = []
    for place, area, extents in zip(places, areas, bounds, strict=True):
        left, low, right, high = (round(value) for value in extents) if area > NOTHING else (0, 0, 0, 0)
        if min(right - left, high - low) > ROUNDED:
            whole = bool(area >= tile.length * tile.width - NOTHING)
            found.append(Cell(*place, left, low, right, high, whole))
    return found


def _shared(tile: Tile, cut: Sequence[Cell]) -> int:
    """Return in how many tiles the cut pieces are found if two that fit side by side come from one (longest with shortest).

    A tile that is notched, or cut in both directions, takes one of its own.
    """
    along, across, alone = list[tuple[int, bool]](), list[tuple[int, bool]](), 0
    for cell in cut:
        wide, deep = cell.right - cell.left, cell.high - cell.low
        cut_left, cut_right = cell.left > cell.x + 1, cell.right < cell.x + tile.length - 1
        cut_low, cut_high = cell.low > cell.y + 1, cell.high < cell.y + tile.width - 1
        if cut_left != cut_right and not (cut_low or cut_high):
            along.append((wide, cut_left))
        elif cut_low != cut_high and not (cut_left or cut_right):
            across.append((deep, cut_low))
        else:
            alone += 1
    return alone + sum(
        _in_tiles(full, pieces, tile.profile) for full, pieces in ((tile.length, along), (tile.width, across))
    )


def _in_tiles(full: int, pieces: Sequence[tuple[int, bool]], profile: Profile) -> int:
    """Return how many tiles pieces take, two from one where they fit: any two, or with a click profile one of each side."""
    if profile is Profile.CLICK:
        ones = sorted((size for size, low in pieces if low), reverse=True)
        others = sorted(size for size, low in pieces if not low)
        pairs = 0
        for size in ones:
            if pairs < len(others) and size + others[pairs] <= full:
                pairs += 1
        return len(pieces) - pairs
    sizes = sorted(size for size, _ in pieces)
    low, high, count = 0, len(sizes) - 1, 0
    while low <= high:
        if low < high and sizes[low] + sizes[high] <= full:
            low += 1
        high -= 1
        count += 1
    return count
