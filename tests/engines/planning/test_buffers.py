"""The time kept before promises, and what a plan has to spare."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.crew import Away
from crewjobs.domain.evening import HowFar
from crewjobs.domain.tasks import Phase, ThreePoint
from crewjobs.domain.wall import to_utc
from crewjobs.engines.judging.minutes import Minutes
from crewjobs.engines.planning.buffers import (
    kept_min,
    kept_slots,
    short_slots,
    slack_min,
    slack_slots,
    spare,
    spread_min,
)
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.list_schedule import first_board, plan_week
from crewjobs.engines.planning.problem import Errand
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.planning.spare import Spare
from tests import thorough
from tests.engines.planning.networks import MONDAY, Network, at, crew, house, job, problem, random_problem, shop


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


@settings(max_examples=thorough.examples(20, 7), deadline=None)
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


# -- who is not there


def _two_days(promised: int):
    """Return a job of Birch, two people who work 8 h a day there, that ends on Monday at 16:00."""
    net = Network(job=job(1, drive=0, promised=MONDAY + timedelta(days=promised)))
    net.add("Lay rows", Phase.INSTALL, 2 * 480)
    return net.record()


def _out(day: int, *numbers: int, to: str = "") -> list[Away]:
    when = MONDAY + timedelta(days=day)
    return [Away(crew="Birch", worker=f"Birch {number}", day=when, to=to) for number in numbers]


@pytest.mark.parametrize(
    ("away", "minutes"),
    [
        ([], 16 * 60),
        (_out(1, 1, 2), 8 * 60),
        (_out(1, 2), 12 * 60),
        (_out(1, 2, to="Cedar"), 12 * 60),
        ([Away(crew="Cedar", worker="Cedar 1", day=MONDAY + timedelta(days=1), to="Birch"), *_out(1, 2)], 16 * 60),
    ],
    ids=["all there", "all out", "one out", "one lent", "one out and one lent to it"],
)
def test_who_is_not_there_has_no_time_to_spare(away: list[Away], minutes: int) -> None:
    """Worked by hand: two days of 8 h to spare, less the share of those who are out or lent, in week, why and planner."""
    the_problem = problem([_two_days(2)], shop(crew("Birch", 2), crew("Cedar", 1)), away=away)
    the_shop, end = with_parts(the_problem.shop, the_problem.away), at(MONDAY, "16:00")
    birch = next(one for one in the_shop.crews if one.name == "Birch")
    assert slack_min(the_shop, birch, the_problem.jobs[0].job, end, away) == minutes
    board, _ = first_board(the_problem)
    assert board.bookings_of(1)[next(iter(board.bookings_of(1)))].crew == "Birch"
    assert slack_slots(board.works[1], board.floor, board.bookings_of(1)) == minutes // 15


def test_a_small_visit_takes_its_time() -> None:
    """One of two leaves on Tuesday from 11:00 to 13:00, of which 1.5 h are worked: half of these are lost."""
    the_problem = problem([_two_days(1)], shop(crew("Birch", 2)))
    tuesday = MONDAY + timedelta(days=1)
    gone = Errand(crew="Birch", worker="Birch 2", start=at(tuesday, "11:00"), end=at(tuesday, "13:00"))
    end = at(MONDAY, "16:00")
    assert slack_min(the_problem.shop, the_problem.shop.crews[0], the_problem.jobs[0].job, end, (), [gone]) == 480 - 45


@settings(max_examples=thorough.examples(30, 10), deadline=None)
@given(st.integers(0, 100_000))
def test_week_and_planner_agree_on_what_is_to_spare(seed: int) -> None:
    """Whatever the shop, with people out, lent and by themselves: the planner's quarters are the week's minutes."""
    the_problem = random_problem(seed)
    board, _ = first_board(the_problem)
    the_shop = with_parts(the_problem.shop, the_problem.away)
    for number, work in board.works.items():
        slack = slack_slots(work, board.floor, board.bookings_of(number))
        if slack is None or slack < 0:
            continue
        last = max(board.bookings_of(number).values(), key=lambda booking: (booking.end, booking.key))
        one = next(found for found in the_shop.crews if found.name == last.crew)
        end = board.floor.axis.at(last.end)
        minutes = slack_min(the_shop, one, work.record.job, end, the_problem.away, the_problem.errands)
        if minutes is None or end > board.floor.axis.at(board.floor.until):
            continue
        assert 0 <= minutes - slack * 15 < 15


def test_time_that_other_jobs_have_does_not_sound_free() -> None:
    """A day to spare of which the crew is 4 h at another house; with all of it planned, that is said, too."""
    other = Network(job=job(2, drive=0))
    other.add("Lay rows", Phase.INSTALL, 2 * 240)
    the_problem = problem([_two_days(1), other.record()], shop(crew("Birch", 2)))
    plan = plan_week(the_problem)
    assert [p.key.job for p in sorted(plan.placements, key=lambda p: p.start)] == [1, 2]
    found = spare(the_problem.shop, (), (), the_problem.jobs[0], plan, at(MONDAY, "16:00"), the_problem.now)
    assert found == Spare(crew="Birch", slack_min=480, booked_min=240, kept_min=0)
    assert found.words == "8 h of Birch's time to spare, 4 h of it planned for other jobs"
    full = Spare(crew="Birch", slack_min=480, booked_min=450, kept_min=500)
    assert (
        full.words == "8 h of Birch's time to spare, all of it planned for other jobs, tight: 8 h 20 min should be kept"
    )


def test_of_what_is_half_done_half_the_spread_is_kept() -> None:
    """Laying that may take half as long again, half of it said to be done: half as much is to be kept, as the planner does."""
    net = Network(job=job(1, drive=0, promised=MONDAY + timedelta(days=4)))
    number = net.add("Lay rows", Phase.INSTALL, 2 * 8 * 60)
    task = replace(net.tasks[0], started_at=at(MONDAY, "06:00"), crew="Birch")
    task = replace(task, estimate=replace(task.estimate, high=task.estimate.likely * 1.5))
    said = HowFar(task=number, at=at(MONDAY, "06:30"), done=9, whole=18, unit="rows")
    kept = {}
    for name, far in (("whole", ()), ("half", (said,))):
        record = replace(net.record(), tasks=(task,), how_far=far)
        the_problem = problem([record], shop(crew("Birch", 2)))
        plan = plan_week(the_problem)
        found = spare(the_problem.shop, (), (), record, plan, plan.placements[0].end, the_problem.now)
        assert found is not None
        kept[name] = found.kept_min
        board, _ = first_board(the_problem)
        assert abs(kept_slots(board.works[1], board.floor, "Birch") * 15 - found.kept_min) < 15
    assert kept["half"] == pytest.approx(kept["whole"] / 2, abs=1)
    assert kept["half"] > 0
