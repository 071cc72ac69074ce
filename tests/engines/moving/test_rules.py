"""Every rule of the engine held to a plain judge on tiny houses: the exact cost, or no way at all."""

from __future__ import annotations

import pytest

from crewjobs.engines.moving.model import MovingProblem, Status
from crewjobs.engines.moving.search import solve
from tests import thorough
from tests.engines.moving.plain import least_cost
from tests.engines.moving.tiny import tiny

ROUNDS = 3000


def _agrees(problem: MovingProblem) -> Status:
    plan, exact = solve(problem, rounds=ROUNDS), least_cost(problem)
    if exact is None:
        assert plan.status is Status.NO_WAY
    else:
        assert plan.status is Status.PROVED
        assert plan.cost == plan.bound == exact
    return plan.status


@pytest.mark.parametrize("part", thorough.of(range(4), 1))
@pytest.mark.parametrize("comes", [False, True])
@pytest.mark.parametrize("shapes", [False, True])
def test_the_cost_is_what_trying_everything_says(part: int, comes: bool, shapes: bool) -> None:
    """Toilets, dust, cures of up to 3 stages, fields, things that come and go, openings, a job begun, floors: the exact cost."""
    seen = [_agrees(tiny(seed, shapes=shapes, comes=comes)) for seed in range(part * 10, part * 10 + 10)]
    assert Status.PROVED in seen
