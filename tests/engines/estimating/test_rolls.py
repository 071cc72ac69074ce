"""The cut plan of sheet goods. Worked by hand: sheet goods go by roll width and seams, not by area (trade-facts 5.2), 3 in over at
each wall; common practice, no source. Whatever the room, a judge that shares no code with the plan looks at the drops."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.house import Opening, Room, Transition
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.tasks import ScopeKind
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.rolls import roll_plan, running_feet, seam_feet
from crewjobs.engines.estimating.sizing import take_off
from tests import thorough
from tests.engines.estimating.graph import Graph
from tests.engines.estimating.roll_judge import faults_of, roll_rooms
from tests.engines.estimating.show import one_room, plank

ROLL = 12 * FOOT


def sheet(roll: int = ROLL, *, repeat: int | None = None, fill: int = 1) -> Material:
    return Material.sheet(
        name="harbor sheet", kind=FloorKind.SHEET_VINYL, method=Method.GLUED, roll_width=roll, acclimation_min=0,
        repeat=repeat, fill=fill,
    )  # fmt: skip


def room(length: int, width: int, name: str = "kitchen") -> Room:
    return Room(name=name, outline=Outline.rectangle(length, width))


def shaped(*corners: tuple[int, int], name: str = "kitchen") -> Room:
    """A room by corners in feet."""
    return Room(name=name, outline=Outline(corners=tuple((x * FOOT, y * FOOT) for x, y in corners)))


L_SHAPED = shaped((0, 0), (13, 0), (13, 5), (6, 5), (6, 14), (0, 14))


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
        (
            11 * FOOT + 7 * INCH,
            30 * FOOT,
            12,
            3,
            37,
            23 + 1 / 6,
        ),  # an inch more: three across, 12 ft 1 in each, not 61 ft
        (13 * FOOT, 14 * FOOT, 12, 2, 27, 13.0),  # two drops either way: 2 × 13 ft 6 in, not 2 × 14 ft 6 in
        (
            20 * FOOT,
            14 * FOOT,
            6,
            4,
            58,
            42.0,
        ),  # 20 ft 6 in over 6 ft: four of 14 ft 6 in, less than three of 20 ft 6 in
    ],
)
def test_a_room_takes_the_fewest_feet(length, width, roll, count, feet, seam):
    """Both directions are compared, worked by hand; each drop is the whole way long with 3 in over at both ends."""
    plan = roll_plan([room(length, width)], sheet(roll * FOOT))
    assert len(plan.drops) == count
    assert plan.proved
    assert running_feet([room(length, width)], sheet(roll * FOOT)) == plan.feet == feet
    assert seam_feet([room(length, width)], room(length, width), 0, sheet(roll * FOOT)) == pytest.approx(seam)


def test_rooms_are_added_up_before_feet_are_rounded():
    """8 ft 6 in twice is 17 ft, not 18: rounded up once, at the end."""
    assert running_feet([room(10 * FOOT, 8 * FOOT), room(10 * FOOT, 8 * FOOT, "pantry")], sheet()) == 17


def test_an_l_takes_two_lengths_and_not_the_rectangle_around_it():
    """Six feet of it 14 ft deep, the rest 5 ft: 14 ft 6 in and 5 ft 6 in are 20 ft; two of 13 ft 6 in would be 27 ft."""
    plan = roll_plan([L_SHAPED], sheet())
    assert sorted(one.drop.length for one in plan.drops) == [5 * FOOT + 6 * INCH, 14 * FOOT + 6 * INCH]
    assert plan.feet == 20
    assert plan.proved


def test_a_closet_comes_out_of_what_is_left_beside_a_narrow_strip():
    """A kitchen of 20 by 14 ft takes 29 ft whatever lies beside its second strip: a closet of 3 by 2 ft comes out of that."""
    closet = room(3 * FOOT, 2 * FOOT, "closet")
    assert roll_plan([room(20 * FOOT, 14 * FOOT), closet], sheet()).feet == 29


def test_a_narrow_strip_is_filled_in_with_pieces_where_that_may_be():
    """14 by 13 ft: 12 ft less an allowance in one drop of 14 ft 6 in, the last 15 in of floor in pieces side by side."""
    rest = room(13 * FOOT, 30 * FOOT)
    whole, filled = roll_plan([rest], sheet()), roll_plan([rest], sheet(fill=4))
    assert filled.feet < whole.feet
    crossing = [seam for seam in filled.floors[0].way.seams if seam.crossing]
    assert len(crossing) == max(one.drop.parts for one in filled.drops) - 1 > 0


def test_a_pattern_takes_whole_repeats_between_drops():
    """Two drops of 13 ft 6 in by a pattern of 21 in: the second begins 14 ft behind the first, eight repeats: 27 ft 6 in in all."""
    plan = roll_plan([room(13 * FOOT, 14 * FOOT)], sheet(repeat=21 * INCH))
    assert [one.at for one in plan.drops] == [0, 14 * FOOT]
    assert (plan.length, plan.feet, plan.proved) == (27 * FOOT + 6 * INCH, 28, True)


def test_no_seam_runs_into_a_doorway_where_another_place_will_do():
    """12 ft 6 in is two strips; a doorway where the first full one ends moves the seam beside it, at no foot more."""
    kitchen = room(20 * FOOT, 12 * FOOT + 6 * INCH)
    (seam,) = roll_plan([kitchen], sheet()).floors[0].way.seams
    door = Opening(between=("kitchen", "hall"), width=3 * FOOT, walls=(1, 0), offsets=(seam.at - FOOT, 0))
    plan = roll_plan([kitchen], sheet(), [door])
    (moved,) = plan.floors[0].way.seams
    assert not seam.at - FOOT < moved.at < seam.at + 2 * FOOT
    assert (plan.feet, plan.floors[0].way.in_doorways) == (26, ())
    everywhere = replace(door, width=20 * FOOT, offsets=(0, 0))
    assert roll_plan([kitchen], sheet(), [everywhere]).floors[0].way.in_doorways in ((), ("kitchen / hall",))


def test_another_plan_is_told_where_a_lead_may_like_it_better():
    """An L of 20 and 14 ft with a bath: 33 ft with 25 ft of seam, or 35 ft (20 ft 6 in and 14 ft 6 in) with 14 ft."""
    kitchen = shaped((0, 0), (20, 0), (20, 9), (14, 9), (14, 16), (0, 16))
    plan = roll_plan([kitchen, room(8 * FOOT, 5 * FOOT, "bath")], sheet())
    assert (plan.feet, sum(floor.way.seam_length for floor in plan.floors)) == (33, 25 * FOOT)
    (other,) = plan.others
    assert (other.feet, other.seams, other.faults) == (35, 14 * FOOT, 0)


def test_a_floor_that_runs_on_has_its_seam_in_the_doorway():
    """Kitchen and hall in one sheet vinyl without a strip: three feet of seam more, counted with the hall, which is laid later."""
    rooms = [room(11 * FOOT, 10 * FOOT), room(11 * FOOT, 4 * FOOT, "hall")]
    through = Opening(between=("kitchen", "hall"), width=3 * FOOT, transition=Transition.CONTINUOUS)
    assert seam_feet(rooms, rooms[0], 0, sheet(), [through]) == 0.0
    assert seam_feet(rooms, rooms[1], 0, sheet(), [through]) == 3.0
    assert seam_feet(rooms, rooms[1], 0, sheet(), [replace(through, transition=Transition.T_MOLD)]) == 0.0


def test_a_deep_doorway_is_covered():
    """Half of a doorway 12 in deep is 6 in, 3 in more than the allowance reaches: the drop is so much longer."""
    door = Opening(between=("kitchen", "hall"), width=3 * FOOT, walls=(2, 0), offsets=(FOOT, 0), throat=FOOT)
    plan = roll_plan([room(14 * FOOT, 11 * FOOT)], sheet(), [door])
    assert plan.drops[0].drop.length == 14 * FOOT + 9 * INCH


def test_sections_are_sheets_of_their_own_with_a_seam_between():
    """A room floored in halves takes two sheets, and the second half a seam as long as the room is wide."""
    halves = replace(room(20 * FOOT, 11 * FOOT), cuts=(("window half", 10 * FOOT), ("door half", 10 * FOOT)))
    assert len(roll_plan([halves], sheet()).drops) == 2
    assert [seam_feet([halves], halves, part, sheet()) for part in (0, 1)] == [0.0, 11.0]


@settings(max_examples=thorough.examples(15, 5), deadline=None)
@given(
    st.lists(roll_rooms(), min_size=1, max_size=3),
    st.sampled_from((6, 9, 12)),
    st.sampled_from((None, 9 * INCH, 21 * INCH)),
    st.sampled_from((1, 3)),
)
def test_any_plan_stands_before_a_judge(rooms, roll, repeat, fill):
    """Whatever the rooms: covered with their allowance, off the roll without overlap, patterns alike at every seam."""
    rooms = [replace(one, name=f"room {number}") for number, one in enumerate(rooms, 1)]
    material = sheet(roll * FOOT, repeat=repeat, fill=fill)
    plan = roll_plan(rooms, material)
    assert not faults_of(rooms, material, plan)
    assert plan.least <= plan.length
    assert plan.feet * FOOT >= plan.length > (plan.feet - 1) * FOOT


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
