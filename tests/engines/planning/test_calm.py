"""Planning again, calmly: which of two ways to keep the coming days harms people less."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from crewjobs.domain.plan import Pin
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning import calm
from crewjobs.engines.planning.calendars import SLOTS_A_DAY
from crewjobs.engines.planning.improve import improve, repaired_cost
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.placing import Attempt
from crewjobs.engines.planning.timeline import Booking
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, booked_weeks, crew, house, job, problem, shop


def test_a_job_let_go_harms_more_than_one_a_day_later() -> None:
    """Nobody knows where the job let go will lie; the one kept a day later is known to be no worse than that."""
    record, the_shop = house(1), shop(crew("Birch", 3))
    plan = plan_week(problem([record], the_shop))
    floor = Floor(problem([record], the_shop, previous=plan))
    (one,) = calm._before([job_work(record, floor)], floor)
    slid = Attempt(
        way=one.way,
        placed={
            placed.key: Booking(
                key=placed.key,
                crew=placed.crew,
                start=floor.axis.down(placed.start) + SLOTS_A_DAY,
                end=floor.axis.down(placed.end) + SLOTS_A_DAY,
                people=3,
            )
            for placed in plan.placements
        },
    )
    later, let_go = calm._harm([one], {1: slid}, floor), calm._harm([one], {}, floor)
    assert later.upset > 0
    assert later < let_go


@pytest.mark.parametrize("seed", range(4))
def test_a_plan_that_still_holds_is_repaired_to_itself(seed: int) -> None:
    """Houses as the trade has them, some late, one block pinned: with no new facts every block stays to the quarter."""
    week = booked_weeks(6, 2, 3, seed)
    plan = improve(week, rounds=3, seed=seed, workers=0).plan
    last = max(plan.placements, key=lambda placed: placed.start)
    pin = Pin(job=last.key.job, task=last.key.task, crew=last.crew, day=to_wall(CENTRAL, last.start).date())
    for pins in ((), (pin,)):
        made, _ = repaired_cost(replace(week, pins=pins), plan)
        where = [{(p.key, p.crew, p.start, p.end, p.people) for p in one.placements} for one in (plan, made)]
        assert where[0] == where[1]


@pytest.mark.parametrize("days_off", [0, 2])
def test_a_repair_leaves_no_job_later_than_it_was_where_another_crew_keeps_its_promise(days_off: int) -> None:
    """A crew is off for the last days: the job most of which could stay would be late; as it is, it goes to Cedar.

    Without days off it stays as it was.
    """
    net, before = Network(job=job(1, drive=0, promised=MONDAY + timedelta(days=4))), 0
    for stage in range(1, 6):
        before = net.add(
            f"day {stage}", Phase.INSTALL, 8 * 60 * 3, *([before] if before else []), stage=stage, people=3
        )
    record = net.record()
    plan = plan_week(problem([record], shop(crew("Birch"), crew("Cedar", skills="leveling"))))
    assert {placed.crew for placed in plan.placements} == {"Birch"}
    off = [MONDAY + timedelta(days=4 - n) for n in range(days_off)]
    made, cost = repaired_cost(problem([record], shop(crew("Birch", off=off), crew("Cedar"))), plan)
    assert cost.late == 0
    assert to_wall(CENTRAL, max(placed.end for placed in made.placements)).date() <= MONDAY + timedelta(days=4)
    if not days_off:
        assert [(p.key, p.crew, p.start) for p in made.placements] == [
            (p.key, p.crew, p.start) for p in plan.placements
        ]


def test_a_repair_leaves_a_job_as_late_as_it_was() -> None:
    """A job that was late already, and is no later now, stays where it is though another crew has come free."""
    record = house(1, promised=MONDAY)
    plan = plan_week(problem([record], shop(crew("Birch"))))
    made, cost = repaired_cost(problem([record], shop(crew("Birch"), crew("Cedar", 4))), plan)
    assert cost.late > 0
    assert [(p.key, p.crew, p.start) for p in made.placements] == [(p.key, p.crew, p.start) for p in plan.placements]
