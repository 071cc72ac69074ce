"""How rows of tiles end at facing walls: equal cuts as wide as they can be, a joint or a tile in the middle; thirds together.

Lengths in 1/4064 inch.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple


class Centred(StrEnum):
    """What lies in the middle of the floor."""

    JOINT = "a joint"
    TILE = "a tile"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """The tiles at two facing walls along one direction: their width (a whole tile's where none is cut), and what is centred."""

    width: int
    centred: Centred
    whole: int


class RowCuts(NamedTuple):
    """A row, or a column: how wide its first and last tiles are (a whole tile's where none is cut), and whole ones between."""

    left: int
    right: int
    whole: int


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


def row_cuts(extent: int, tile: int, joint: int, start: int) -> RowCuts:
    """Return how a row ends at both walls in which a tile begins at `start` from the left one."""
    pitch = tile + joint
    first = start % pitch  # where a tile begins that is not cut at the left
    begins = first - pitch if first > joint else first
    left = min(tile, first - joint) if first > joint else tile
    last = begins + (extent - 1 - begins) // pitch * pitch
    if last <= begins:
        return RowCuts(min(left, extent), min(left, extent), 0)
    return RowCuts(left, min(tile, extent - last), (last - begins) // pitch - 1)


def third_offset(extent: int, tile: int, joint: int) -> int:
    """Return where a tile of the first kind of row begins, from the left wall, so that the narrowest cut is the widest.

    Rows begin a third of a pitch apart, so that first pieces differ by thirds, and last ones do; where the narrowest first piece
    is as wide as the narrowest last one, neither can grow without the other getting narrower.
    """
    pitch = tile + joint
    alike = [(extent + joint + i * pitch // 3) // 2 for i in range(6)]
    starts = [*alike, 0, joint, extent - tile, extent - tile - joint]  # the last four: no cut at one wall

    def narrowest(start: int) -> int:
        kinds = [row_cuts(extent, tile, joint, start + pitch * kind // 3) for kind in range(3)]
        return min(min(one.left, one.right) for one in kinds)

    return max(starts, key=lambda start: (narrowest(start), -starts.index(start))) % pitch
