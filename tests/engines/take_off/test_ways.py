"""Floors that are no straight rows of equal planks, from the job on: judged in the house's own inches, and by hand."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace
from math import ceil, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box, unary_union
from shapely.affinity import rotate

from crewjobs.domain.house import Opening, Transition
from crewjobs.domain.layout import Direction
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.pattern import Pattern, equal_shares
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.sizing import take_off
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.mixed_lengths import MixedBoards, MixedLayout, rack
from crewjobs.engines.laying.model import Run
from crewjobs.engines.laying.search import Search
from crewjobs.engines.take_off.diagonal import corner_of, turned_back
from crewjobs.engines.take_off.floors import basis_of, house_floor
from crewjobs.engines.take_off.herringbone import herringbone_floor
from crewjobs.engines.take_off.mixed import cartons_by_cover, mixed_floor
from crewjobs.engines.take_off.set_out import extent_of, outermost
from crewjobs.engines.take_off.tiled import tiled_floor
from crewjobs.engines.take_off.ways import Way, way_of
from tests import thorough
from tests.engines.take_off.test_fields import PLANK, _job, _room

BOX = ((0, 0), (14, 0), (14, 11), (0, 11))
ELL = ((0, 0), (14, 0), (14, 6), (9, 6), (9, 11), (0, 11))
DIAGONAL = replace(PLANK, pattern=Pattern.DIAGONAL)
TILE = replace(
    PLANK, kind=FloorKind.GLUED_VINYL, method=Method.GLUED, plank_width=12 * INCH, plank_length=12 * INCH, carton_ft2=24.0,
    pattern=Pattern.GRID, gap=0,
)  # fmt: skip
OAK = replace(
    PLANK, kind=FloorKind.SOLID_WOOD, method=Method.NAILED, plank_width=3 * INCH, plank_length=72 * INCH, carton_ft2=22.0,
    lengths=tuple((length * INCH, 25.0) for length in (24, 36, 48, 72)),
)  # fmt: skip


def _of(material: Material, *rooms, openings=()):
    return replace(_job(list(rooms), list(openings)), materials=(material,))


def test_each_pattern_has_its_way() -> None:
    """Rows are searched, random lengths racked, tiles and herringbones set out."""
    assert way_of(PLANK) is way_of(DIAGONAL) is Way.ROWS
    assert way_of(OAK) is Way.RANDOM_LENGTHS
    assert way_of(TILE) is Way.TILES
    assert way_of(replace(PLANK, pattern=Pattern.HERRINGBONE)) is Way.HERRINGBONE


# ---------------------------------------------------------------------- diagonal


@pytest.mark.parametrize(
    ("start", "corners"),
    thorough.of(
        [(start, corners) for start in range(4) for corners in (BOX, ELL)], [(0, ELL), (1, BOX), (2, ELL), (3, BOX)]
    ),
)
def test_diagonal_rows_cover_the_room_in_its_true_place(start: int, corners: tuple[tuple[int, int], ...]) -> None:
    """Pieces turned back by a library of geometry cover the floor within its gap, lie at 45 degrees, and none lies on another; no
    plank gives more than it has, a cut at 45 degrees taking the square root of 2 times the saw's eighth."""
    room = replace(_room("den", *corners), start_wall=start)
    house = house_floor(_of(DIAGONAL, room), DIAGONAL)
    layout = Search(house.floor.problem).run(rounds=1)
    rows, runs = house.floor.fields[0], house.floor.problem.runs
    shapes, planks = [], defaultdict(list)
    for piece in layout.pieces:
        near, far = rows.row_at(runs[piece.run].row)
        ring = [
            rows.frame.back(point)
            for point in ((piece.left, near), (piece.right, near), (piece.right, far), (piece.left, far))
        ]
        shapes.append(rotate(Polygon(ring), -45, origin=(0, 0)))
        planks[piece.plank].append(piece.length)
    floor = Polygon([(x * FOOT, y * FOOT) for x, y in corners]).buffer(-INCH / 4, join_style="mitre")
    assert floor.difference(unary_union([shape.buffer(4, join_style="mitre") for shape in shapes])).area < 1
    inside = [shape.intersection(floor).area for shape in shapes]
    assert sum(inside) == pytest.approx(floor.area, rel=1e-4)
    for cut in planks.values():
        assert sum(cut) + (len(cut) - 1) * INCH / 8 * sqrt(2) <= 48 * INCH
    assert len(planks) == layout.planks >= ceil(floor.area / (7 * 48 * INCH * INCH))


@pytest.mark.parametrize(("start", "corner"), [(1, (0, 0)), (2, (14, 0)), (3, (14, 11)), (4, (0, 11))])
def test_diagonal_rows_begin_at_the_corner_asked_for(start: int, corner: tuple[int, int]) -> None:
    """`start_wall` names the corner where that wall begins: the first row's pieces lie nearest to it of all corners."""
    room = replace(_room("den", *BOX), start_wall=start)
    job = _of(DIAGONAL, room)
    house = house_floor(job, DIAGONAL)
    assert corner_of(job, house.fields[0], house.directions[0].wall) == ("den", start)
    rows = house.floor.fields[0]
    run = next(run for _, run in house.floor.runs_of(0) if run.row == 0)
    x, y = turned_back(rows.frame.back(((run.left + run.right) // 2, rows.low)))
    far = {place: abs(x - place[0] * FOOT) + abs(y - place[1] * FOOT) for place in BOX}
    assert min(far, key=lambda place: far[place]) == corner


def test_a_diagonal_layout_is_another_one() -> None:
    """What is kept of straight rows is not in force once the pattern is diagonal; that rows were asked for along a wall is told."""
    room = replace(_room("den", *BOX), rows=Direction.ALONG)
    job = _of(PLANK, room)
    assert basis_of(job, PLANK) != basis_of(job, DIAGONAL)
    assert any("45 degrees" in told for told in house_floor(_of(DIAGONAL, room), DIAGONAL).taken_as)


# ---------------------------------------------------------------------- random lengths


def _judge(boards: MixedBoards, runs: list[Run], made: MixedLayout) -> None:
    """Rebuild every board from what the rows say of it: lengths add up, each rest is used once, joints keep apart or are told."""
    taken = Counter[int]()
    rests: dict[int, int] = {}
    ends: dict[int, int] = {}
    for number, (run, pieces) in enumerate(zip(runs, made.pieces, strict=True)):
        assert sum(pieces) == run.right - run.left
        own = list(pieces)
        if made.begins[number] is not None:
            assert own.pop(0) == rests.pop(made.begins[number])
        elif made.first[number]:
            begun = own.pop(0)
            taken[made.first[number]] += 1
            ends[number] = made.first[number] - begun - boards.kerf
        if made.closes[number] is not None and own:
            assert own.pop() <= ends.pop(made.closes[number])
        elif made.cut[number] and own:
            taken[made.cut[number]] += 1
            rests[number] = made.cut[number] - own.pop() - boards.kerf
        taken.update(own)  # whole boards
        assert all(piece in boards.shares for piece in own)
    assert dict(taken) == dict(made.boards)
    assert made.running == sum(length * count for length, count in taken.items())
    joints = {
        number: [run.left + sum(pieces[: k + 1]) for k in range(len(pieces) - 1)]
        for number, (run, pieces) in enumerate(zip(runs, made.pieces, strict=True))
    }
    for number, run in enumerate(runs):
        near = any(
            abs(one - other) < least
            for apart, least in ((1, boards.stagger), (2, boards.second_row))
            for before, earlier in enumerate(runs[:number])
            if (earlier.field, earlier.row) == (run.field, run.row - apart)
            for one in joints[number]
            for other in joints[before]
        )
        assert near == (number in made.near)


@settings(max_examples=thorough.examples(8, 4), deadline=None)
@given(
    lengths=st.sets(st.integers(16, 84), min_size=2, max_size=6),
    widths=st.lists(st.integers(30, 260), min_size=3, max_size=25),
    stagger=st.sampled_from([6, 8, 10]),
)
def test_racked_rows_add_up(lengths: set[int], widths: list[int], stagger: int) -> None:
    """Any lengths, any rows: what the cut list says is what the boards have."""
    boards = MixedBoards(
        shares={length * INCH: 1 / len(lengths) for length in lengths}, width=3 * INCH, kerf=INCH // 8, min_piece=8 * INCH,
        stagger=stagger * INCH, second_row=2 * INCH,
    )  # fmt: skip
    runs = [Run(field=0, row=row, left=0, right=wide * INCH) for row, wide in enumerate(widths)]
    _judge(boards, runs, rack(boards, runs))


def test_two_rows_by_hand() -> None:
    """Boards of 60 and 40 in, equal shares of the running length, rows of 100 in, joints 6 in apart. Row 1: a board of 60 is most behind
    its share, then 40 fills it. Row 2: 60 would put a joint over that of row 1, so 40 begins and 60 ends. Nothing is cut."""
    boards = MixedBoards(
        shares={60 * INCH: 0.5, 40 * INCH: 0.5}, width=5 * INCH, kerf=INCH // 8, min_piece=8 * INCH, stagger=6 * INCH
    )
    made = rack(boards, [Run(field=0, row=row, left=0, right=100 * INCH) for row in (0, 1)])
    assert made.pieces == ((60 * INCH, 40 * INCH), (40 * INCH, 60 * INCH))
    assert made.waste == 0
    assert (made.cut, made.near, made.left) == ((0, 0), (), ())


def test_a_board_is_cut_to_begin_a_row_where_joints_would_meet() -> None:
    """Boards of 24 and 48 in and rows of 96 in: every row of whole boards has a joint at 24 or 48 and one at 48 or 72, none of them 8 in
    from those of two rows before for long; cut beginnings keep all apart."""
    boards = MixedBoards(
        shares={24 * INCH: 0.5, 48 * INCH: 0.5}, width=5 * INCH, kerf=INCH // 8, min_piece=8 * INCH, stagger=8 * INCH,
        second_row=2 * INCH,
    )  # fmt: skip
    runs = [Run(field=0, row=row, left=0, right=96 * INCH) for row in range(12)]
    made = rack(boards, runs)
    _judge(boards, runs, made)
    assert any(made.first)
    assert not made.near


def test_cartons_of_random_lengths_are_by_cover() -> None:
    """The boards' area, 5 % of it more, whole cartons of 22 ft² and one kept; shares typed as 24 or 25 percents are the same floor."""
    job = _of(OAK, _room("den", *BOX))
    floor = mixed_floor(job, OAK)
    cartons = cartons_by_cover(job, OAK, floor.layout)
    area = sum(length * count for length, count in floor.layout.boards.items()) * 3 * INCH / FOOT**2
    assert cartons.boards_ft2 == pytest.approx(area)
    assert cartons.cartons == ceil(area * 1.05 / 22) + 1
    assert cartons.thumb == ceil(14 * 11 * 1.1 / 22) + 1
    alike = replace(OAK, lengths=equal_shares([length for length, _ in OAK.lengths]))
    rounded = replace(OAK, lengths=tuple((length, 24.9) for length, _ in OAK.lengths))
    assert mixed_floor(job, alike).layout.pieces == mixed_floor(job, rounded).layout.pieces


# ---------------------------------------------------------------------- tiles and herringbone


def test_a_bath_without_a_cut_by_hand() -> None:
    """5 by 8 ft of tiles 12 in, no joint and no gap: 40 whole tiles; 24 ft² a carton, so 2 cartons with none in reserve."""
    floor = tiled_floor(_of(TILE, _room("bath", (0, 0), (8, 0), (8, 5), (0, 5))), TILE)
    assert (floor.tiles, floor.apart) == (40, 40)
    assert all(cell.whole for cell in floor.fields[0].layout.cells)


def test_a_grid_at_45_degrees_by_hand() -> None:
    """10 by 10 ft, tiles 12 in, no joint: their diagonal is 16.97 in. Corners on the middle line leave 60 mod 8.485 = 0.60 in triangles at
    the walls, moved by a quarter of a diagonal (4.243) 55.757 mod 8.485 = 4.85 in ones: moved."""
    tile = replace(TILE, pattern=Pattern.DIAGONAL_GRID)
    (field,) = tiled_floor(_of(tile, _room("hall", (0, 0), (10, 0), (10, 10), (0, 10))), tile).fields
    assert [off / INCH for off in field.off] == pytest.approx([4.243, 4.243], abs=0.001)
    assert [deep / INCH for deep in field.edges] == pytest.approx([4.846, 4.846], abs=0.002)
    corners = {
        (round(x / INCH, 1), round(y / INCH, 1))
        for cell in field.layout.cells
        for x, y in [turned_back((cell.x, cell.y))]
    }
    assert (64.2, 64.2) in corners
    shapes = [
        rotate(box(cell.x, cell.y, cell.x + 12 * INCH, cell.y + 12 * INCH), -45, origin=(0, 0))
        for cell in field.layout.cells
    ]
    floor = box(0, 0, 120 * INCH, 120 * INCH)
    assert sum(shape.intersection(floor).area for shape in shapes) == pytest.approx(floor.area, rel=1e-4)


def test_tiles_run_on_through_an_opening() -> None:
    """A closet joined without a strip has the den's grid; with a strip each room has its own, balanced without the doorway."""
    rooms = [_room("den", *BOX), _room("closet", (0, 0), (6, 0), (6, 3), (0, 3))]
    way = Opening(
        between=("den", "closet"), width=30 * INCH, transition=Transition.CONTINUOUS, walls=(2, 4), offsets=(FOOT, 3 * INCH)
    )  # fmt: skip
    (field,) = tiled_floor(_of(TILE, *rooms, openings=[way]), TILE).fields
    assert [place.room for place in field.house.rooms] == ["den", "closet"]
    strip = replace(way, transition=Transition.T_MOLD)
    den, _ = tiled_floor(_of(TILE, *rooms, openings=[strip]), TILE).fields
    (alone,) = tiled_floor(_of(TILE, rooms[0]), TILE).fields
    assert (den.layout.rows, den.layout.across) == (alone.layout.rows, alone.layout.across)
    assert den.layout.tiles > alone.layout.tiles  # the doorway as far as the strip
    assert extent_of(_of(TILE, *rooms, openings=[strip]), den.house, 0) == (0, 0, 14 * FOOT, 11 * FOOT)


def test_walls_are_named_as_they_lie_farthest_out() -> None:
    """Of an L the wall at the far end is measured from, not the one of the jog; asked for, rows run across."""
    job = _of(TILE, replace(_room("den", *ELL), rows=Direction.ACROSS))
    (field,) = tiled_floor(job, TILE).fields
    assert not field.runs.along_x
    assert field.runs.asked
    walls = {side: outermost(job, field.house, side)[1] for side in Wall}
    assert walls == {Wall.TOP: 1, Wall.RIGHT: 2, Wall.BOTTOM: 5, Wall.LEFT: 6}


def test_a_herringbone_takes_what_touches_the_floor() -> None:
    """No fewer planks than the area holds, no more than touch it by more than a hair, the center line in the middle of the room."""
    wood = replace(PLANK, pattern=Pattern.HERRINGBONE, plank_width=3 * INCH, plank_length=18 * INCH, carton_ft2=20.0)
    floor = herringbone_floor(_of(wood, _room("den", *BOX)), wood)
    assert floor.planks >= 14 * 11 * 144 / (3 * 18)
    assert floor.fields[0].layout.center == 5.5 * FOOT
    assert floor.working_line == round(3 * INCH / 2 / sqrt(2))


@pytest.mark.parametrize(
    ("pattern", "waste"), [(Pattern.STRAIGHT, 0.10), (Pattern.DIAGONAL, 0.15), (Pattern.HERRINGBONE, 0.20)]
)
def test_the_rule_of_thumb_knows_the_pattern(pattern: Pattern, waste: float) -> None:
    """154 ft² and a tenth, 15 or 20 %, in cartons of 23.8 ft², and one more (common practice, no source)."""
    plank = replace(PLANK, pattern=pattern)
    assert take_off(_of(plank, _room("den", *BOX)), plank) == ceil(154 * (1 + waste) / 23.8) + 1
