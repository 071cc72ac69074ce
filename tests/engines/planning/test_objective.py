"""What a plan costs people: days they were told, and work of the next day that moves, counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from crewjobs.domain.agreed import Told
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.list_schedule import first_board, plan_week
from crewjobs.engines.planning.objective import Objective, PlanCost
from tests.engines.planning.networks import CENTRAL, MONDAY, Network, at, crew, house, job, problem, shop

SHOP = shop(crew("Birch"), crew("Cedar"))
DAYS = 5
DAY_MIN = 8 * 60 * 3
"""A whole day's labor minutes of three people: one such task after the other takes a day each."""


def _cost(records: list[JobRecord], previous: WeekPlan | None = None) -> PlanCost:
    """Return what the plan made without one before costs people who know `previous`."""
    board, _ = first_board(problem(records, SHOP))
    objective, cost = Objective(board.floor, previous), PlanCost()
    for number, work in board.works.items():
        cost = cost.plus(objective.of_job(work, board.bookings_of(number), board.settled[number].missing))
    return cost


def _told(*days: int) -> JobRecord:
    """Return a house whose customer was told, one after the other, so many days after the day it really ends."""
    plan = plan_week(problem([house(1)], SHOP))
    ends = to_wall(CENTRAL, max(placed.end for placed in plan.placements)).date()
    told = [Told(at=_hour(n), finish=ends + timedelta(days=later)) for n, later in enumerate(days)]
    return replace(house(1), told=tuple(told))


def _hour(number: int) -> datetime:
    return at(MONDAY, "00:00") + timedelta(hours=number)


@pytest.mark.parametrize(("days", "told"), [((0,), 0), ((2,), 2), ((-3,), 3), ((-3, 1), 1), ((1, 0), 0)])
def test_days_told_to_customers_count(days: tuple[int, ...], told: int) -> None:
    """Each day by which the finish differs from the day last told counts one, sooner or later alike."""
    assert _cost([_told(*days)]).told == told
    assert _cost([_told(*reversed(days))]).told == abs(days[0])
    later = replace(_told(*days), told=tuple(reversed(_told(*days).told)))
    assert _cost([later]).told == told, "the last by when it was said, whatever the order they are kept in"


def test_a_day_told_outweighs_days_a_house_is_open() -> None:
    """What was told is compared before days and ends, after days late and crews."""
    assert PlanCost(told=1) > PlanCost(days=1000, moved=50, end=9000)
    assert PlanCost(told=1000) < PlanCost(crews=1) < PlanCost(late=1)


def _days_of_work() -> tuple[list[JobRecord], WeekPlan]:
    """Return a job of a day's task after another, each a block of its own, with its plan."""
    net, before = Network(job=job(1, drive=0)), 0
    for stage in range(1, DAYS + 1):
        before = net.add(f"day {stage}", Phase.INSTALL, DAY_MIN, *([before] if before else []), stage=stage, people=3)
    records = [net.record()]
    plan = plan_week(problem(records, SHOP))
    days = [_day(placed) for placed in sorted(plan.placements, key=lambda placed: placed.start)]
    assert days == [MONDAY + timedelta(days=n) for n in range(DAYS)]
    return records, plan


def _day(placed: Placement) -> date:
    return to_wall(CENTRAL, placed.start).date()


@pytest.mark.parametrize(("day", "frozen"), [(0, 1), (1, 1), (2, 0), (4, 0)])
def test_a_block_of_the_next_day_that_goes_to_another_crew_counts_as_told(day: int, frozen: int) -> None:
    """The plan starts Monday 06:30: that day and Tuesday are on the pages that are out; what comes later only moves."""
    records, plan = _days_of_work()
    placements = tuple(
        replace(p, crew="Cedar") if _day(p) == MONDAY + timedelta(days=day) else p for p in plan.placements
    )
    cost = _cost(records, replace(plan, placements=placements))
    assert (cost.told, cost.moved) == (frozen, 1)


@pytest.mark.parametrize(
    ("day", "hours", "frozen", "moved"), [(0, 24, 1, 1), (2, -24, 1, 1), (3, -24, 0, 1), (0, 4, 0, 0), (4, -4, 0, 0)]
)
def test_a_block_counts_from_where_it_was_or_is(day: int, hours: int, frozen: int, moved: int) -> None:
    """It had been planned so many hours later than it is: the sooner of both decides, and four hours move nothing.

    The plan starts on Monday at 06:30: what is or was on Monday or Tuesday is on a page that is out.
    """
    records, plan = _days_of_work()
    shift = timedelta(hours=hours)
    placements = tuple(
        replace(p, start=p.start + shift, end=p.end + shift) if _day(p) == MONDAY + timedelta(days=day) else p
        for p in plan.placements
    )
    cost = _cost(records, replace(plan, placements=placements))
    assert (cost.told, cost.moved) == (frozen, moved)
