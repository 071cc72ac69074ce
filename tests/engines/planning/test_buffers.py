"""The time kept before promises, and what a plan has to spare."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.tasks import ThreePoint
from crewjobs.domain.wall import to_utc
from crewjobs.engines.judging.minutes import Minutes
from crewjobs.engines.planning.buffers import kept_min, kept_slots, short_slots, slack_min, slack_slots, spread_min
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.list_schedule import first_board
from tests.engines.planning.networks import MONDAY, crew, house, problem, random_problem, shop


def _spread(record, high: float):
    """Return a job whose tasks take up to `high` times as long as they most likely do."""
    tasks = tuple(
        replace(task, estimate=replace(task.estimate, high=task.estimate.likely * high)) for task in record.tasks
    )
    return replace(record, tasks=tasks)


def test_a_spread_is_what_high_times_add() -> None:
    """Worked by hand: 120 labor minutes likely, 240 at most; PERT expects (120 + 4·120 + 240) / 6 = 140.

    A lone person works 100 minutes longer at the high time, two people 50; half done, half of it; half of it is kept.
    The mean of low, four times likely and high over six: Malcolm et al. 1959, Application of a technique for research
    and development program evaluation, Operations Research 7 (from MEMORY).
    """
    record = house(1)
    task = replace(record.tasks[0], estimate=ThreePoint(low=120, likely=120, high=240), people=2)
    assert spread_min([(task, 140)], 1) == pytest.approx(100)
    assert spread_min([(task, 140)], 2) == pytest.approx(50)
    assert spread_min([(task, 140)], 4) == pytest.approx(50), "no more hands than the task takes"
    assert spread_min([(task, 70)], 1) == pytest.approx(50)
    assert kept_min([(task, 140)], 1, 50) == pytest.approx(50)
    assert kept_min([(task, 140)], 1, 0) == 0


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 100_000), st.integers(0, 5), st.integers(0, 60 * 24 * 5))
def test_slack_is_the_minutes_between(seed: int, days: int, ends: int) -> None:
    """The time to spare is the minutes the crew could work there until the promised day ends, simulated one by one."""
    the_problem = random_problem(seed)
    one, record = the_problem.shop.crews[0], the_problem.jobs[0]
    end = the_problem.now + timedelta(minutes=15 * (ends // 15))
    day = the_problem.now.date() + timedelta(days=days)
    job = replace(record.job, promised=day, wished=None)
    promise = to_utc(job.site.zone, day + timedelta(days=1), 0)
    minutes = Minutes(the_problem.shop, min(end, promise), max(end, promise))
    there = minutes.there(one, job).count(minutes.of(end), minutes.of(promise)) if end <= promise else None
    assert slack_min(the_problem.shop, one, job, end) == there


@pytest.mark.parametrize("percent", [0, 50, 200])
def test_short_of_what_is_kept(percent: int) -> None:
    """In slots: what lies between end and promise, what is kept of it by the shop's share, and how much is lacking."""
    record = _spread(house(1, promised=MONDAY + timedelta(days=9)), 2.0)
    the_problem = problem([record], replace(shop(crew("Birch")), kept_percent=percent))
    board, _ = first_board(the_problem)
    work, bookings = board.works[1], board.bookings_of(1)
    slack = slack_slots(work, board.floor, bookings)
    kept = kept_slots(work, board.floor, "Birch")
    assert slack is not None
    assert slack >= 0
    assert (kept == 0) == (percent == 0)
    assert short_slots(work, board.floor, bookings) == max(0, kept - slack)
    tighter = replace(record, job=replace(record.job, promised=MONDAY))
    late = job_work(tighter, Floor(replace(the_problem, jobs=(tighter,))))
    assert short_slots(late, board.floor, bookings) == kept, "a broken promise has lost all of it"


def test_no_promise_keeps_nothing() -> None:
    """A job without a promise is never short."""
    the_problem = problem([_spread(house(1), 2.0)], shop(crew("Birch")))
    board, _ = first_board(the_problem)
    assert slack_slots(board.works[1], board.floor, board.bookings_of(1)) is None
    assert short_slots(board.works[1], board.floor, board.bookings_of(1)) == 0
