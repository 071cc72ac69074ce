"""A day that holds only if something found is settled by then is told so wherever the shop reads or says it."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from crewjobs.cli.jobs import jobs_text
from crewjobs.cli.week import week_text
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wording import day_words
from crewjobs.screens.widgets.job_list import NUMBER, draw_jobs
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.findings.hanging import ONLY_IF
from crewjobs.services.odds.odds import TAKEN_SETTLED
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database

JOB = 1
"""In the demo: all its finish hangs on its hall once something is found there."""
OTHER = 2
"""In the demo: its finish is another one than was told, and nothing is found there."""


def office_at(file: Path) -> Office:
    """Return the office of a copy of the demo."""
    return Office(open_database(file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)


@pytest.fixture(scope="module")
def found_file(demo_made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the demo after something was found in the hall of a job; each test works on a copy."""
    file = Path(shutil.copy(demo_made, tmp_path_factory.mktemp("found") / "demo.sqlite3"))
    said = office_at(file).found(JOB, "hall", "suspect asbestos").then
    assert any(f"Job {JOB}: finish moves" in one and one.endswith(f", {ONLY_IF}.") for one in said)
    return file


@pytest.fixture
def office(found_file: Path, tmp_path: Path) -> Office:
    """Return the office of a copy of it."""
    return office_at(Path(shutil.copy(found_file, tmp_path / "demo.sqlite3")))


def test_whom_to_tell_and_what_was_told_say_so(office):
    rows = {row.job: row for row in office.waiting() if row.state is WaitState.TO_TELL}
    assert rows[JOB].what.endswith(f", {ONLY_IF}")
    assert ONLY_IF not in rows[OTHER].what
    assert any(ONLY_IF in one for one in office.told(JOB).then)
    assert not any(ONLY_IF in one for one in office.told(OTHER).then)


def test_the_promises_of_the_week_say_so_on_every_page(office):
    week = office.week(date(2026, 3, 2))
    assert {row.job for row in week.promises if row.only_if} == {JOB}
    assert " ".join(week_text(week).split()).count(ONLY_IF) == 1
    assert {one.job for one in office.week_sheet(date(2026, 3, 2)).promises if ONLY_IF in one.planned} == {JOB}


def test_why_names_what_was_found(office):
    assert any("suspect asbestos found in hall" in one for one in office.why(JOB).job.promise)
    assert not any("found" in one for one in office.why(OTHER).job.promise)


def test_what_if_says_so_of_the_job_that_would_end_on_another_day(office):
    hangs = office.what_if(WhatIfAsked(promises=((JOB, "2026-03-03"),)), rounds=0)
    assert [row.job for row in hangs.jobs] == [JOB]
    assert hangs.note.startswith(f"Job {JOB}: the day told holds {ONLY_IF}.")
    assert ONLY_IF not in office.what_if(WhatIfAsked(promises=((OTHER, "2026-03-03"),)), rounds=0).note


def test_a_finish_moves_from_the_day_that_was_planned(demo_file):
    """Not from the one on which the same work would end by the hours that were just recorded."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    office.found(10, "den", "suspect asbestos")
    end = office.job(10).row.planned_finish.date()
    moved = [one for one in office.hours("Cedar", end, "off").then if one.startswith("Job 10: finish")]
    assert [one.partition(" to ")[0] for one in moved] == [f"Job 10: finish moves from {day_words(end)}"]


def test_odds_say_that_they_take_it_as_settled(office):
    odds = office.odds()
    assert {row.job for row in odds.rows if TAKEN_SETTLED in row.days} == {JOB}
    assert any(f"not settled (job {JOB})" in one for one in odds.taken)
    assert any("taken as settled" in one for one in office.promise(JOB, 90).sentences)
    assert not any("settled" in one for one in office.promise(OTHER, 90).sentences)


def test_the_list_of_jobs_and_the_job_s_page_say_so(office):
    rows = office.jobs()
    assert {row.number for row in rows if row.only_if} == {JOB}
    assert f"job {JOB}: planned end {ONLY_IF}" in " ".join(jobs_text(rows).split())
    assert office.job(JOB).row.only_if
    (row,) = (row for row in rows if row.only_if)
    for width in (38, 78, 118):
        shown = " ".join("".join(piece.text for line in draw_jobs([row], width, NUMBER) for piece in line).split())
        assert "settled by then" in shown
