"""The days of jobs that are over, as a file tells them, and what the demo makes of its own."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobState
from crewjobs.domain.tasks import Phase
from crewjobs.engines.learning.pace import learn
from crewjobs.files.past_file import read_past
from crewjobs.services.rates.paces import days_worked
from crewjobs.storage.database import open_database
from tests.builders import CENTRAL

NOW = datetime(2026, 3, 2, 12, 30, tzinfo=UTC)
DAY = """
[[day]]
job = 16
crew = "Birch"
start = "2026-01-12 07:00"
stop = "2026-01-12 15:30"
people = 3
break_min = 30
until = "subfloor prep"

[[came]]
job = 16
material = "field laminate"
cartons = 15
at = "2026-01-08 11:20"
"""


def test_moments_are_the_sites_and_a_phase_ends_a_day():
    """Seven in the morning in Chicago in winter is 13:00 UTC."""
    past = read_past(DAY, "days.toml", {16: CENTRAL})
    (day,), (came,) = past.day, past.came
    assert day.start == datetime(2026, 1, 12, 13, tzinfo=UTC)
    assert (day.until, day.people, day.break_min) == (Phase.SUBFLOOR_PREP, 3, 30)
    assert (came.cartons, came.at) == (15, datetime(2026, 1, 8, 17, 20, tzinfo=UTC))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("job = 16\ncrew", "job = 17\ncrew", "there is no job 17"),
        ('"2026-01-12 07:00"', '"seven"', "start"),
        ("people = 3", "people = 2.5", "people"),
        ('"subfloor prep"', '"painting"', "until"),
        ("cartons = 15\n", "", "cartons"),
    ],
)
def test_a_fault_is_named(old, new, said):
    """What cannot be read is refused with its place."""
    assert old in DAY
    with pytest.raises(Refused, match=said):
        read_past(DAY.replace(old, new), "days.toml", {16: CENTRAL})


def test_the_demos_crews_have_a_past(demo_made: Path):
    """Six closed jobs, every task done by its crew; three crews, each with a pace of its own near the book's, one odd day kept."""
    with open_database(demo_made, create=False).reading() as uow:
        records = [uow.job(number) for number in range(16, 22)]
        pace = learn(days_worked(uow.worked_jobs(), uow.shop(), NOW))
    assert all(record.job.state is JobState.CLOSED for record in records)
    assert all(task.crew and task.done_at is not None for record in records for task in record.tasks)
    assert [(one.day.job, one.day.crew) for one in pace.odd] == [(19, "Birch")]
    took, book = dict.fromkeys(("Birch", "Cedar", "Rowan"), 0.0), dict.fromkeys(("Birch", "Cedar", "Rowan"), 0.0)
    for day in (one for record in records for one in days_worked([record], _shop(demo_made), NOW)):
        if day.job != 19 or day.labor_min > 300:
            took[day.crew] += day.labor_min
            book[day.crew] += day.book_min
    ratios = {crew: took[crew] / book[crew] for crew in took}
    assert ratios["Cedar"] < 0.95 < ratios["Birch"] < 1.1 < ratios["Rowan"] < 1.25


def _shop(database: Path):
    with open_database(database, create=False).reading() as uow:
        return uow.shop()
