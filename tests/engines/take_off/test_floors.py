"""Floors of any job: laid out or refused in a sentence, and told again piece by piece as they were found."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import Opening, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.layout import Direction
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.laying.directions import WallReason, WayReason
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.search import Search
from crewjobs.engines.take_off.floors import basis_of, house_floor, kept, told_again
from tests import strategies as ours
from tests import thorough
from tests.engines.take_off.test_fields import PLANK, _job, _room

NOON = datetime(2026, 3, 2, 18, tzinfo=UTC)
BOX = ((0, 0), (16, 0), (16, 11), (0, 11))


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
@settings(max_examples=2, deadline=None)
@given(ours.jobs(most_rooms=2))
def test_a_layout_is_told_again_as_it_was_found(job: Job) -> None:
    """What is kept of a layout gives back every piece, plank and count; what cannot be laid has a sentence."""
    for material in job.materials:
        if material.is_sheet or not any(room.floor == material.name for room in job.rooms):
            continue
        try:
            house = house_floor(job, material)
            found = Search(house.floor.problem).run(rounds=1)
        except Refused:
            continue
        one = kept(job, house, found, NOON)
        again, layout = told_again(job, house, one)
        assert again == house
        assert (layout.pieces, layout.planks, layout.starts) == (found.pieces, found.planks, found.starts)
        assert one.basis == basis_of(job, material)


@pytest.mark.parametrize(
    ("said", "wall", "why"),
    [
        ({"rows": Direction.ALONG}, {Wall.TOP, Wall.BOTTOM}, WayReason.ASKED),
        ({"rows": Direction.ACROSS}, {Wall.LEFT, Wall.RIGHT}, WayReason.ASKED),
        ({"start_wall": 3}, {Wall.BOTTOM}, WayReason.ASKED),
        ({"start_wall": 2}, {Wall.RIGHT}, WayReason.ASKED),
        ({"window_wall": 1}, {Wall.LEFT, Wall.RIGHT}, WayReason.LIGHT),
        ({}, {Wall.TOP, Wall.BOTTOM}, WayReason.LONGEST_WALL),
    ],
)
def test_rows_run_as_the_lead_says_else_with_the_light(
    said: dict[str, object], wall: set[Wall], why: WayReason
) -> None:
    """A box 16 by 11 ft: what is asked for is done, light from the long wall's window turns the rows, else they run its length."""
    house = house_floor(_job([replace(_room("den", *BOX), **said)], []), PLANK)  # type: ignore[arg-type]
    assert house.directions[0].wall in wall
    assert house.directions[0].way is why
    name, number = house.start_of(_job([_room("den", *BOX)], []), 0)
    sides = {1: Wall.TOP, 2: Wall.RIGHT, 3: Wall.BOTTOM, 4: Wall.LEFT}
    assert (name, sides[number]) == ("den", house.directions[0].wall)


def test_a_room_joined_sideways_is_seen_from_its_field() -> None:
    """The closet hangs at the den's far wall by its own first wall: in the field its first wall faces left."""
    opening = Opening(
        between=("den", "closet"), width=30 * INCH, transition=Transition.CONTINUOUS, walls=(2, 1), offsets=(FOOT, FOOT)
    )  # fmt: skip
    job = _job([_room("den", *BOX), _room("closet", (0, 0), (6, 0), (6, 3), (0, 3))], [opening])
    house = house_floor(job, PLANK)
    assert house.field_of("closet") == house.field_of("den") == 0
    place = house.fields[0].place_of("closet")
    x, y = place.turned((0.0, -1.0))  # out of the closet through its first wall
    assert (round(x), round(y)) == (-1, 0)
    assert house.directions[0].why_wall is not WallReason.ASKED
