"""What is left of a roll: pieces nothing is cut from, the largest first, by a judge of its own."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from crewjobs.domain.house import Room
from crewjobs.domain.material import FloorKind, Material, Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.rolls import roll_plan
from crewjobs.engines.take_off.roll_drawing import drawn_roll
from crewjobs.engines.take_off.roll_rests import SMALLEST, rests_of
from tests import thorough
from tests.engines.estimating.roll_judge import roll_rooms

SHEET = Material.sheet(
    name="sheet", kind=FloorKind.SHEET_VINYL, method=Method.GLUED, roll_width=12 * FOOT, acclimation_min=0
)


def test_beside_a_narrow_drop_a_strip_is_left() -> None:
    """A room of 10 by 8 ft takes 8 ft 6 in by 10 ft 6 in of 9 ft: 18 in by 9 ft are left; the 6 in behind it are not worth a word."""
    room = Room(name="den", outline=Outline.rectangle(10 * FOOT, 8 * FOOT))
    assert rests_of(roll_plan([room], SHEET)) == ((0, 10 * FOOT + 6 * INCH, 9 * FOOT, 12 * FOOT),)


@settings(max_examples=thorough.examples(10, 4), deadline=None)
@given(st.lists(roll_rooms(), min_size=1, max_size=3))
def test_rests_lie_on_the_roll_and_on_no_drop(rooms: list[Room]) -> None:
    """Whatever the rooms: every rest is on the feet that are bought, on no drop, on no other rest, none under a foot."""
    rooms = [replace(one, name=f"room {number}") for number, one in enumerate(rooms)]
    plan = roll_plan(rooms, SHEET)
    rests = [box(*rest) for rest in rests_of(plan)]
    drops = [box(one.at, one.left, one.at + one.drop.length, one.left + one.drop.width) for one in plan.drops]
    roll = box(0, 0, plan.feet * FOOT, plan.roll)
    assert all(roll.covers(rest) for rest in rests)
    assert not any(rest.intersection(drop).area for rest in rests for drop in drops)
    assert not any(one.intersection(other).area for one, other in combinations(rests, 2))
    assert all(min(x1 - x0, y1 - y0) >= SMALLEST for x0, y0, x1, y1 in rests_of(plan))
    assert [rest.area for rest in rests] == sorted((rest.area for rest in rests), reverse=True)


@settings(max_examples=thorough.examples(10, 4), deadline=None)
@given(roll_rooms())
def test_the_drawing_holds_all_its_shapes(room: Room) -> None:
    """Room and roll are drawn within the picture, every drop once on the roll with its number."""
    plan = roll_plan([room], SHEET)
    drawing = drawn_roll(room, plan, SHEET.counted(plan.feet))
    boxes = [shape for shape in drawing.shapes if hasattr(shape, "fill")]
    assert len(boxes) == len(plan.drops)
    assert all(0 <= x <= drawing.width and 0 <= y <= drawing.depth for one in boxes for x, y in one.corners)
