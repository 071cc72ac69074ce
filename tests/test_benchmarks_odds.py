"""What the benchmarks of odds and of a season reckon with: standard errors by shop, days worked, promises counted."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.domain.wall import QUARTER, to_utc
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import PlanProblem
from tests.benchmarks.judged import ratio
from tests.benchmarks.made_shops import CREWS
from tests.benchmarks.odds_reliability import HAPPEN, HISTORIES, SAID_DAYS, one_shop, summed
from tests.benchmarks.odds_shops import AHEAD
from tests.benchmarks.season import Promise, figures, padded, replay
from tests.benchmarks.season_shop import FIRST, MORNING, Truth, later, season, workdays
from tests.benchmarks.season_work import worked_day


def test_a_shop_is_one_observation():
    """By hand: sums 1 and 2 of 2 and 2 are 0.75, each off by 0.5 from its own; √(2 × 0.5) / 4. More of the same shop is no surer."""
    assert ratio([1, 2], [2, 2]) == pytest.approx((0.75, 0.25))
    assert ratio([10, 20], [20, 20]) == pytest.approx((0.75, 0.25))
    assert ratio([1, 2] * 50, [2, 2] * 50)[1] == pytest.approx(0.025, rel=0.01)


def test_every_day_asked_for_is_in_one_tenth():
    """Two shops: the tenths hold all their days, each with its error."""
    seen = [one_shop(1, number) for number in (0, len(HISTORIES))]
    found = summed(seen)
    assert sum(row["days"] for row in found["reliability"]) == 2 * CREWS * AHEAD * len(SAID_DAYS) * HAPPEN
    assert all(row["error_points"] >= 0 for row in found["reliability"])
    assert found["finish_held"]["95 %"]["mean"] >= found["finish_held"]["likely"]["mean"]


@pytest.fixture(scope="module")
def made():
    return season(1, 2)


def _worked(made, truth: Truth, days: int = 40):
    """Return the first job worked to its end from one plan a day, and its hours as they were written down."""
    records, written = {made.jobs[0].number: made.jobs[0].record}, []
    for n in range(days):
        day = FIRST + timedelta(days=n)
        now, night = (to_utc(made.shop.zone, day + timedelta(days=m), at) for m, at in ((0, MORNING), (1, 0)))
        problem = PlanProblem(
            now=now, days=28, shop=made.shop, jobs=tuple(records.values()), earliest={}, impossible={}, drive={}
        )
        evening = worked_day(problem, plan_week(problem), truth, day, night)
        records, written = dict(evening.records), [*written, *evening.days]
        if not any(task.open for task in records[made.jobs[0].number].tasks):
            return records[made.jobs[0].number], written
    raise AssertionError("not done")


@pytest.fixture(scope="module")
def worked(made):
    return _worked(made, made.truth)


def test_hours_written_down_are_the_true_ones_and_every_task_is_done_once(made, worked):
    """Whatever day a task was cut at: its shares add up to the whole, and sums differ from the truth by rounding alone."""
    record, written = worked
    book: dict[int, float] = {}
    for day in written:
        for task in day.done:
            book[task.number] = book.get(task.number, 0.0) + task.book_min
    for task in record.tasks:
        assert book.get(task.number, 0.0) == pytest.approx(task.estimate.expected, abs=0.01 * task.estimate.expected)
    crews = {task.number: task.crew for task in record.tasks}
    true = sum(
        made.truth.minutes(record, crews[task.number], task.number) for task in record.tasks if crews[task.number]
    )
    assert sum(day.labor_min for day in written) == pytest.approx(true, abs=len(written) * QUARTER)


def test_slower_crews_end_later(made, worked):
    """Half as much again takes half as many hours again, and ends later."""
    slow = Truth(factors={key: 1.5 * factor for key, factor in made.truth.factors.items()})
    (quick, short), (late, long) = worked, _worked(made, slow)
    hours = [sum(day.labor_min for day in days) for days in (short, long)]
    assert hours[1] == pytest.approx(1.5 * hours[0], rel=0.05)
    assert max(task.done_at for task in late.tasks) > max(task.done_at for task in quick.tasks)


def test_every_promise_of_a_season_is_counted():
    """Two jobs by the learned odds: both promised and ended, kept where they are not late."""
    found, _ = replay(1, 2, "crewjobs 80")
    assert sorted(one.job for one in found) == [1, 2]
    assert all((one.late > 0) == (one.took > one.out) or one.took == one.out for one in found)


def test_figures_by_hand():
    """Kept 3 of 4; one late by 4 working days: a day on the average. Promised 3 days later it is late by one."""
    four = [Promise(job=n, out=5, took=5, late=0) for n in range(3)] + [Promise(job=3, out=5, took=9, late=4)]
    assert figures(four)["kept"] == 0.75
    assert figures(four)["late_days_mean"] == 1
    assert [one.late for one in padded(four, 3)] == [0, 0, 0, 1]
    assert figures(padded(four, 3))["days_out_mean"] == 8


def test_working_days_leave_out_weekends_and_holidays(made):
    """From Friday to Monday is one; Memorial Day of 2026, Monday 25 May, is none."""
    friday = date(2026, 3, 6)
    assert workdays(made.shop, friday, date(2026, 3, 9)) == 1
    assert workdays(made.shop, date(2026, 3, 9), friday) == -1
    assert workdays(made.shop, date(2026, 5, 22), date(2026, 5, 26)) == 1
    assert later(made.shop, date(2026, 5, 22), 1) == date(2026, 5, 26)
    assert workdays(replace(made.shop, holidays=frozenset()), date(2026, 5, 22), date(2026, 5, 26)) == 2
