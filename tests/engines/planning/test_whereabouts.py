"""Where crews are in the middle of a day: no plan sends one to a house before it can be there."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from crewjobs.domain.crew import SharedTool
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.tasks import Phase
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import Been, PlanProblem
from tests.engines.planning.networks import MONDAY, Network, at, crew, job, problem, shop


def two_houses(now: str, done: str | None, begun: str | None = None) -> PlanProblem:
    """Return a crew of one that ended its work at house 1 at `done` (or is at it), and has two hours at house 2.

    The crew works 7:30 to 12:00 and 12:30 to 16:00; house 1 is 20 minutes from the shop, house 2 is 25.
    """
    first, second = Network(job=job(1)), Network(job=job(2, drive=25))
    first.add("Lay rows", Phase.INSTALL, 120, people=1)
    second.add("Lay rows", Phase.INSTALL, 120, people=1)
    record = first.record()
    done_at = None if done is None else at(MONDAY, done)
    started = at(MONDAY, "08:00") if done or begun else None
    tasks = (replace(record.tasks[0], started_at=started, done_at=done_at, crew="Birch" if done or begun else ""),)
    jobs = [replace(record, tasks=tasks), second.record()] if done or begun else [second.record()]
    return problem(jobs, shop(crew("Birch", 1)), now=at(MONDAY, now))


def start_of(plan: WeekPlan, number: int) -> datetime:
    return min(placed.start for placed in plan.placements if placed.key.job == number)


@pytest.mark.parametrize(
    ("now", "done", "start"),
    [
        ("10:00", "10:00", "10:45"),  # 45 minutes over the shop
        ("10:00", "09:10", "10:45"),  # nobody told it anything before ten
        ("11:40", "11:20", "13:00"),  # a quarter of an hour before lunch, half an hour after it
        ("10:00", None, "10:30"),  # from the shop: 25 minutes are two quarter hours
        ("08:15", None, "08:15"),  # in its first hour it loads and drives, wherever it is sent
        ("06:30", None, "08:00"),  # the morning's drive
    ],
)
def test_a_crew_drives_from_where_it_is(now: str, done: str | None, start: str) -> None:
    """Work at another house begins after the way from the one a crew has left, or from the shop, in its hours."""
    the_problem = two_houses(now, done)
    plan = plan_week(the_problem)
    assert start_of(plan, 2) == at(MONDAY, start)
    assert check_plan(the_problem, plan) == ()


def test_work_left_in_two_houses_goes_on_where_the_crew_stands() -> None:
    """Birch is at house 1 since eight and left house 2 on Friday: it ends its work where it is, then drives."""
    the_problem = two_houses("10:00", None, begun="08:00")
    first, second = the_problem.jobs
    left = replace(second.tasks[0], started_at=at(MONDAY, "14:00") - timedelta(days=3), crew="Birch")
    the_problem = replace(the_problem, jobs=(first, replace(second, tasks=(left,))))
    plan = plan_week(the_problem)
    ends = max(placed.end for placed in plan.placements if placed.key.job == 1)
    assert start_of(plan, 1) == at(MONDAY, "10:00")
    assert start_of(plan, 2) == ends + timedelta(minutes=45)
    assert check_plan(the_problem, plan) == ()


def test_where_it_comes_from_is_the_reason() -> None:
    """The reason of the first work after another house says where the crew comes from."""
    plan = plan_week(two_houses("10:00", "10:00"))
    assert [placed.reason for placed in plan.placements] == ["Birch crew comes from job 1"]


@pytest.mark.parametrize(("now", "start"), [("10:15", "10:45"), ("10:30", "10:45")])
def test_on_its_way_by_the_plan_before_it_is_in_time(now: str, start: str) -> None:
    """A crew that left for its next house by the plan is there as planned, whenever something else is planned anew."""
    before = plan_week(two_houses("10:00", "10:00"))
    the_problem = replace(two_houses(now, "10:00"), previous=before)
    plan = plan_week(the_problem)
    assert start_of(plan, 2) == at(MONDAY, start)
    assert check_plan(the_problem, plan) == ()


def test_late_away_it_is_late_at_the_next_house() -> None:
    """Where the work before took longer than planned, the way still takes its time: the next house waits."""
    before = plan_week(two_houses("10:00", "10:00"))
    the_problem = replace(two_houses("10:40", "10:40"), previous=before)
    plan = plan_week(the_problem)
    assert start_of(plan, 2) == at(MONDAY, "11:30")
    assert check_plan(the_problem, plan) == ()


@pytest.mark.parametrize("at_first", [False, True])
def test_a_house_the_plan_has_no_more_is_where_a_crew_comes_from(*, at_first: bool) -> None:
    """A plan of the morning sent it to house 1, which the plan before this one has not any more."""
    first = Network(job=job(1))
    first.add("Lay rows", Phase.INSTALL, 120, people=1)
    shut = {(1, 1): "waits for the plumber"}
    second = two_houses("08:05", None)
    there = Been(crew="Birch", job=1, at=at(MONDAY, "07:50"), until=at(MONDAY, "08:00"))
    the_problem = replace(
        second, jobs=(first.record(), *second.jobs), impossible=shut, been=(there,) if at_first else ()
    )
    plan = plan_week(the_problem)
    assert start_of(plan, 2) == at(MONDAY, "09:00" if at_first else "08:15")
    assert check_plan(the_problem, plan) == ()
    early = tuple(
        replace(placed, start=placed.start - timedelta(minutes=15), end=placed.end - timedelta(minutes=15))
        for placed in plan.placements
    )
    assert (
        any("to drive from job 1" in fault for fault in check_plan(the_problem, replace(plan, placements=early)))
        == at_first
    )


@pytest.mark.parametrize(("left", "back", "start"), [("10:00", "10:20", "11:00"), ("09:20", "09:40", "10:45")])
def test_who_told_its_hours_comes_from_the_shop_once_it_is_back_there(left: str, back: str, start: str) -> None:
    """At 10:15 it is on its way to the shop until 10:20, or there since 9:40; house 2 is 25 minutes from there."""
    been = Been(crew="Birch", job=0, at=at(MONDAY, left), until=at(MONDAY, back))
    the_problem = replace(two_houses("10:15", None), been=(been,))
    plan = plan_week(the_problem)
    assert start_of(plan, 2) == at(MONDAY, start)
    assert check_plan(the_problem, plan) == ()


def test_a_day_that_is_over_leaves_the_mornings_drive_alone() -> None:
    """After its hours a crew is at home: the next day begins with the way from the shop."""
    plan = plan_week(two_houses("15:45", "15:20"))
    assert start_of(plan, 2) == at(MONDAY + timedelta(days=1), "08:00")


def test_the_judge_sees_a_crew_that_cannot_be_there() -> None:
    """A plan that was made for a crew at the shop in the morning is wrong for one that has just left another house."""
    the_problem = two_houses("10:00", "10:00")
    plan = plan_week(the_problem)
    early = tuple(
        replace(placed, start=placed.start - timedelta(minutes=15), end=placed.end - timedelta(minutes=15))
        for placed in plan.placements
    )
    (fault,) = check_plan(the_problem, replace(plan, placements=early))
    assert fault.endswith("Birch needs 45 minutes to drive from job 1.")


def test_a_shared_tool_is_driven_from_house_to_house() -> None:
    """One stripper for two crews: the second house begins a drive after the first gives it back, and the judge holds it."""
    records = []
    for number in (1, 2):
        net = Network(job=job(number))
        net.add("Tile up", Phase.DEMOLITION, 120, people=1)
        records.append(net.record())
    the_shop = replace(shop(crew("Birch", 1), crew("Cedar", 1)), tools=(SharedTool(name="tile stripper"),))
    needs = {(number, 1): frozenset({"tile stripper"}) for number in (1, 2)}
    the_problem = replace(problem(records, the_shop), tools=needs)
    plan = plan_week(the_problem)
    assert check_plan(the_problem, plan) == ()
    first, second = sorted(plan.placements, key=lambda placed: placed.start)
    apart = second.start - first.end
    assert first.crew == second.crew or apart >= timedelta(minutes=45)
    near = replace(
        second, crew="Cedar", start=first.end + timedelta(minutes=30), end=second.end + timedelta(minutes=30)
    )
    beside = replace(plan, placements=(replace(first, crew="Birch"), near))
    assert any("the tile stripper is at 2 places" in fault for fault in check_plan(the_problem, beside))
