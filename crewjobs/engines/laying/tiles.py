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
from math import sqrt
from typing import Any, Final, NamedTuple

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, exact_length, quoted
from crewjobs.engines.laying.frames import Frame
from crewjobs.engines.laying.geometry import NOTHING, inset
from crewjobs.engines.laying.model import Field, Point, Profile
from crewjobs.engines.laying.tile_cuts import Cuts, RowCuts, balanced, row_cuts, third_offset
from crewjobs.engines.laying.tile_pieces import Cap, Corner, CutPiece, Pairs, cap_pairs, side_by_side

SLIVER: Final = 2 * INCH
"""A cut tile narrower than this is a sliver; common practice, no source."""
ROUNDED: Final = 4
"""A part no wider (1/4064 inch) is what thirds and slants are rounded by."""
FEW_TILES: Final = 600
MOST_MOVED: Final = 4000
"""In floors of more tiles the grid is not moved for a sliver."""
CRUMB: Final = INCH // 4
"""In a grid at 45 degrees a part of a tile less deep than this takes no tile: it is grout or caulk; common practice, no source."""
MOST_TILES: Final = 200_000
"""More tiles than any house's floor; counted one by one."""


class Grid(StrEnum):
    """How rows of tiles lie to each other."""

    STRAIGHT = "straight"
    THIRD = "third offset"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """A tile and its joint; lengths in 1/4064 inch. `gap` stays free at the walls, `kerf` is what a cut between two pieces takes.

    With a click `profile` a cut edge stands at a wall, so that two cut pieces of one tile are one at the left and one at the right.
    """

    length: int
    width: int
    joint: int
    gap: int = 0
    kerf: int = 0
    profile: Profile = Profile.NONE

    def __post_init__(self) -> None:
        if min(self.length, self.width) <= 0 or min(self.joint, self.gap, self.kerf) < 0:
            raise Refused("a tile's length and width are above zero, its joint, the gap and the kerf zero or more.")


class Cell(NamedTuple):
    """A tile on the floor, in the frame: its row and place in it, its near left corner, and the extents of its part on the floor.

    `whole` is whether nothing is cut from it. In a grid at 45 degrees `cap` is how one wall alone cuts it, and a `crumb` is so small a
    part that it takes no tile.
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
    cap: Cap | None = None
    crumb: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TileLayout:
    """A grid: cuts along x and y, whole tiles, cut ones, and how many tiles these take.

    `tiles` counts one tile for every cut one. `pairs` are two cut pieces (places in `cells`) from one tile where both fit, side by
    side or, in a grid at 45 degrees, at opposite corners, `shared` the tiles of all cut pieces then; breakage is in neither, and
    `crumbs` are in none. `rows` are the kinds of rows, first to last: one, or three that
    follow each other offset by a third, `across` how tiles end across the rows; both are measured on the floor's whole extent. `origin`
    is the near left corner of a tile of the first kind.
    """

    along_x: Cuts
    along_y: Cuts
    whole: int
    cut: int
    crumbs: int
    pairs: tuple[tuple[int, int], ...]
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
    def shared(self) -> int:
        """Return the tiles all cut pieces take."""
        return self.cut - len(self.pairs)

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
    at_45: bool = False,
) -> TileLayout:
    """Return a tile grid over a field, lengths of tiles along x of the frame (of the drawing, where none is given).

    Cuts are balanced within `extent` (left, low, right, high within the gap, in the frame), which leaves doorways out; where it is
    not given, within all of the floor. `at` asks for a tile's near left corner there instead. `at_45`: the field is turned, its walls
    cut square tiles at 45 degrees.

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
    cells = _on_floor(within, tile, places, at_45=at_45)
    cut = [n for n, cell in enumerate(cells) if not (cell.whole or cell.crumb)]
    return TileLayout(
        along_x=along_x,
        along_y=along_y,
        whole=sum(cell.whole for cell in cells),
        cut=len(cut),
        crumbs=sum(cell.crumb for cell in cells),
        pairs=tuple(_pairs(tile, cells, cut, at_45=at_45)),
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


def _on_floor(within: Any, tile: Tile, places: Sequence[tuple[int, int, int, int]], *, at_45: bool) -> list[Cell]:
    """Return the tiles of which some lies on the floor."""
    import numpy as np
    import shapely

    x, y = (np.array([place[axis] for place in places], dtype=float) for axis in (2, 3))
    cells = shapely.box(x, y, x + tile.length, y + tile.width)
    shapely.prepare(within)
    parts = shapely.intersection(within, cells)
    areas, bounds = shapely.area(parts), shapely.bounds(parts)
    found = []
    for place, part, area, extents in zip(places, parts, areas, bounds, strict=True):
        left, low, right, high = (round(value) for value in extents) if area > NOTHING else (0, 0, 0, 0)
        if min(right - left, high - low) > ROUNDED:
            whole = bool(area >= tile.length * tile.width - NOTHING)
            cap, crumb = _at_45(tile, place, part) if at_45 and not whole else (None, False)
            found.append(Cell(*place, left, low, right, high, whole, cap, crumb))
    return found


def _at_45(tile: Tile, place: tuple[int, int, int, int], part: Any) -> tuple[Cap | None, bool]:
    """Return how one wall alone cuts a tile at 45 degrees, None where more cut it, and whether the part is a crumb."""
    import shapely

    diagonal = tile.length * sqrt(2)
    x, y = (shapely.get_coordinates(part) - place[2:]).T
    up, down = (
        (x + y) / sqrt(2),
        (x + tile.length - y) / sqrt(2),
    )  # from the near left corner, and from the far left one
    deep = min(up.max() - up.min(), down.max() - down.min(), x.max() - x.min(), y.max() - y.min())
    for depth, corner in (
        (up.max(), Corner.NEAR_LEFT),
        (diagonal - up.min(), Corner.FAR_RIGHT),
        (down.max(), Corner.FAR_LEFT),
        (diagonal - down.min(), Corner.NEAR_RIGHT),
    ):
        full = depth**2 if depth <= diagonal / 2 else tile.length**2 - (diagonal - depth) ** 2
        if abs(full - part.area) <= ROUNDED * diagonal:
            return Cap(round(depth), corner), bool(depth < CRUMB)
    return None, bool(deep < CRUMB)


def _pairs(tile: Tile, cells: Sequence[Cell], cut: Sequence[int], *, at_45: bool) -> Pairs:
    """Return which two cut cells come from one tile. A tile that is notched takes one of its own; at 45 degrees one cut by two walls too."""
    click = tile.profile is Profile.CLICK
    if at_45:
        numbers = [n for n in cut if cells[n].cap]
        caps = [cap for cell in cells if (cap := cell.cap) and not cell.crumb]
        pairs = cap_pairs(caps, tile.length * sqrt(2), tile.kerf, click=click)
    else:
        numbers = [*cut]
        pairs = side_by_side([_piece(tile, cells[n]) for n in cut], tile.length, tile.width, tile.kerf, click=click)
    return [(numbers[one], numbers[other]) for one, other in pairs]


def _piece(tile: Tile, cell: Cell) -> CutPiece:
    left, low = cell.left > cell.x + 1, cell.low > cell.y + 1
    right, high = cell.right < cell.x + tile.length - 1, cell.high < cell.y + tile.width - 1
    wide = cell.right - cell.left if left or right else tile.length
    deep = cell.high - cell.low if low or high else tile.width
    return CutPiece(wide=wide, deep=deep, left=left, right=right, low=low, high=high)
