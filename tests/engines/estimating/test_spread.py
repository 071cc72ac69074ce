"""Crew hours spread over what was done of the day's tasks."""

from __future__ import annotations

import itertools
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.evening import CrewHours, HowFar
from crewjobs.engines.estimating.spread import share_out, spread_hours
from tests.builders import central, record, task

MONDAY, TUESDAY = "2026-03-02", "2026-03-03"
WEIGHTS = st.dictionaries(st.integers(1, 40), st.floats(0, 1e6, allow_nan=False), max_size=12)


def hours(day=MONDAY, crew="Birch", start="07:00", stop="15:30", people=3, pause=30):
    return CrewHours(crew=crew, start=central(day, start), stop=central(day, stop), people=people, break_min=pause)


def far(number, done, day=MONDAY, clock="15:30", whole=20):
    return HowFar(task=number, at=central(day, clock), done=done, whole=whole, unit="rows")


@given(st.integers(1, 10_000), WEIGHTS)
def test_the_minutes_add_up_to_the_labor(labor, weights):
    """Nothing is lost or made up by rounding: the sum is the labor, wherever anything can take it."""
    shares = share_out(labor, weights)
    assert sum(shares.values()) == (labor if any(weight > 0 for weight in weights.values()) else 0)


@given(st.integers(1, 10_000), WEIGHTS)
def test_nobody_is_more_than_a_minute_from_their_part(labor, weights):
    """Each share is the exact part of its weight, rounded down or up."""
    whole = sum(weights.values())
    for number, minutes in share_out(labor, weights).items():
        assert abs(minutes - labor * weights[number] / whole) < 1.001


@given(st.integers(1, 10_000), WEIGHTS)
def test_the_heavier_never_gets_less(labor, weights):
    """The order of the weights is the order of the minutes, to the minute that rounding moves."""
    shares = share_out(labor, weights)
    ranked = sorted(shares, key=lambda number: weights[number])
    assert all(shares[a] <= shares[b] + 1 for a, b in itertools.pairwise(ranked))


def test_hours_of_a_day_go_to_what_was_ticked_that_day():
    """24 h of three people over two tasks of 60 and 180 min: 6 h and 18 h; the next day's task gets none."""
    done = central(MONDAY, "15:00")
    job = record(
        [task(1, done_at=done), task(2, minutes=180, done_at=done), task(3, done_at=central(TUESDAY, "09:00"))]
    )
    [spread] = spread_hours(replace(job, crew_hours=(hours(),)))
    assert spread.tasks == {1: 360, 2: 1080}
    assert (spread.labor, spread.rest) == (1440, 0)


def test_a_task_under_way_takes_by_the_share_it_grew():
    """Half of it on Monday and the rest on Tuesday: half of its estimate counts on each day."""
    both = task(1, minutes=200, done_at=central(TUESDAY, "15:00"), started_at=central(MONDAY, "07:00"))
    other = task(2, minutes=100, done_at=central(MONDAY, "15:00"))
    third = task(3, minutes=300, done_at=central(TUESDAY, "15:00"))
    job = replace(record([both, other, third]), how_far=(far(1, 10),), crew_hours=(hours(), hours(TUESDAY)))
    monday, tuesday = spread_hours(job)
    assert monday.tasks == {1: 720, 2: 720}
    assert tuesday.tasks == {1: 360, 3: 1080}


def test_what_was_taken_up_again_takes_no_hours():
    """A share that fell counts as nothing done that day, never as less than nothing."""
    job = replace(
        record([task(1, started_at=central(MONDAY, "07:00")), task(2, done_at=central(TUESDAY, "15:00"))]),
        how_far=(far(1, 10), far(1, 8, TUESDAY)),
        crew_hours=(hours(TUESDAY),),
    )
    assert spread_hours(job)[0].tasks == {2: 1440}


def test_each_crew_pays_for_its_own_tasks():
    """Two crews at a house on a day: a task goes to the crew recorded with it, one of nobody to both by their labor."""
    done = central(MONDAY, "15:00")
    tasks = [
        replace(task(1, done_at=done), crew="Birch"),
        replace(task(2, done_at=done), crew="Cedar"),
        task(3, minutes=120, done_at=done),
    ]
    job = replace(record(tasks), crew_hours=(hours(), hours(crew="Cedar")))
    birch, cedar = spread_hours(job)
    assert birch.tasks == {1: 720, 3: 720}
    assert cedar.tasks == {2: 720, 3: 720}


def test_hours_without_a_ticked_task_are_kept_apart():
    """A day on which nothing of the list was done stays as hours of no task."""
    [spread] = spread_hours(replace(record([task(1)]), crew_hours=(hours(),)))
    assert spread.tasks == {}
    assert spread.rest == spread.labor == 1440


def test_a_late_evening_counts_for_its_own_day():
    """Done at 23:59 of a day is done that day, at 00:00 the next."""
    tasks = [task(1, done_at=central(MONDAY, "23:59")), task(2, done_at=central(TUESDAY, "0:00"))]
    [spread] = spread_hours(replace(record(tasks), crew_hours=(hours(),)))
    assert spread.tasks == {1: 1440}
