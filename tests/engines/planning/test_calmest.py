"""Promises a repair would lose are won back where little moves for it; who is left of a crew does what they can."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from crewjobs.domain.crew import Away
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.improve import repaired_cost
from crewjobs.engines.planning.list_schedule import plan_week
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, crew, job, problem, shop


def _of(plan: WeekPlan, number: int) -> list[Placement]:
    return sorted((p for p in plan.placements if p.key.job == number), key=lambda placed: placed.start)


@pytest.mark.parametrize(("days", "won"), [(4, True), (6, False)])
def test_a_promise_is_won_back_where_no_more_moves_than_it_is_worth(days: int, won: bool) -> None:
    """Birch is off on the day its five hours are promised for; Cedar could do them before its own full days.

    Each of these then goes half a day later: four blocks are worth it, six are left for people to decide.
    """
    small = Network(job=job(1, drive=0, promised=MONDAY))
    small.add("hang the doors", Phase.TRIM, 5 * 60 * 2)
    large, last = Network(job=job(2, drive=0, promised=MONDAY + timedelta(days=18))), 0
    for stage in range(1, days + 1):
        last = large.add(f"day {stage}", Phase.INSTALL, 8 * 60 * 2, *([last] if last else []), stage=stage)
    records = [small.record(), large.record()]
    alone = [
        plan_week(problem([one], shop(crew(name, 2)))) for one, name in zip(records, ("Birch", "Cedar"), strict=True)
    ]
    before = replace(alone[1], placements=(*alone[0].placements, *alone[1].placements))
    made, cost = repaired_cost(problem(records, shop(crew("Birch", 2, off=[MONDAY]), crew("Cedar", 2))), before)
    (doors,) = _of(made, 1)
    assert (doors.crew == "Cedar", cost.late == 0) == (won, won)
    if not won:
        assert [p.start for p in _of(made, 2)] == [p.start for p in _of(before, 2)]


def test_who_is_left_of_a_crew_does_what_one_can() -> None:
    """A visit in which one piece takes two: with one there, the rest of it is done that day, the heavy piece the next."""
    net = Network(job=job(1, drive=0, promised=MONDAY + timedelta(days=4)))
    washer = net.add("washer back", Phase.FIXTURES_RESET, 2 * 60, least=2)
    door = net.add("door rehung", Phase.FIXTURES_RESET, 2 * 60, people=1)
    vents = net.add("vents back", Phase.FIXTURES_RESET, 60, people=1)
    one = problem([net.record()], shop(crew("Birch", 2)))
    plan = plan_week(one)
    assert [placed.tasks for placed in plan.placements] == [(washer, door, vents)]
    sick = replace(one, away=(Away(crew="Birch", worker="Birch 2", day=MONDAY),))
    made, _ = repaired_cost(sick, plan)
    days = {placed.tasks: to_wall(CENTRAL, placed.start).date() for placed in made.placements}
    assert days == {(door, vents): MONDAY, (washer,): MONDAY + timedelta(days=1)}
