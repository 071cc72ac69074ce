"""Furniture stages of lived-in houses, judged from the job alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from random import Random

import pytest

from crewjobs.domain.job import Job
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.moving.model import Status
from crewjobs.engines.moving.search import Search
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.house import BED_OUT_MIN, SETUP_MIN, WAIT_MIN, House, house_of
from crewjobs.engines.stages.progress import nights
from crewjobs.engines.stages.told import moves_plan
from crewjobs.files.catalogue import read_catalogue
from crewjobs.files.usual_furniture import usual_furniture
from tests import thorough
from tests.engines.stages.judged_stages import cost_of, faults_of
from tests.engines.stages.lived_in import lived_in

NOW = datetime(2026, 3, 2, 12, tzinfo=UTC)


@pytest.mark.parametrize("seed", thorough.of(range(16), 4))
def test_stages_keep_every_rule_of_the_house(seed: int) -> None:
    """Whatever the house, what is shown can be done: places, floors, ways, beds, power, dust, cures, rows, and its cost is its own."""
    job = lived_in(seed, rooms=2 + seed % 2)
    cures = {spot: nights(wait) for spot, wait in furniture_waits(job, read_catalogue()).items()}
    house = house_of(job, usual_furniture(), cures=cures)
    assert isinstance(house, House)
    found = Search(house.problem).run(rounds=3)
    if not found.stages:
        assert found.status in (Status.NO_WAY, Status.UNKNOWN)
        return
    plan = moves_plan(house, found, at=NOW, basis="")
    assert [*faults_of(job, plan, cures)] == []
    assert cost_of(job, plan, setup=SETUP_MIN, wait=WAIT_MIN, bed_out=BED_OUT_MIN) == pytest.approx(plan.cost)
    assert plan.bound <= plan.cost + 1e-6


def _cornered(job: Job, seed: int) -> Job:
    """Return a house whose rooms in sections are short of a corner at their far end."""
    random = Random(seed)
    rooms = []
    for room in job.rooms:
        (length, width), short, deep = room.outline.size, random.randrange(2, 12) * FOOT, random.randrange(2, 5) * FOOT
        ring = (
            (0, 0),
            (length, 0),
            (length, width - deep),
            (length - short, width - deep),
            (length - short, width),
            (0, width),
        )
        rooms.append(replace(room, outline=Outline(corners=ring)) if room.cuts else room)
    return replace(job, rooms=tuple(rooms))


@pytest.mark.parametrize(
    "seed", [seed for seed in range(40) if any(room.cuts for room in lived_in(seed).rooms)][: thorough.examples(8, 3)]
)
def test_halves_of_an_l_stand_on_its_floor(seed: int) -> None:
    """Sections of rooms that are short of a corner: every rule holds as elsewhere, and nothing stands in the missing corner."""
    job = _cornered(lived_in(seed), seed)
    cures = {spot: nights(wait) for spot, wait in furniture_waits(job, read_catalogue()).items()}
    house = house_of(job, usual_furniture(), cures=cures)
    if not isinstance(house, House):
        return
    found = Search(house.problem).run(rounds=3)
    plan = moves_plan(house, found, at=NOW, basis="")
    assert not found.stages or [*faults_of(job, plan, cures)] == []
    for stage in plan.stages:
        places = [(one.spot, rect) for one in stage.standing for rect in one.at]
        for (name, part), (x, y, wide, deep) in (*places, *((spot, way) for spot, ways in stage.free for way in ways)):
            room = job.room(name)
            corners = room.outline.corners
            if len(corners) == 6:
                start = sum(cut for other, cut in room.cuts[: [one for one, _ in room.cuts].index(part)])
                beyond = start // INCH + x + wide > corners[3][0] // INCH
                assert not (beyond and y + deep > corners[3][1] // INCH)
