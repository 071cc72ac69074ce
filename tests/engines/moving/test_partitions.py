"""What a house costs at least by how it is cut into stages: never more than the best plan there is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.model import Status
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.partitions import Partitions
from crewjobs.engines.moving.search import solve
from crewjobs.engines.moving.step import bits
from tests import thorough
from tests.engines.moving.tiny import tiny


@pytest.mark.parametrize("part", thorough.of(range(3), 1))
def test_no_bound_is_above_the_best_plan(part: int) -> None:
    """However often it is looked at, of the whole house and of each start of the best plan's order."""
    seen = raised = 0
    for seed in range(part * 25, part * 25 + 25):
        house = tiny(seed, comes=seed % 3 == 0)
        house = replace(house, wait=(9, 30, 300)[seed % 3])
        plan = solve(house, rounds=3000)
        if plan.status is not Status.PROVED or not plan.stages:
            continue
        orders = Orders(Kinds(house))
        partitions = Partitions(Kinds(house), orders)
        steps = orders.steps_of([bits(stage.worked) for stage in plan.stages])
        while partitions.look(plan.cost + 100):
            assert partitions.least <= plan.cost, seed
            for length in range(len(steps) + 1):
                assert partitions.of(steps[:length]) <= plan.cost, (seed, length)
                assert partitions.closer(steps[:length], plan.cost + 100) <= plan.cost, (seed, length)
        seen += 1
        raised += partitions.closer(steps, plan.cost + 100) > partitions.least
    assert seen
    assert raised, "an order begun says more than none"
