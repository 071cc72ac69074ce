"""Directions, tile grids, herringbone, diagonal floors and boards of mixed lengths."""

from __future__ import annotations

from math import ceil
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.engines.laying.directions import Surroundings, WallReason, WayReason, propose
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.mixed_lengths import MixedBoards, rack
from crewjobs.engines.laying.model import Run
from crewjobs.engines.laying.patterns import herringbone, turned
from crewjobs.engines.laying.tile_cuts import balanced
from crewjobs.engines.laying.tiles import Grid, Tile, tile_layout
from tests import thorough
from tests.engines.laying.given import field, floor, inches, product, rectangle


@pytest.mark.parametrize(
    ("known", "along_x", "reason"),
    [
        (Surroundings(solid=True, joists_along_x=True, light=Wall.LEFT), False, WayReason.ACROSS_JOISTS),
        (Surroundings(solid=False, joists_along_x=True, light=Wall.LEFT), True, WayReason.LIGHT),
        (Surroundings(light=Wall.TOP), False, WayReason.LIGHT),
        (Surroundings(), True, WayReason.LONGEST_WALL),
    ],
)
def test_directions_follow_the_first_reason_that_holds(known: Surroundings, along_x: bool, reason: WayReason):
    """Solid wood goes across the joists whatever else; then light counts, then the longest wall (common practice, no source)."""
    proposed = propose(product(), rectangle(200, 120), known)
    assert (proposed.wall.along_x, proposed.way) == (along_x, reason)


def test_doorways_and_slivers_decide_where_walls_are_alike():
    """In a square room rows run on through the doorways; without any, the way with fewer slivers or rows is taken."""
    square = rectangle(120, 120)
    proposed = propose(product(), square, Surroundings(doorways=(Wall.LEFT,)))
    assert (proposed.wall.along_x, proposed.way) == (True, WayReason.DOORWAYS)
    proposed = propose(product(), rectangle(120, 127), Surroundings())
    assert (proposed.wall.along_x, proposed.way) == (False, WayReason.FEWEST_ROWS)


def test_laying_begins_at_the_longer_wall_and_away_from_doors():
    """Of two facing walls the longer straight one is taken, of equal ones that without a doorway."""
    notched = field([(0, 0), (60, 0), (60, 10), (200, 10), (200, 120), (0, 120)])
    proposed = propose(product(), notched, Surroundings())
    assert (proposed.wall, proposed.why_wall) == (Wall.BOTTOM, WallReason.LONGEST_WALL)
    proposed = propose(product(), rectangle(200, 120), Surroundings(doorways=(Wall.TOP,)))
    assert (proposed.wall, proposed.why_wall) == (Wall.BOTTOM, WallReason.AWAY_FROM_DOORS)


def test_a_way_that_leaves_no_row_is_not_proposed():
    """A strip too shallow for a row the one way is laid the other way; asked for, it is refused."""
    strip = rectangle(60, 2.5)
    plank = product(48, 7)
    proposed = propose(plank, strip, Surroundings())
    assert (proposed.wall.along_x, proposed.way) == (False, WayReason.ONLY_WAY)
    with pytest.raises(Refused, match="narrowest row"):
        propose(plank, strip, Surroundings(), along_x=True)


@given(extent=st.integers(1, 4000), tile=st.integers(20, 500), joint=st.integers(0, 8))
def test_cuts_at_facing_walls_are_equal_and_no_slivers(extent: int, tile: int, joint: int):
    """Whole tiles, joints and two equal cuts fill the floor, and no cut is under half a tile less a joint, nor over a tile."""
    cuts = balanced(extent, tile, joint)
    if extent <= tile:
        assert cuts.width == extent
        return
    filled = 2 * cuts.width + cuts.whole * tile + (cuts.whole + 1) * joint
    assert 0 <= extent - filled <= 1 or (extent + joint) % (tile + joint) == 0
    assert tile - joint - 1 <= 2 * cuts.width <= 2 * tile


@pytest.mark.parametrize("grid", list(Grid))
def test_tiles_cover_the_floor(grid: Grid):
    """No grid takes fewer tiles than the area does; straight ones take columns by rows of a plain room."""
    tile = Tile(length=inches(12), width=inches(12), joint=inches(0.125))
    made = tile_layout(tile, rectangle(127, 98), grid)
    assert made.tiles >= 127 * 98 / 12.125**2
    assert made.shared + made.whole <= made.tiles
    if grid is Grid.STRAIGHT:
        assert made.tiles == (made.along_x.whole + 2) * (made.along_y.whole + 2)


def test_exact_tiles_are_not_cut():
    """Ten tiles and nine joints make a row without a cut."""
    tile = Tile(length=inches(12), width=inches(12), joint=inches(0.25))
    made = tile_layout(tile, rectangle(10 * 12 + 9 * 0.25, 5 * 12 + 4 * 0.25))
    assert (made.whole, made.cut) == (50, 0)


@pytest.mark.parametrize("to_the_walls", thorough.of([True, False], 1))
def test_herringbone_counts_every_plank_once(to_the_walls: bool):
    """Whole planks are no more, and all planks no fewer, than the floor's area holds; the excess is at the walls only."""
    plank = product(24, 4, gap=0)
    made = herringbone(plank, rectangle(240, 200), to_the_walls=to_the_walls)
    area = 240 * 200 / (24 * 4)
    assert made.whole <= area <= made.planks
    touched = 2 * (240 + 200) * 2 * 24 / (24 * 4)  # all that lies within a plank's length of a wall
    assert made.cut <= touched
    assert made.whole >= area - touched
    wide = herringbone(plank, rectangle(2400, 2000), to_the_walls=to_the_walls)
    assert wide.whole == pytest.approx(2400 * 2000 / (24 * 4), rel=0.03)


def test_a_diagonal_floor_keeps_its_area():
    """Turned by 45° a floor is as large as before and its rows run over its diagonal."""
    made = floor(product(gap=0), turned(rectangle(120, 120)))
    assert sum(made.fields[0].rips.widths) == pytest.approx(inches(120 * 2**0.5), abs=3)


@given(seed=st.integers(0, 10**6))
@settings(max_examples=thorough.examples(20, 7), deadline=None)
def test_mixed_lengths_fill_every_row(seed: int):
    """Pieces fill each run, no board yields more than its length, boards are at least the floor, and shares are kept within
    what one board a length can do."""
    random = Random(seed)
    boards = MixedBoards(
        shares={inches(24): 0.2, inches(36): 0.3, inches(48): 0.5},
        width=inches(5),
        kerf=inches(0.125),
        min_piece=inches(10),
        stagger=inches(6),
    )
    runs = [Run(field=0, row=row, left=0, right=inches(random.randint(50, 240))) for row in range(30)]
    made = rack(boards, runs)
    for run, pieces in zip(runs, made.pieces, strict=True):
        assert sum(pieces) == run.length
        assert max(pieces) <= inches(48)
        assert min(pieces) >= inches(10)
    assert made.running >= made.floor
    assert made.waste < 0.25
    for length, share in boards.shares.items():
        assert made.boards[length] * length / made.running == pytest.approx(share, abs=0.05)


@pytest.mark.parametrize(
    ("shares", "match"),
    [({}, "lengths"), ({24: 0.5}, "100 %"), ({24: -1.0, 48: 2.0}, "100 %"), ({8: 1.0}, "longest board")],
)
def test_boards_that_are_none_are_refused(shares: dict[int, float], match: str):
    """No lengths, shares that do not sum to the whole, pieces longer than any board: one sentence."""
    with pytest.raises(Refused, match=match):
        MixedBoards(
            shares={inches(length): share for length, share in shares.items()},
            width=inches(5),
            kerf=0,
            min_piece=inches(10),
            stagger=inches(6),
        )


def test_boards_by_division():
    """23 boards of 5 1/2 in cover 106 in with 15 % lost by division.

    US Army engineer subcourse EN01136, lesson 5 (trade-facts 12.5): 106 / 5.5 / 0.85 = 22.67, so 23; our own rows, which are
    ripped and not wasted, are no more.
    """
    assert ceil(106 / 5.5 / 0.85) == 23
    made = floor(product(48, 5.5, gap=0), rectangle(100, 106))
    assert len(made.fields[0].rips.widths) <= 23
