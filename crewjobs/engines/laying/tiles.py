"""Tile grids, straight and third offset: where the grid lies so that cuts at facing walls are equal and no sliver is left.

A grid line or the middle of a tile lies in the middle of the floor, whichever leaves the wider cuts at the walls; with that a
cut is never narrower than half a tile less half a joint, unless the floor itself is.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import exact_length, quoted
from crewjobs.engines.laying.frames import Frame
from crewjobs.engines.laying.geometry import NOTHING, inset
from crewjobs.engines.laying.model import Field

MOST_TILES: Final = 200_000
"""More tiles than any house's floor; counted one by one."""


class Grid(StrEnum):
    """How rows of tiles lie to each other."""

    STRAIGHT = "straight"
    THIRD = "third offset"


class Centred(StrEnum):
    """What lies in the middle of the floor."""

    JOINT = "a joint"
    TILE = "a tile"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """A tile and its joint; lengths in 1/4064 inch. `gap` stays free at the walls."""

    length: int
    width: int
    joint: int
    gap: int = 0

    def __post_init__(self) -> None:
        if min(self.length, self.width) <= 0 or self.joint < 0 or self.gap < 0:
            raise Refused("a tile's length and width are above zero, its joint and the gap zero or more.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """The tiles at two facing walls along one direction: their width (a whole tile's where none is cut), and what is centred."""

    width: int
    centred: Centred
    whole: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TileLayout:
    """A grid: cuts along x and y, whole tiles, cut ones, and how many tiles these take.

    `tiles` counts one tile for every cut one. `shared` counts two cut pieces from one tile where both fit side by side
    with square cuts in one direction; breakage is in neither.
    """

    along_x: Cuts
    along_y: Cuts
    whole: int
    cut: int
    shared: int

    @property
    def tiles(self) -> int:
        """Return the tiles it takes when every cut piece takes one."""
        return self.whole + self.cut


def balanced(extent: int, tile: int, joint: int) -> Cuts:
    """Return the equal cuts at both walls of a floor so wide, as wide as they can be.

    With n whole tiles between them the cuts are (extent - n tiles - (n + 1) joints) / 2 wide; n is the largest number that
    leaves them half a tile or more, or as many as go without any cut.
    """
    pitch = tile + joint
    if extent <= tile:
        return Cuts(width=extent, centred=Centred.TILE, whole=0)
    exact, rest = divmod(extent + joint, pitch)
    if rest == 0:
        return Cuts(width=tile, centred=Centred.TILE if exact % 2 else Centred.JOINT, whole=max(0, exact - 2))
    whole = max(0, (extent - tile - joint) // pitch)
    if extent - whole * pitch - joint > 2 * tile:  # two whole tiles and part of a joint: one more goes between
        whole += 1
    return Cuts(
        width=(extent - whole * pitch - joint) // 2, centred=Centred.TILE if whole % 2 else Centred.JOINT, whole=whole
    )


def tile_layout(tile: Tile, field: Field, grid: Grid = Grid.STRAIGHT) -> TileLayout:
    """Return a tile grid over a field, lengths of tiles along the drawing's x.

    Raises:
        Refused: no outline, or far too many tiles.
    """
    within = inset(field, tile.gap, Frame())
    low_x, low_y, high_x, high_y = (round(value) for value in within.bounds)
    along_x, along_y = (
        balanced(high_x - low_x, tile.length, tile.joint),
        balanced(high_y - low_y, tile.width, tile.joint),
    )
    pitch_x, pitch_y = tile.length + tile.joint, tile.width + tile.joint
    rows, columns = (high_y - low_y) // pitch_y + 2, (high_x - low_x) // pitch_x + 3
    if rows * columns > MOST_TILES:
        raise Refused(
            f"{quoted(field.name)}: more than {MOST_TILES} tiles of {exact_length(tile.length)}: check the tile's size."
        )
    whole, pieces = 0, []
    y = low_y + along_y.width - tile.width
    for row in range(rows):
        shift = pitch_x * (row % 3) // 3 if grid is Grid.THIRD else 0
        x = low_x + along_x.width - tile.length + shift
        x -= pitch_x * -(-(x - low_x) // pitch_x) if x > low_x else 0
        for column in range(columns):
            part = _part(within, x + column * pitch_x, y, tile)
            if part is not None:
                if part == (tile.length, tile.width):
                    whole += 1
                else:
                    pieces.append(part)
        y += pitch_y
    return TileLayout(along_x=along_x, along_y=along_y, whole=whole, cut=len(pieces), shared=_shared(tile, pieces))


def _part(within: Any, x: int, y: int, tile: Tile) -> tuple[int, int] | None:
    """Return the extents of the part of a tile that lies on the floor; a notched tile counts as cut over its whole extent."""
    from shapely import box

    cell = box(x, y, x + tile.length, y + tile.width)
    on_floor = within.intersection(cell)
    if on_floor.area <= NOTHING:
        return None
    if on_floor.area >= cell.area - NOTHING:
        return tile.length, tile.width
    left, low, right, high = on_floor.bounds
    wide, deep = round(right - left), round(high - low)
    return (wide, deep) if (wide, deep) != (tile.length, tile.width) else (wide - 1, deep)


def _shared(tile: Tile, pieces: list[tuple[int, int]]) -> int:
    """Return in how many tiles the cut pieces are found if two that fit side by side come from one (longest with shortest)."""
    count = 0
    for full, of in (
        (tile.length, sorted(w for w, d in pieces if d >= tile.width - 1)),
        (tile.width, sorted(d for w, d in pieces if w >= tile.length - 1 and d < tile.width - 1)),
    ):
        low, high = 0, len(of) - 1
        while low <= high:
            if low < high and of[low] + of[high] <= full:
                low += 1
            high -= 1
            count += 1
    corners = sum(w < tile.length - 1 and d < tile.width - 1 for w, d in pieces)
    return count + corners
