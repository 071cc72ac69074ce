"""Crew hours as what paces are learned from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.domain.job import JobRecord
from crewjobs.domain.outline import Outline
from crewjobs.domain.pace import DoneTask, HoursKind, WorkedDay
from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.spread import spread_hours
from crewjobs.engines.estimating.worked import run_together, worked_days
from tests.builders import central, material, record, task
from tests.engines.estimating.test_spread import MONDAY, TUESDAY, far, hours


def _two_days() -> JobRecord:
    """Return a job with 200 min half done on Monday beside 100 min, the rest and 300 min on Tuesday."""
    both = task(1, minutes=200, done_at=central(TUESDAY, "15:00"), started_at=central(MONDAY, "07:00"))
    tasks = [
        both,
        task(2, minutes=100, done_at=central(MONDAY, "15:00")),
        task(3, minutes=300, done_at=central(TUESDAY, "15:00")),
    ]
    return replace(record(tasks), how_far=(far(1, 10),), crew_hours=(hours(), hours(TUESDAY)))


def test_a_day_has_its_labor_and_the_books_minutes_of_what_was_done():
    """Shares of a task count on the day they were done; the labor is everybody's, breaks taken off."""
    monday, tuesday = worked_days(_two_days())
    assert [(one.number, one.book_min) for one in monday.done] == [(1, 100), (2, 100)]
    assert [(one.number, one.book_min) for one in tuesday.done] == [(1, 100), (3, 300)]
    assert (monday.labor_min, monday.crew, monday.kind) == (1440, "Birch", HoursKind.WORK)


def test_the_same_days_and_labor_as_hours_are_spread():
    """Nothing is lost beside `spread_hours`: same days, crews, labor, and the same tasks."""
    job = _two_days()
    for worked, spread in zip(worked_days(job), spread_hours(job), strict=True):
        assert (worked.day, worked.crew, worked.labor_min) == (spread.day, spread.crew, spread.labor)
        assert [one.number for one in worked.done] == sorted(spread.tasks)


def test_the_book_replaces_an_estimate_that_was_learned():
    """A task made with 200 min by a learned rate and 150 by the book counts half of 150 on the day it was half done."""
    monday, _ = worked_days(_two_days(), {1: 150.0})
    assert [one.book_min for one in monday.done] == [pytest.approx(75), 100]


def test_two_crews_share_a_task_of_nobody_by_their_labor():
    """Each has its own record; what no crew is recorded with goes to both."""
    done = central(MONDAY, "15:00")
    job = record([replace(task(1, done_at=done), crew="Birch"), task(2, minutes=90, done_at=done)])
    birch, cedar = worked_days(replace(job, crew_hours=(hours(people=2), hours(crew="Cedar", people=1))))
    assert [(one.number, one.book_min) for one in birch.done] == [(1, 60), (2, pytest.approx(60))]
    assert [(one.number, one.book_min) for one in cedar.done] == [(2, pytest.approx(30))]


def test_a_callbacks_hours_are_the_callbacks():
    """They are kept as such, so that nothing is learned from them."""
    job = _two_days()
    back = replace(job, job=replace(job.job, callback_of=7))
    assert {one.kind for one in worked_days(back)} == {HoursKind.CALLBACK}
    assert {one.kind for one in worked_days(job)} == {HoursKind.WORK}


def test_conditions_are_those_of_the_tasks_place():
    """A small room upstairs in a house somebody lives in: small, upstairs, occupied."""
    job = record([task(1, done_at=central(MONDAY, "15:00"))], materials=[material()])
    room = replace(job.job.rooms[0], outline=Outline.rectangle(7 * FOOT, 8 * FOOT), storey=1)
    job = replace(job, job=replace(job.job, rooms=(room,)), crew_hours=(hours(),))
    [worked] = worked_days(job)
    assert worked.done[0].conditions == {"small", "upstairs", "occupied"}


def test_a_day_without_a_ticked_task_tells_no_pace():
    """Its hours are there, with nothing done."""
    [worked] = worked_days(replace(record([task(1)]), crew_hours=(hours(),)))
    assert (worked.done, worked.tells_pace, worked.labor_min) == ((), False, 1440)


def _days(*labor_and_book: tuple[float, float]) -> tuple[WorkedDay, ...]:
    """Return a crew's days at a house, each with one task of its own where the book has minutes for it."""
    return tuple(
        WorkedDay(
            job=1,
            crew="Birch",
            day=date.fromisoformat(MONDAY) + timedelta(days=at),
            labor_min=labor,
            done=(DoneTask(number=at + 1, template=f"work {at}", book_min=book),) if book else (),
        )
        for at, (labor, book) in enumerate(labor_and_book)
    )


def test_a_task_that_ran_over_the_night_is_one_sum_with_its_day():
    """8 h for 4 h by the book, then 4 h for 8 h by it: the task of the second day was begun on the first."""
    (both,) = run_together(_days((480, 240), (240, 480)))
    assert (both.labor_min, both.book_min, both.days, both.day.isoformat()) == (720, 720, 2, TUESDAY)
    assert [task.number for task in both.done] == [1, 2]


def test_hours_without_a_tick_go_to_what_is_ticked_next():
    """Two days with nothing ticked belong to the third; at the end of what is known they stand alone."""
    days = run_together(_days((480, 0), (480, 0), (300, 900), (200, 0)))
    assert [(one.labor_min, one.days, bool(one.done)) for one in days] == [(1260, 3, True), (200, 1, False)]


@pytest.mark.parametrize(
    "days",
    [
        ((480, 480), (30, 480)),  # a wrong digit on the second day: nothing to be mixed into the first
        ((700, 480), (620, 480)),  # a slow crew, day by day
        ((300, 480), (350, 480)),  # a quick one
        ((240, 480), (480, 240)),  # quick, then slow: nothing ran over
        ((500, 480), (450, 480)),  # as it is everywhere
    ],
)
def test_days_that_tell_apart_what_was_done_stay_apart(days):
    """Only what is nearer to the book together than either day is put together."""
    assert run_together(_days(*days)) == _days(*days)


def test_a_share_said_in_the_evening_keeps_days_apart():
    """With how far it was, each day has its own part and nothing is put together."""
    assert [one.days for one in worked_days(_two_days())] == [1, 1]
