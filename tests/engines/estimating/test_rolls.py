"""Take-off of sheet goods by roll width. Worked by hand: sheet goods go by roll width and seams, not by area
(trade-facts 5.2), 3 in over at each wall; common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.house import Room
from crewjobs.domain.material import FloorKind, Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.tasks import ScopeKind
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.rolls import TRIM_ALLOWANCE, drops, room_drops, running_feet, seam_feet
from crewjobs.engines.estimating.sizing import take_off
from tests.engines.estimating.graph import Graph
from tests.engines.estimating.show import one_room, plank

ROLL = 12 * FOOT


def room(length: int, width: int) -> Room:
    return Room(name="kitchen", outline=Outline.rectangle(length, width))


def sheet_job(method: Method = Method.GLUED, length: int = 20 * FOOT, width: int = 12 * FOOT + 6 * INCH):
    """The plain room of the other tests in sheet vinyl off a roll of 12 ft."""
    job = one_room()
    den = replace(job.rooms[0], outline=Outline.rectangle(length, width), pad=False)
    return replace(job, rooms=(den,), materials=(plank("harbor plank", FloorKind.SHEET_VINYL, method, 24),))


@pytest.mark.parametrize(
    ("length", "width", "roll", "count", "feet", "seam"),
    [
        (10 * FOOT, 8 * FOOT, 12, 1, 9, 0.0),  # under 12 ft both ways: the short way off the roll, 8 ft 6 in
        (11 * FOOT + 6 * INCH, 30 * FOOT, 12, 1, 31, 0.0),  # 11 ft 6 in + 6 in is just the roll: one drop of 30 ft 6 in
        (11 * FOOT + 7 * INCH, 30 * FOOT, 12, 2, 61, 30.0),  # an inch more: two of 30 ft 6 in, better than three across
        (13 * FOOT, 14 * FOOT, 12, 2, 27, 13.0),  # two drops either way: 2 × 13 ft 6 in, not 2 × 14 ft 6 in
        (20 * FOOT, 14 * FOOT, 6, 3, 62, 40.0),  # 14 ft 6 in over 6 ft: three drops of 20 ft 6 in, two seams of 20 ft
    ],
)
def test_a_room_takes_whole_lengths_side_by_side(length, width, roll, count, feet, seam):
    """Fewest drops first, then fewest feet; each drop is the whole way long with 3 in over at both ends."""
    there = drops((length, width), roll * FOOT)
    assert there.count == count
    assert running_feet([room(length, width)], roll * FOOT) == feet
    assert seam_feet(room(length, width), 0, roll * FOOT) == pytest.approx(seam)


def test_rooms_are_added_up_before_feet_are_rounded():
    """8 ft 6 in twice is 17 ft, not 18: rounded up once, at the end."""
    assert running_feet([room(10 * FOOT, 8 * FOOT)] * 2, ROLL) == 17


def test_an_l_shaped_room_is_the_rectangle_around_it():
    """Whole room length: what an L saves is for a layout to say."""
    corners = (
        (0, 0),
        (13 * FOOT, 0),
        (13 * FOOT, 5 * FOOT),
        (6 * FOOT, 5 * FOOT),
        (6 * FOOT, 14 * FOOT),
        (0, 14 * FOOT),
    )
    shaped = Room(name="kitchen", outline=Outline(corners=corners))
    assert room_drops(shaped, ROLL) == room_drops(room(13 * FOOT, 14 * FOOT), ROLL)


def test_sections_are_sheets_of_their_own_with_a_seam_between():
    """A room floored in halves takes two sheets, and the second half a seam as long as the room is wide."""
    halves = replace(room(20 * FOOT, 11 * FOOT), cuts=(("window half", 10 * FOOT), ("door half", 10 * FOOT)))
    assert [part.count for part in room_drops(halves, ROLL)] == [1, 1]
    assert [seam_feet(halves, part, ROLL) for part in (0, 1)] == [0.0, 11.0]


@given(st.integers(FOOT, 60 * FOOT), st.integers(FOOT, 60 * FOOT), st.sampled_from((6, 9, 12, 15)))
def test_what_is_taken_off_covers_the_room_with_its_allowance(length, width, roll):
    """The drops cover the rectangle with 3 in over at each wall, and one drop fewer would not."""
    there = drops((length, width), roll * FOOT)
    over = 2 * TRIM_ALLOWANCE
    across = {length: width, width: length}[there.seam] + over
    assert there.cut == there.seam + over
    assert there.count * roll * FOOT >= across > (there.count - 1) * roll * FOOT
    assert running_feet([room(length, width)], roll * FOOT) == ceil(there.count * there.cut / FOOT)


def test_a_sheet_floor_is_laid_from_check_to_sealed_seams():
    """Roll checked and carried in; skim, pattern, dry fit, adhesive, seams, roller, then trim; seams sealed after the
    clean-up, trim after they have set (common practice, no source)."""
    graph = Graph(sheet_job())
    order = ["room-reading", "roll-check", "carry-in-sheet", "rough-cut-sheet", "lay-sheet-glued", "cut-seams"]
    order += ["roll-sheet", "daily-clean-up", "seal-seams", "base-back", "walk-through-after"]
    keys = [graph.one(name) for name in order]
    assert all(graph.comes_before(one, other) for one, other in pairwise(keys))
    for before in ("flatness-check", "wood-subfloor-reading"):
        assert graph.comes_before(graph.one(before), graph.one("skim-for-sheet"))
    assert graph.comes_before(graph.one("skim-for-sheet"), graph.one("sheet-template"))
    assert graph.comes_before(graph.one("roll-sheet"), graph.one("roll-ends"))
    assert not {"count-lot-check", "carry-in", "around-obstacles", "returns"} & {key.template for key in graph.tasks}


def test_a_sheet_floor_waits_for_its_adhesive_and_its_seams():
    """24 h lie between roller and base, 8 h between sealer and base, 24 h of acclimation before the first cut
    (trade-facts 9 and 3.5, common practice)."""
    graph = Graph(sheet_job())
    assert graph.wait(graph.one("roll-sheet"), graph.one("base-back")) == 24 * 60
    assert graph.wait(graph.one("seal-seams"), graph.one("base-back")) == 8 * 60
    assert graph.wait(graph.one("carry-in-sheet"), graph.one("rough-cut-sheet")) == 24 * 60
    assert graph.wait(graph.one("lay-sheet-glued"), graph.one("roll-sheet")) == 0


def test_a_sheet_fastened_all_around_is_not_rolled_over_all():
    """No heavy roller, no 24 h before the base: only its edges are held (common practice, no source)."""
    graph = Graph(sheet_job(Method.PERIMETER))
    templates = {key.template for key in graph.tasks}
    assert "lay-sheet-perimeter" in templates
    assert not {"lay-sheet-glued", "roll-sheet"} & templates
    assert graph.comes_before(graph.one("lay-sheet-perimeter"), graph.one("seal-seams"))
    whole = Graph(sheet_job(Method.PERIMETER, width=11 * FOOT))
    assert whole.wait(whole.one("lay-sheet-perimeter"), whole.one("base-back")) == 0


def test_a_room_within_the_roll_has_no_seam_to_cut_or_seal():
    """One drop: no seam tasks, and the base still waits for the roller."""
    graph = Graph(sheet_job(width=11 * FOOT))
    assert not {"cut-seams", "seal-seams"} & {key.template for key in graph.tasks}
    assert graph.wait(graph.one("roll-sheet"), graph.one("base-back")) == 24 * 60


def test_the_roll_is_sized_by_the_order_else_by_the_take_off():
    """The roll's check and carry-in count running feet; 20 × 12½ ft off 12 ft are two drops the
    short way, 13 ft each: 26 ft, and a seam of 12½ ft."""
    job = sheet_job()
    assert take_off(job, job.materials[0]) == 26
    graph = Graph(replace(job, orders=()))
    for name in ("roll-check", "carry-in-sheet"):
        task = graph.tasks[graph.one(name)]
        assert (task.quantity, task.unit, task.key.scope.kind) == (26, "running ft", ScopeKind.MATERIAL)
    assert graph.tasks[graph.one("cut-seams")].quantity == pytest.approx(12.5)
