"""Tiles of a house: every field with its grid, and the lines it is set out by."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

from crewjobs.domain.job import Job
from crewjobs.domain.material import Material
from crewjobs.domain.pattern import Pattern
from crewjobs.engines.laying.frames import Frame, Wall
from crewjobs.engines.laying.model import Point
from crewjobs.engines.laying.patterns import turned
from crewjobs.engines.laying.tiles import Grid, Tile, TileLayout, away_from_slivers, tile_layout
from crewjobs.engines.take_off.diagonal import turned_to
from crewjobs.engines.take_off.fields import HouseField, fields_of
from crewjobs.engines.take_off.rules import KERF, carton_words, gap_of, profile_of
from crewjobs.engines.take_off.set_out import Runs, extent_of, runs_of

ROUNDING: Final = 2.0
"""Corners on a wall may be off it by so much (1/4064 inch)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TiledField:
    """A field with its grid: in the frame of `frame` (rows along its x), or turned by 45 degrees.

    `moved`: off the middle, as a jog or a doorway would get a sliver there. Of a grid at 45 degrees `off` is by how much the corner of four tiles lies off the middle of the field, along the drawing's x
    and y, and `edges` how deep the cut triangles at the walls along x and along y are (1/4064 inch).
    """

    house: HouseField
    runs: Runs
    frame: Frame
    layout: TileLayout
    turned: bool = False
    moved: bool = False
    off: Point = (0, 0)
    edges: Point = (0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class TiledFloor:
    """All fields of a material that is laid in a grid."""

    material: Material
    tile: Tile
    fields: tuple[TiledField, ...]
    taken_as: tuple[str, ...]

    def field_of(self, room: str) -> int:
        """Return the number of the field a room is part of."""
        return next(n for n, one in enumerate(self.fields) if any(place.room == room for place in one.house.rooms))

    @property
    def tiles(self) -> int:
        """Return the tiles it takes, two cut pieces from one where they fit."""
        return sum(one.layout.whole + one.layout.shared for one in self.fields)

    @property
    def apart(self) -> int:
        """Return the tiles it takes when every cut piece takes one."""
        return sum(one.layout.tiles for one in self.fields)


def tiled_floor(job: Job, material: Material) -> TiledFloor:
    """Return a material's floor in a grid.

    Raises:
        Refused: rooms that cannot be laid, or far too many tiles.
    """
    tile = Tile(
        length=material.plank_length,
        width=material.plank_width,
        joint=material.joint or 0,
        gap=gap_of(material),
        kerf=KERF,
        profile=profile_of(material),
    )
    taken_as = [*filter(None, [carton_words(material)])]
    fields = tuple(_field(job, material, tile, field) for field in fields_of(job, material.name, taken_as))
    return TiledFloor(material=material, tile=tile, fields=fields, taken_as=tuple(taken_as))


def _field(job: Job, material: Material, tile: Tile, field: HouseField) -> TiledField:
    runs = runs_of(job, field)
    if material.pattern is Pattern.DIAGONAL_GRID:
        return _diagonal(job, tile, field, runs)
    frame = Frame(wall=Wall.TOP if runs.along_x else Wall.LEFT)
    grid = Grid.THIRD if material.pattern is Pattern.THIRD_OFFSET else Grid.STRAIGHT
    extent = extent_of(job, field, tile.gap, frame)

    def lay(at: Point | None = None) -> TileLayout:
        return tile_layout(tile, field.field, grid, frame=frame, extent=extent, at=at)

    layout, moved = away_from_slivers(tile, lay(), lay, kinds=3 if grid is Grid.THIRD else 1)
    return TiledField(house=field, runs=runs, frame=frame, layout=layout, moved=moved)


def _diagonal(job: Job, tile: Tile, field: HouseField, runs: Runs) -> TiledField:
    """Return a grid at 45 degrees, moved along x and y so that the triangles at facing walls are alike and as deep as they can be."""
    low_x, low_y, high_x, high_y = extent_of(job, field, tile.gap)
    diagonal = (tile.length + tile.joint) * sqrt(2)
    offs, edges = [], []
    for extent in (high_x - low_x, high_y - low_y):
        depth, off = max((_triangle(extent / 2, off, diagonal), -off) for off in (0.0, diagonal / 4))
        offs.append(round(-off))
        edges.append(round(depth))
    middle = turned_to(((low_x + high_x) / 2 + offs[0], (low_y + high_y) / 2 + offs[1]))
    at = round(middle[0] + tile.joint / 2), round(middle[1] + tile.joint / 2)
    layout = tile_layout(tile, turned(field.field), at=at, at_45=True)
    return TiledField(
        house=field, runs=runs, frame=Frame(), layout=layout, turned=True, off=(offs[0], offs[1]),
        edges=(edges[1], edges[0]),
    )  # fmt: skip


def _triangle(half: float, off: float, diagonal: float) -> float:
    """Return how deep the triangles at a wall are if corners of tiles lie half a diagonal apart, the nearest `off` the middle.

    Moved by a quarter of a diagonal, the corners lie alike seen from both walls; at 0 they do too.
    """
    depth = (half - off) % (diagonal / 2)
    return depth if depth > ROUNDING else diagonal / 2
