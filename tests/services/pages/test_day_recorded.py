"""What On site tells of a day gone by of which no plan has anything."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

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
