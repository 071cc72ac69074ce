"""Crew hours as what paces are learned from."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.job import JobRecord
from crewjobs.domain.outline import Outline
from crewjobs.domain.pace import HoursKind
from crewjobs.domain.units import FOOT
from crewjobs.engines.estimating.spread import spread_hours
from crewjobs.engines.estimating.worked import worked_days
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
