"""What On site tells of a day gone by of which no plan has anything."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from crewjobs.files.evening_text import read_form
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database

FRIDAY = date(2026, 2, 27)


def test_a_day_before_the_first_plan_tells_hours_and_ticks(demo_file: Path) -> None:
    """Birch was at job 11 that Friday and took up base and door there: nobody is told that it had no visit."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    day = office.site_day("Birch", FRIDAY)
    assert not day.houses
    assert day.recorded[0] == "No plan of Fri 27 Feb is kept:"
    [job] = [words for words in day.recorded if words.startswith("Job 11 ")]
    assert "Birch 14:30–15:30, 3 people" in job
    assert "task 8 'Old base and shoe off, not reused' (front room)" in job
    assert day.recorded[-1].startswith("Ticked that day, by which crew is not known: ")
    cedar = office.site_day("Cedar", FRIDAY).recorded
    assert not [words for words in cedar if words.startswith("Job 11 ")], (
        "another crew's hours and ticks are not its own"
    )


def test_a_day_of_which_nothing_is_known_says_so_and_a_planned_one_is_told_as_planned(demo_file: Path) -> None:
    """A Sunday before any plan, and one that a plan left free; today and days to come are not told of at all."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    assert office.site_day("Hazel", date(2026, 2, 1)).recorded == (
        "No plan of Sun 1 Feb is kept, and nothing is recorded of Hazel that day.",
    )
    assert office.site_day("Hazel", DEMO_NOW.date() + timedelta(days=6)).recorded == ()
    later = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW + timedelta(days=8)), who="tester")
    assert later.site_day("Birch", date(2026, 3, 8)).recorded == (
        "By the plan Birch had no visit on Sun 8 Mar, and nothing is recorded of Birch that day.",
    )


def page_of(office: Office, day: date, crew: str) -> str:
    return " ".join(office.day_plan_text(day, crew).replace("\n* ", "\n").split())


def test_work_begun_and_dry_runs_are_recorded_too(demo_file: Path) -> None:
    """Rowan stood before a dark house, Hazel began its rows: of neither day is it said that nothing is recorded."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    rowan, hazel = page_of(office, date(2026, 2, 26), "Rowan"), page_of(office, FRIDAY, "Hazel")
    assert "Job 7 Living room and study, engineered: dry run 07:25: no power in the house" in rowan
    rows = "Job 14 Back bedroom: task 14 'Lay click vinyl rows' (back bedroom) begun 10:40, rows 1–9 of 19."
    assert rows in hazel
    assert rows in office.site_day("Hazel", FRIDAY).recorded
    for page in (rowan, hazel):
        assert "nothing is recorded" not in page
    assert "dry run" not in page_of(office, date(2026, 2, 26), "Hazel"), "another crew's"
    assert [one for one in office.job_record(14).people if one.startswith("Hazel")], "it began work there"


def test_how_far_a_sub_came_stands_on_its_page_of_that_day(demo_file: Path) -> None:
    """Fourteen rows typed on Monday evening; on Tuesday its page tells them, and that nothing was ticked."""
    evening = Office(
        open_database(demo_file, create=False), FixedClock(DEMO_NOW + timedelta(hours=10)), who="tester", follows=True
    )
    evening.evening("Hazel", DEMO_NOW.date(), read_form("House 1, job 14\n[ 14/19 rows ] 14 x\n", "sheet"))
    later = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW + timedelta(days=1)), who="tester")
    page = page_of(later, DEMO_NOW.date(), "Hazel")
    assert "Job 14 Back bedroom: task 14 'Lay click vinyl rows' (back bedroom) rows 1–14 of 19." in page
    assert "No hours of" not in page
    birch = page_of(later, DEMO_NOW.date(), "Birch")
    assert "No hours of Birch are recorded for it." in birch
