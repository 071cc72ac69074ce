"""Furniture stages of lived-in houses, judged from the job alone."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from crewjobs.engines.moving.model import Status
from crewjobs.engines.moving.search import Search
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.house import BED_OUT_MIN, SETUP_MIN, WAIT_MIN, House, house_of
from crewjobs.engines.stages.progress import nights
from crewjobs.engines.stages.told import moves_plan
from crewjobs.files.catalogue import read_catalogue
from crewjobs.files.usual_furniture import usual_furniture
from tests.engines.stages.judged_stages import cost_of, faults_of
from tests.engines.stages.lived_in import lived_in

NOW = datetime(2026, 3, 2, 12, tzinfo=UTC)


@pytest.mark.parametrize("seed", range(16))
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
    assert cost_of(plan, setup=SETUP_MIN, wait=WAIT_MIN, bed_out=BED_OUT_MIN) == pytest.approx(plan.cost)
    assert plan.bound <= plan.cost + 1e-6
