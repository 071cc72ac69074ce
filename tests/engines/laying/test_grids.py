"""Tile grids and herringbones held to a library of geometry, to every other place of the grid, and to examples worked by hand."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import sqrt

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box, unary_union
from shapely.affinity import rotate, translate

from crewjobs.engines.laying.frames import Frame, Wall
from crewjobs.engines.laying.model import Field, Profile
from crewjobs.engines.laying.patterns import Through, herringbone, turned
from crewjobs.engines.laying.tile_cuts import Centred, RowCuts, row_cuts, third_offset
from crewjobs.engines.laying.tiles import SLIVER, Cell, Grid, Tile, TileLayout, away_from_slivers, tile_layout
from tests import thorough
from tests.engines.laying.given import field, inches, product, rectangle

BAY = [(0, 0), (130, 0), (130, 61), (84, 61), (84, 100), (0, 100)]
"""A room with a jog, in inches."""


def _inset(corners: list[tuple[float, float]], gap: float) -> Polygon:
    return Polygon([(inches(x), inches(y)) for x, y in corners]).buffer(-inches(gap), join_style="mitre")


def _fit(tile: Tile, one: Cell, piece: Polygon, other: Cell, then: Polygon, turns: tuple[int, ...]) -> bool:
    """Return whether two pieces lie in one tile, each where it is in its own or turned about the middle, a cut apart."""
    half, wide = tile.length / 2, tile.width / 2
    here = translate(piece, -one.x - half, -one.y - wide)
    there = translate(then, -other.x - half, -other.y - wide)
    return any(
        here.distance(turned_piece) > tile.kerf - 3 and here.intersection(turned_piece).area < 3 * tile.length
        for turned_piece in (rotate(there, turn, origin=(0, 0)) for turn in turns)
    )


def _most_pairs(tile: Tile, made: TileLayout, pieces: dict[int, Polygon], turns: tuple[int, ...]) -> int:
    """Return how many pairs of pieces come from one tile each, by a maximum matching of all that were placed in one."""
    graph = nx.Graph()
    for (a, one), (b, other) in combinations(pieces.items(), 2):
        if _fit(tile, made.cells[a], one, made.cells[b], other, turns):
            graph.add_edge(a, b)
    return len(nx.max_weight_matching(graph, maxcardinality=True))


@settings(max_examples=6, deadline=None)
@given(
    grid=st.sampled_from(list(Grid)),
    size=st.sampled_from([(12, 12), (12, 24), (18, 18), (6, 36)]),
    gap=st.sampled_from([0.0, 0.25]),
    click=st.booleans(),
    wall=st.sampled_from([Wall.TOP, Wall.LEFT]),
)
def test_tiles_cover_the_floor_without_overlap(
    grid: Grid, size: tuple[int, int], gap: float, click: bool, wall: Wall
) -> None:
    """Whole tiles lie on the floor, cut ones reach over its edge, all of them cover it, and none lies on another; pieces that share
    a tile are as many as a maximum matching of all that fit has."""
    tile = Tile(
        length=inches(size[1]), width=inches(size[0]), joint=0, gap=inches(gap), profile=Profile.CLICK if click else Profile.NONE
    )  # fmt: skip
    frame = Frame(wall=wall)
    made = tile_layout(tile, field(BAY), grid, frame=frame)
    corners = [frame.to((inches(x), inches(y))) for x, y in BAY]
    floor = Polygon(corners).buffer(-tile.gap, join_style="mitre")
    boxes = [box(cell.x, cell.y, cell.x + tile.length, cell.y + tile.width) for cell in made.cells]
    union = unary_union(boxes)
    assert floor.difference(union).area < 1
    assert sum(one.area for one in boxes) == pytest.approx(union.area)
    for cell, one in zip(made.cells, boxes, strict=True):
        part = one.intersection(floor)
        assert cell.whole == (part.area > one.area - 1)
        assert (cell.left, cell.low, cell.right, cell.high) == pytest.approx(part.bounds, abs=1)
    pieces = {n: box(*cell[4:8]) for n, cell in enumerate(made.cells) if not cell.whole}
    assert made.cut - made.shared == _most_pairs(tile, made, pieces, (0,) if click else (0, 180))
    assert len({n for pair in made.pairs for n in pair}) == 2 * len(made.pairs)


@pytest.mark.parametrize("click", [False, True])
@pytest.mark.parametrize(
    ("room", "size", "joint"),
    [
        (rectangle(113, 86), 18, 0.125),
        (rectangle(126, 97), 12, 0),
        (rectangle(97, 61.5), 18, 0),
        (field([(0, 0), (112, 0), (112, 50), (71, 50), (71, 88), (0, 88)]), 18, 0),
    ],
)
def test_caps_of_tiles_at_45_degrees_lie_two_in_one(room: Field, size: float, joint: float, click: bool) -> None:
    """Every pair is placed in one tile, a saw's cut apart, without overlap, and no other choice of pieces that one wall cuts makes more
    pairs; a piece deeper than half the diagonal is among them. Pieces cut by two walls take a tile each, crumbs none."""
    tile = Tile(
        length=inches(size), width=inches(size), joint=inches(joint), kerf=inches(0.125), gap=inches(0.125),
        profile=Profile.CLICK if click else Profile.NONE,
    )  # fmt: skip
    made = tile_layout(tile, turned(room), at_45=True)
    floor = Polygon(turned(room).outline).buffer(-tile.gap, join_style="mitre")
    ring = list(floor.exterior.coords)
    walls = [LineString(wall) for wall in pairwise(ring)]
    parts, caps = dict[int, Polygon](), dict[int, Polygon]()
    for n, cell in enumerate(made.cells):
        one = box(cell.x, cell.y, cell.x + tile.length, cell.y + tile.width)
        parts[n] = floor.intersection(one)
        cuts = [wall for wall in walls if wall.intersection(one.buffer(-4)).length > 0]
        if len(cuts) == 1 and not cell.whole and not cell.crumb:
            caps[n] = parts[n]
        if cell.crumb:
            assert parts[n].minimum_rotated_rectangle.area < inches(0.25) * tile.length * sqrt(2)
    turns = (0,) if click else (0, 90, 180, 270)
    assert all(_fit(tile, made.cells[a], parts[a], made.cells[b], parts[b], turns) for a, b in made.pairs)
    assert len({n for pair in made.pairs for n in pair}) == 2 * len(made.pairs)
    assert len(made.pairs) == _most_pairs(tile, made, caps, turns)
    assert made.shared == made.cut - len(made.pairs)
    assert made.whole + made.cut + made.crumbs == len(made.cells)


def test_crumbs_at_the_walls_take_no_tile() -> None:
    """Four diagonals of 12 in are 67.882 in, 32 tiles: 24 whole ones and 16 halves. A floor 0.2 in wider has parts 0.1 in deep at every
    wall, 20 with those in its corners, and the halves are 0.1 in deeper, so that no two come from one tile."""
    tile = Tile(length=inches(12), width=inches(12), joint=0, kerf=inches(0.125))
    side = 4 * 12 * sqrt(2) + 0.2
    middle = turned(field([(side / 2, side / 2), (side, 0), (side, side)])).outline[0]
    made = tile_layout(tile, turned(rectangle(side, side)), at=middle, at_45=True)
    assert (made.whole, made.cut, made.shared, made.crumbs) == (24, 16, 16, 20)
    assert made.tiles == 40


def test_pieces_cut_both_ways_share_a_tile_by_hand() -> None:
    """40 by 31 in, a tile of 12 in asked for at 4 and 4 in: 4, 12, 12, 12 in along and 4, 12, 12, 3 in across. Two pieces are 4 in wide,
    three 4 in deep and three 3 in deep, two cut both ways, 4 x 4 and 4 x 3: ten pieces, two from each of five tiles."""
    tile = Tile(length=inches(12), width=inches(12), joint=0)
    made = tile_layout(tile, rectangle(40, 31), at=(inches(4), inches(4)))
    assert (made.whole, made.cut, made.shared) == (6, 10, 5)


@given(extent=st.integers(1, 4000), tile=st.integers(20, 500), joint=st.integers(0, 8), start=st.integers(-600, 600))
def test_a_row_is_filled_wherever_it_begins(extent: int, tile: int, joint: int, start: int) -> None:
    """First piece, whole tiles, last piece and the joints between are as long as the row, but for a joint beside a wall.

    A row of a tile and two joints may be one tile with a joint at either wall.
    """
    row = row_cuts(extent, tile, joint, start)
    assert 0 < row.left <= tile
    assert 0 < row.right <= tile
    if extent > tile + 2 * joint:
        filled = row.left + row.right + row.whole * tile + (row.whole + 1) * joint
        assert extent - 2 * joint <= filled <= extent or filled == extent


@settings(max_examples=thorough.examples(15, 5), deadline=None)
@given(extent=st.integers(40_000, 600_000), tile=st.integers(12_000, 50_000), joint=st.integers(0, 2000))
def test_a_third_offset_has_the_widest_narrowest_cut(extent: int, tile: int, joint: int) -> None:
    """No other place of the rows leaves a wider narrowest cut, by more than what halves and thirds are rounded by; none is under a
    sixth of a tile less a joint."""

    def narrowest(start: int) -> int:
        pitch = tile + joint
        rows = [row_cuts(extent, tile, joint, start + pitch * kind // 3) for kind in range(3)]
        return min(min(row.left, row.right) for row in rows)

    found = narrowest(third_offset(extent, tile, joint))
    assert found >= max(narrowest(start) for start in range(0, tile + joint, 97)) - 4
    assert found >= min(extent, tile) / 6 - joint - 4 or extent < 2 * tile


def test_a_third_offset_by_hand() -> None:
    """102 1/2 in of tiles 24 in long: 102.5 = 12 x 8 + 6.5, so that first pieces that are a, a + 8 and a + 16 long leave last ones of
    6.5 - a + 8 and so on; alike for a = 7.25. So rows end in 7 1/4 and 23 1/4, 15 1/4 and 15 1/4, 23 1/4 and 7 1/4."""
    start = third_offset(inches(102.5), inches(24), 0)
    rows = {row_cuts(inches(102.5), inches(24), 0, start + inches(8) * kind)[:2] for kind in range(3)}
    assert rows == {
        (inches(7.25), inches(23.25)),
        (inches(15.25), inches(15.25)),
        (inches(23.25), inches(7.25)),
    }


def test_a_plain_grid_by_hand() -> None:
    """127 by 98 in, tiles 12 in, no joint: 10 tiles leave 7 in, so 9 whole ones and two of (127 - 108) / 2 = 9 1/2 in, a tile in the
    middle; 8 leave 2 in, so 7 and two of 7 in. 9 x 7 = 63 whole; 2 x 7 = 14 of 9 1/2 in, 2 x 9 = 18 of 7 in, no two of which fit in
    one; 4 corners: 36 pieces out of 36 tiles."""
    tile = Tile(length=inches(12), width=inches(12), joint=0)
    made = tile_layout(tile, rectangle(127, 98))
    assert made.rows == (RowCuts(inches(9.5), inches(9.5), 9),)
    assert made.across == RowCuts(inches(7), inches(7), 7)
    assert (made.along_x.centred, made.along_y.centred) == (Centred.TILE, Centred.TILE)
    assert (made.whole, made.cut, made.shared) == (63, 36, 36)


def test_two_cut_pieces_come_from_one_tile() -> None:
    """124 by 60 in, tiles 12 in, a tile asked for 4 in from the left wall: five rows of 4 in and 10 whole tiles. Three pieces of 4 in
    would come from one tile; two are counted, so that 5 pieces take 3."""
    tile = Tile(length=inches(12), width=inches(12), joint=0)
    made = tile_layout(tile, rectangle(124, 60), at=(inches(4), 0))
    assert (made.whole, made.cut, made.shared) == (50, 5, 3)


def test_a_grid_is_moved_off_a_sliver_at_a_jog() -> None:
    """A jog that lies half an inch beyond a line of the balanced grid: moved, the narrowest cut is wider; a room without one stays."""
    tile = Tile(length=inches(12), width=inches(12), joint=0)
    room = field([(0, 0), (120, 0), (120, 60), (72.5, 60), (72.5, 96), (0, 96)])
    balanced = tile_layout(tile, room)
    assert balanced.narrowest == inches(0.5)
    made, moved = away_from_slivers(tile, balanced, lambda at: tile_layout(tile, room, at=at))
    assert moved
    assert made.narrowest >= SLIVER
    plain = tile_layout(tile, rectangle(127, 98))
    assert away_from_slivers(tile, plain, lambda at: plain) == (plain, False)


def test_a_doorway_does_not_move_the_middle() -> None:
    """With the room's own extent given, tiles in a doorway's throat are counted and the cuts are those of the room."""
    tile = Tile(length=inches(12), width=inches(12), joint=0)
    room = field([(0, 0), (40, 0), (40, -2.25), (70, -2.25), (70, 0), (127, 0), (127, 98), (0, 98)])
    made = tile_layout(tile, room, extent=(0, 0, inches(127), inches(98)))
    plain = tile_layout(tile, rectangle(127, 98))
    assert (made.rows, made.across) == (plain.rows, plain.across)
    assert made.whole >= plain.whole
    assert made.tiles >= plain.tiles


@pytest.mark.parametrize("along_x", [True, False])
@pytest.mark.parametrize("size", [(18, 3), (24, 4), (20, 3.5)])
def test_a_herringbone_covers_the_floor_without_overlap(size: tuple[float, float], along_x: bool) -> None:
    """Every plank is a rectangle of its size at 45 degrees, they cover the floor, none lies on another, whole ones lie within it."""
    plank = product(*size, gap=0.5, min_piece=4, stagger=4)
    made = herringbone(plank, field(BAY), along_x=along_x)
    floor = _inset(BAY, 0.5)
    rings = [Polygon(ring) for ring, _ in made.rings]
    union = unary_union([ring.buffer(2, join_style="mitre") for ring in rings])
    assert floor.difference(union).area < inches(0.05) ** 2
    assert sum(ring.intersection(floor).area for ring in rings) == pytest.approx(floor.area, rel=1e-6)
    for (ring, whole), polygon in zip(made.rings, rings, strict=True):
        assert polygon.area == pytest.approx(plank.length * plank.width, rel=1e-6)
        (x0, y0), (x1, y1) = ring[0], ring[1]
        assert abs(x1 - x0) == pytest.approx(abs(y1 - y0), rel=1e-6)
        assert whole == (polygon.intersection(floor).area > polygon.area - (4064 / 64) ** 2)
    assert made.planks == len(made.rings) == made.whole + made.cut


@pytest.mark.parametrize("along_x", [True, False])
def test_the_center_line_of_a_herringbone(along_x: bool) -> None:
    """It lies in the middle. Where it runs through the points, corners of planks lie to either side of it by half a width times the
    sine of 45 degrees, none nearer; else it runs through the middle of planks."""
    plank = product(18, 3, gap=0.5, min_piece=4, stagger=4)
    made = herringbone(plank, rectangle(87, 74), along_x=along_x)
    assert made.center == inches(37 if along_x else 43.5)
    axis = 1 if along_x else 0
    off = sorted(abs(point[axis] - made.center) for ring, _ in made.rings for point in ring)
    wanted = 3 / 2 / sqrt(2) if made.through is Through.POINTS else 18 / 2 / sqrt(2) - 3 / 2 / sqrt(2)
    assert off[0] == pytest.approx(inches(wanted), abs=3)
