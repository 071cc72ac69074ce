"""Fields cut into rows and runs: islands, angled walls, frames, and outlines that are none."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH
from crewjobs.engines.laying.floors import Laid, floor_of
from crewjobs.engines.laying.frames import Frame, Wall
from tests import thorough
from tests.engines.laying.given import field, floor, product, rectangle
from tests.engines.laying.rooms import room


def test_a_plain_room_has_one_run_a_row():
    """Every row of a rectangle is one run from gap to gap."""
    made = floor(product(), rectangle(100, 70))
    assert [(run.row, run.left, run.right) for run in made.problem.runs] == [
        (row, INCH // 4, 100 * INCH - INCH // 4) for row in range(len(made.fields[0].rips.widths))
    ]


def test_an_island_splits_its_rows():
    """Rows beside an island are two runs that end a gap before it; the others stay whole."""
    made = floor(
        product(), field([(0, 0), (200, 0), (200, 100), (0, 100)], [[(80, 40), (120, 40), (120, 60), (80, 60)]])
    )
    by_row: dict[int, list[tuple[float, float]]] = {}
    for run in made.problem.runs:
        by_row.setdefault(run.row, []).append((run.left / INCH, run.right / INCH))
    for row, spans in by_row.items():
        low, high = (value / INCH for value in made.fields[0].row_at(row))
        if low >= 39.75 and high <= 60.25:
            assert spans == [(0.25, 79.75), (120.25, 199.75)]
        else:
            assert spans == [(0.25, 199.75)]


@given(seed=st.integers(0, 10**6), wall=st.sampled_from(list(Wall)))
@settings(max_examples=thorough.examples(25, 8), deadline=None)
def test_runs_are_the_floor_row_by_row(seed: int, wall: Wall):
    """In every row the runs span exactly what the row's strip of the inset floor spans, and no two of them overlap."""
    random = Random(seed)
    made = floor(product(), room(random, random.uniform(60, 300), "den"), wall=wall)
    rows = made.fields[0]
    turned = Polygon(
        [rows.frame.to(point) for point in rows.field.outline],
        [[rows.frame.to(point) for point in hole] for hole in rows.field.holes],
    )
    within = turned.buffer(-product().gap, join_style="mitre")
    for row in range(len(rows.rips.widths)):
        low, high = rows.row_at(row)
        strip = within.intersection(box(-(10**7), low, 10**7, high))
        runs = [run for run in made.problem.runs if run.row == row]
        union = Polygon()
        for run in runs:
            tile = box(run.left, low, run.right, high)
            assert union.intersection(tile).area == 0
            union = union.union(tile)
            assert run.left == pytest.approx(strip.intersection(tile).bounds[0], abs=2)
            assert run.right == pytest.approx(strip.intersection(tile).bounds[2], abs=2)
        assert strip.difference(union).area < INCH


def test_an_angled_wall_is_charged_by_extent():
    """Rows against a slanted wall reach as far as the wall does at their longer edge."""
    made = floor(product(gap=0), field([(0, 0), (100, 0), (170, 70), (0, 70)]))
    ends = [run.right / INCH for run in made.problem.runs]
    assert ends == pytest.approx([107 + 7 * row for row in range(10)], abs=0.01)


@pytest.mark.parametrize("wall", list(Wall))
def test_frames_turn_and_never_mirror(wall: Wall):
    """A frame and its way back undo each other, keep the sense of rotation, and bring the starting wall to the lowest y."""
    frame = Frame(wall=wall)
    corners = [(0, 0), (30, 0), (30, 20), (0, 20)]
    assert [frame.back(frame.to(point)) for point in corners] == corners
    assert Polygon([frame.to(point) for point in corners]).exterior.is_ccw == Polygon(corners).exterior.is_ccw
    on_wall = {Wall.TOP: (15, 0), Wall.BOTTOM: (15, 20), Wall.LEFT: (0, 10), Wall.RIGHT: (30, 10)}[wall]
    assert frame.to(on_wall)[1] == min(frame.to(point)[1] for point in corners)


@pytest.mark.parametrize(
    ("outline", "holes", "match"),
    [
        ([(0, 0), (100, 70), (100, 0), (0, 70)], [], "crosses or touches itself"),
        ([(0, 0), (100, 0), (50, 0)], [], "crosses or touches itself"),
        ([(0, 0), (100, 0), (100, 70), (0, 70)], [[(90, 10), (120, 10), (120, 30)]], "not inside"),
        (
            [(0, 0), (100, 0), (100, 70), (0, 70)],
            [[(9, 10), (40, 10), (40, 30)], [(20, 5), (30, 5), (30, 60)]],
            "overlaps",
        ),
        ([(0, 0), (0.3, 0), (0.3, 70), (0, 70)], [], "nothing is left"),
        ([(0, 0), (100, 0), (100, 2), (0, 2)], [], "narrowest row"),
    ],
)
def test_floors_that_are_none_are_refused(outline, holes, match: str):
    """An outline that crosses itself, islands outside or in each other, no floor, a row too narrow: one sentence, with the room."""
    with pytest.raises(Refused, match=match) as refused:
        floor(product(), field(outline, holes))
    assert len(refused.value.sentences) == 1
    assert "den" in str(refused.value)


def test_no_field_is_refused():
    """Nothing to lay is said."""
    with pytest.raises(Refused, match="no floor"):
        floor_of(product(), [])
    assert Laid(field=rectangle(10, 10)).wall is Wall.TOP
