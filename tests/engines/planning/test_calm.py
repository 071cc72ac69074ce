"""Planning again, calmly: which of two ways to keep the coming days harms people less."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.crew import Away
from crewjobs.domain.plan import Pin, WeekPlan
from crewjobs.domain.tasks import Phase, ThreePoint
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning import calm
from crewjobs.engines.planning.calendars import SLOTS_A_DAY
from crewjobs.engines.planning.improve import improve, repaired_cost
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.objective import frozen_until
from crewjobs.engines.planning.placing import Attempt
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.timeline import Booking
from tests import thorough
from tests.engines.planning.networks import (
    CENTRAL,
    MONDAY,
    Network,
    at,
    booked_weeks,
    crew,
    house,
    job,
    problem,
    shop,
)


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


@pytest.mark.parametrize("seed", thorough.of(range(4), 2))
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


def test_a_promise_is_not_given_up_for_fewer_moves_nor_the_page_that_is_out() -> None:
    """Of two ways the one that keeps promises wins, as in the plan's own order; then what was told, then the calmer."""
    kept = calm._Harm(missing=0, broken=0, told=1, upset=9, anew=2, late=0)
    assert kept < calm._Harm(missing=0, broken=1, told=0, upset=0, anew=0, late=1)
    assert kept._replace(told=0) < calm._Harm(missing=0, broken=0, told=1, upset=0, anew=0, late=0)


def test_the_rest_of_today_and_a_crews_next_day_are_frozen() -> None:
    """On a Friday at noon the page that is out reaches to Monday evening, over the weekend; on a day off to the day after."""
    the_shop = shop(crew("Birch"), crew("Cedar", off=[MONDAY + timedelta(days=7)]))
    friday = replace(problem([house(1)], the_shop), now=at(MONDAY + timedelta(days=4), "12:00"))
    floor = Floor(friday)
    until = [to_wall(CENTRAL, floor.axis.at(frozen_until(floor, name))) for name in ("Birch", "Cedar")]
    assert [(f"{one:%a %H:%M}") for one in until] == ["Mon 16:00", "Tue 16:00"]


@settings(max_examples=thorough.examples(12, 5), deadline=None, derandomize=True)
@given(st.integers(0, 89))
def test_repairing_twice_changes_nothing(seed: int) -> None:
    """Whatever happens (somebody out, a day off, work twice as long, hours gone by), the second repair is the first."""
    random, week = Random(seed), booked_weeks(6, 2, 3, seed)
    plan = plan_week(week)
    for _ in range(2):
        week = replace(_with_a_fact(random, week), previous=plan)
        plan, _ = repaired_cost(week, plan)
        again, _ = repaired_cost(replace(week, previous=plan), plan)
        assert _where(again) == _where(plan)


def _where(plan: WeekPlan) -> set[tuple[object, ...]]:
    return {(one.key, one.tasks, one.crew, one.start, one.end, one.people) for one in plan.placements}


def _with_a_fact(random: Random, week: PlanProblem) -> PlanProblem:
    """Return a problem with one more fact."""
    hit, day = random.choice(week.shop.crews), to_wall(week.shop.zone, week.now).date()
    day += timedelta(days=random.randrange(8))
    kind = random.randrange(4)
    if kind == 0:
        return replace(week, away=(*week.away, Away(crew=hit.name, worker=hit.workers[0].name, day=day)))
    if kind == 1:
        off = replace(hit, hours=hit.hours.with_single(day, ()))
        return replace(week, shop=replace(week.shop, crews=tuple(off if c is hit else c for c in week.shop.crews)))
    if kind == 2:
        record = random.choice(week.jobs)
        task = random.choice(record.tasks)
        longer = ThreePoint(low=task.estimate.low * 2, likely=task.estimate.likely * 2, high=task.estimate.high * 2)
        tasks = tuple(replace(t, estimate=longer) if t is task else t for t in record.tasks)
        return replace(week, jobs=tuple(replace(r, tasks=tasks) if r is record else r for r in week.jobs))
    return replace(week, now=week.now + timedelta(hours=random.choice((1, 3, 26))))
