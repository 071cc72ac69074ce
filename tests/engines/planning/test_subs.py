"""Subs: what they take for a floor is their own day's capacity, whatever the estimate says."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from crewjobs.domain.crew import Crew, Sub
from crewjobs.domain.evening import HowFar
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement
from crewjobs.domain.tasks import Driver, Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.paces import BOOK
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.subs import full_day, labor_with
from tests import thorough
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, at, crew, job, problem, random_problem, shop

SUB = replace(crew("Hazel", 2), sub=Sub(area_ft2=350, steps=14))


def _floor(amount: float = 350, unit: Driver = Driver.AREA, minutes: float = 3000, **state: object) -> JobRecord:
    net = Network(job=job(1))
    net.add("Lay rows", Phase.INSTALL, minutes, people=1, **state)
    record = net.record()
    laying = replace(record.tasks[0], quantity=amount, unit=unit, needs_material="planks")
    return replace(record, tasks=(laying,))


def _only(the_problem: PlanProblem) -> Placement:
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    return plan.placements[0]


def _hours(placement: Placement) -> str:
    return " to ".join(f"{to_wall(CENTRAL, moment):%a %H:%M}" for moment in (placement.start, placement.end))


@pytest.mark.parametrize(
    ("amount", "unit", "ends"),
    [(350, Driver.AREA, "Mon 15:30"), (700, Driver.AREA, "Tue 15:30"), (14, Driver.STEPS, "Mon 15:30")],
)
def test_a_full_day_of_a_sub_is_its_capacity(amount: float, unit: Driver, ends: str) -> None:
    """350 ft², or 14 steps, take a sub that does so much a day its day at the site, less the drive; twice that two days."""
    assert _hours(_only(problem([_floor(amount, unit)], shop(SUB)))) == f"Mon 08:00 to {ends}"


def test_the_estimate_says_nothing_of_a_subs_laying() -> None:
    """A laying estimated at ten hours or at a hundred takes a sub the same; other work goes by its estimate."""
    short, long = (_only(problem([_floor(minutes=minutes)], shop(SUB))) for minutes in (600, 6000))
    assert (short.start, short.end) == (long.start, long.end)
    net = Network(job=job(1))
    net.add("Base off", Phase.DEMOLITION, 120)
    assert _hours(_only(problem([net.record()], shop(SUB)))) == "Mon 08:00 to Mon 09:00"


def test_a_sub_that_names_no_steps_does_them_by_the_estimate() -> None:
    """Where only the area is agreed, steps take what the estimate says."""
    no_steps = replace(SUB, sub=Sub(area_ft2=350))
    assert _hours(_only(problem([_floor(14, Driver.STEPS, 240)], shop(no_steps)))) == "Mon 08:00 to Mon 10:00"


def test_how_far_a_sub_is_leaves_the_rest_of_its_days() -> None:
    """350 of 700 ft² said done on the first evening leave a day of the sub's, not half of an estimate."""
    begun = _floor(700, started_at=at(MONDAY, "08:00"), crew="Hazel")
    said = HowFar(task=1, at=at(MONDAY, "15:30"), done=350, whole=700, unit="ft²")
    now = at(MONDAY + timedelta(days=1), "06:30")
    placement = _only(problem([replace(begun, how_far=(said,))], shop(SUB), now=now))
    assert _hours(placement) == "Tue 08:00 to Tue 15:30"


def test_the_page_lays_a_subs_work_out_as_planned() -> None:
    """The day plan's minutes of a sub's laying end where its block ends, with all its people on it."""
    record = _floor(500)
    plan = plan_week(problem([record], shop(SUB)))
    times = task_times(plan.placements[0], record, shop(SUB), SUB, plan.made_at)
    assert timedelta() <= plan.placements[0].end - times[-1].end < timedelta(minutes=15)
    assert {time.people for time in times} == {(0, 1)}


def test_the_judge_sees_another_capacity() -> None:
    """A plan made for a sub's day no longer holds once it does less in a day."""
    the_problem = problem([_floor()], shop(SUB))
    slower: Crew = replace(SUB, sub=Sub(area_ft2=300, steps=14))
    assert check_plan(replace(the_problem, shop=shop(slower)), plan_week(the_problem))


@pytest.mark.parametrize("seed", thorough.of(range(40), range(4, 14)))
def test_any_problem_with_subs_is_planned_by_the_rules(seed: int) -> None:
    """The judge finds nothing in plans of random problems whose crews are subs and whose tasks lay floors."""
    the_problem = random_problem(seed)
    crews = tuple(replace(one, sub=Sub(area_ft2=200 + 40 * seed, steps=seed % 3 * 7)) for one in the_problem.shop.crews)
    jobs = tuple(
        replace(
            record,
            tasks=tuple(
                replace(task, needs_material="planks", quantity=30 + 25 * task.number, unit=unit)
                if task.number % 2
                else task
                for task, unit in zip(record.tasks, (Driver.AREA, Driver.AREA, Driver.STEPS) * 9, strict=False)
            ),
        )
        for record in the_problem.jobs
    )
    the_problem = replace(the_problem, jobs=jobs, shop=replace(the_problem.shop, crews=crews))
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()


def test_what_is_part_of_a_subs_rows_is_not_counted_twice() -> None:
    """First and last rows of 350 ft², and steps laid up dry, are in the sub's day: only the rows themselves fill it."""
    rows, first = _floor().tasks[0], _floor(minutes=600).tasks[0]
    first = replace(first, key=replace(first.key, template="nail-first-rows"))
    one = job(1)
    assert labor_with(SUB, one, first, BOOK) == 1
    assert labor_with(SUB, one, rows, BOOK) == full_day(SUB, one.site) * SUB.people
