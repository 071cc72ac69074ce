"""What is bought beside the planks, and how many cartons: worked examples with their sources, and what holds for any job."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import pytest
from hypothesis import given, settings

from crewjobs.domain.house import Opening, Room, Stairs, Trim
from crewjobs.domain.job import Job
from crewjobs.domain.layout import Obstacle
from crewjobs.domain.material import FloorKind, Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.places import floored_rooms, floored_stairs
from crewjobs.engines.take_off.goods import Lengths, Line, What, goods_of
from crewjobs.engines.take_off.planks import carried, cartons_of
from crewjobs.engines.take_off.rules import in_carton, product_of, stagger_of
from tests import strategies as ours
from tests import thorough
from tests.engines.take_off.test_fields import PLANK, _job


def _lines(job: Job, what: What) -> list[Line]:
    return [line for line in goods_of(job).lines if line.what is what]


def _room(length_ft: float, width_ft: float, **given_: object) -> Room:
    outline = Outline.rectangle(round(length_ft * FOOT), round(width_ft * FOOT))
    return Room(name="den", floor="plank", outline=outline, **given_)  # type: ignore[arg-type]


def test_pad_and_adhesive_of_five_hundred_feet() -> None:
    """500 ft²: 3 rolls of 200 ft², 3 pails of 175 ft², from the net area. Source: a retail measuring guide (trade-facts 12.5)."""
    job = _job([_room(25, 20, pad=True)], [])
    (pad,) = _lines(job, What.PAD)
    assert (pad.need, pad.cover, pad.count) == (500, 200, 3)
    glued = replace(job, materials=(replace(PLANK, kind=FloorKind.GLUED_VINYL, method=Method.GLUED),))
    (pail,) = _lines(glued, What.ADHESIVE)
    assert (pail.need, pail.cover, pail.count, pail.usual) == (500, 175, 3, True)
    assert "notch" in pail.trowel
    labeled = replace(glued, materials=(replace(glued.materials[0], pail_ft2=250.0),))
    (pail,) = _lines(labeled, What.ADHESIVE)
    assert (pail.count, pail.usual, pail.trowel) == (2, False, "")


def test_a_hearth_is_no_floor() -> None:
    """Fireplace openings are deducted from the floor (Int. Correspondence Schools, trade-facts 5.1): 500 ft² less 7 1/2 of a hearth."""
    hearth = Obstacle(name="hearth", outline=Outline.rectangle(60 * INCH, 18 * INCH))
    job = _job([_room(25, 20, pad=True, obstacles=(hearth,))], [])
    (pad,) = _lines(job, What.PAD)
    assert pad.need == 492.5
    assert cartons_of(job, PLANK, 100).area_ft2 == 492.5


def test_cartons_that_divide_exactly_are_not_one_more() -> None:
    """240 ft² by 24 are 10 cartons, not 11 (derived, trade-facts 12.5): as many planks as ten cartons hold, no reserve, none kept."""
    job = _job([_room(24, 10)], [])
    found = cartons_of(job, PLANK, 100, reserve=0, kept=0)
    assert (found.cartons, found.left) == (10, 0)
    assert cartons_of(job, PLANK, 100, reserve=0).cartons == 11
    wood = replace(PLANK, kind=FloorKind.SOLID_WOOD, method=Method.NAILED)
    assert cartons_of(job, wood, 100).reserve == 5
    assert cartons_of(job, PLANK, 100).reserve == 2


def test_the_rule_of_thumb_is_told_beside_it() -> None:
    """242 ft², 10 %, cover 23.8 ft², one carton more: 13 (common practice, no source; arithmetic derived, trade-facts 12.5)."""
    job = _job([_room(22, 11)], [])
    assert cartons_of(job, replace(PLANK, carton_ft2=23.8), 100).thumb == 13


@pytest.mark.parametrize(
    ("planks", "lot", "count"), [([30, 20, 40], 60, 2), ([30, 20], 50, 2), ([30], 29, 0), ([], 9, 0)]
)
def test_a_lot_carries_fields_in_their_order(planks: list[int], lot: int, count: int) -> None:
    """Fields one after the other as long as the lot has planks for all of one."""
    assert carried(planks, lot) == count


def test_wood_is_staggered_by_its_width() -> None:
    """6 in for strip, 8 in from 3 in on, 10 in over 5 in (national wood flooring guidelines, 2008 revision, read at second hand)."""
    wood = replace(PLANK, kind=FloorKind.SOLID_WOOD, method=Method.NAILED, plank_length=84 * INCH, carton_ft2=30)
    widths = {9 * INCH // 4: 6, 3 * INCH: 8, 5 * INCH: 8, 21 * INCH // 4: 10}
    assert {width: stagger_of(replace(wood, plank_width=width)) // INCH for width in widths} == widths
    assert stagger_of(PLANK) == 7 * INCH
    assert stagger_of(replace(PLANK, stagger=16 * INCH)) == 16 * INCH


def test_new_base_and_shoe_by_room() -> None:
    """A den with new base, 12 by 10 ft with a door of 3 ft in its first wall: 41 ft, said where it is; the hall's base stays."""
    den = _room(12, 10, trim=Trim.NEW_BASE)
    hall = replace(_room(9, 4), name="hall", trim=Trim.REUSE_BASE)
    door = Opening(between=("den", "hall"), width=3 * FOOT, walls=(1, 3), offsets=(FOOT, FOOT))
    goods = goods_of(_job([den, hall], [door]), Lengths(base=12 * FOOT))
    (base,) = [line for line in goods.lines if line.what is What.BASE]
    assert base.need == 41 * FOOT
    assert not goods.taken_as
    assert not [line for line in goods.lines if line.what is What.SHOE]


def test_what_stands_in_a_room_is_trimmed_by_what_it_is() -> None:
    """An island of 5 by 3 ft gets 16 ft of shoe though the base is put back; a column base where the walls get it; a hearth at the
    wall takes its own width out of the wall's base (common practice, no source)."""

    def at(name: str, x: int, y: int, to_x: int, to_y: int) -> Obstacle:
        corners = ((x, y), (to_x, y), (to_x, to_y), (x, to_y))
        return Obstacle(name=name, outline=Outline(corners=tuple((a * FOOT, b * FOOT) for a, b in corners)))

    island = _room(20, 16, obstacles=(at("kitchen island", 6, 6, 11, 9),))
    (shoe,) = _lines(_job([island], []), What.SHOE)
    assert shoe.need == 16 * FOOT
    new = replace(island, trim=Trim.NEW_BASE, obstacles=(at("column", 8, 8, 9, 9), at("hearth", 5, 0, 10, 2)))
    goods = goods_of(_job([new], []))
    (base,) = [line for line in goods.lines if line.what is What.BASE]
    assert base.need == (72 - 5 + 4) * FOOT
    assert "no base or shoe around hearth in den: the floor is scribed to it, or an end cap set" in goods.taken_as
    assert not _lines(_job([replace(island, trim=Trim.NONE)], []), What.SHOE)


def test_a_gap_wider_than_base_takes_shoe_before_it() -> None:
    """Nailed oak leaves 3/4 in at the walls: new base takes shoe too; where the old goes back it is said to be looked at."""
    wood = replace(PLANK, kind=FloorKind.SOLID_WOOD, method=Method.NAILED)
    job = replace(_job([_room(12, 10, trim=Trim.NEW_BASE)], []), materials=(wood,))
    assert [line.need for line in goods_of(job).lines if line.what in (What.BASE, What.SHOE)] == [44 * FOOT, 44 * FOOT]
    assert not _lines(_job([_room(12, 10, trim=Trim.NEW_BASE)], []), What.SHOE)
    back = replace(job, rooms=(_room(12, 10),))
    assert any("old base and shoe go back in den" in said for said in goods_of(back).taken_as)


def test_noses_have_their_length_where_steps_were_measured() -> None:
    """Thirteen steps 36 in wide: thirteen pieces of that; a stair that was not measured is counted only."""
    stairs = (Stairs(name="up", steps=13, floor="plank", width=36 * INCH), Stairs(name="down", steps=4, floor="plank"))
    (nose,) = _lines(replace(_job([_room(12, 10)], []), stairs=stairs), What.STAIR_NOSE)
    assert (nose.count, nose.lengths) == (17, ((36 * INCH, 13),))


@settings(max_examples=thorough.examples(10, 4), deadline=None)
@given(ours.jobs())
def test_whole_units_cover_every_need(job: Job) -> None:
    """Whatever the job: each line buys whole units that cover its need and one fewer would not; strips fit their doorways."""
    for line in goods_of(job).lines:
        assert line.count >= 1
        if line.sticks is None:
            assert line.count == ceil(round(line.need / line.cover, 9))
        else:
            assert line.count == len(line.sticks.cut)
            pieces = [piece for cut in line.sticks.cut for piece in cut]
            assert sum(piece.stretch.length for piece in pieces if piece.part == 1) == line.need
    noses = [line.count for line in goods_of(job).lines if line.what is What.STAIR_NOSE]
    assert sum(noses) == sum(flight.steps for flight in floored_stairs(job))


@settings(max_examples=thorough.examples(10, 4), deadline=None)
@given(ours.jobs())
def test_any_plank_has_rules_that_can_be_kept(job: Job) -> None:
    """Whatever the plank: its product stands, and a carton holds at least one."""
    for material in job.materials:
        if not material.is_sheet and any(room.floor == material.name for room in floored_rooms(job)):
            product = product_of(material)
            assert 2 * product.stagger <= product.length
            assert 2 * product.min_piece <= product.length
            assert in_carton(material) >= 1
