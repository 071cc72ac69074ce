"""A crew that is done at a house ahead of the day it was given is said to be, with the hour it was given."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.rows import Visit
from crewjobs.storage.database import open_database

FREE = "Cedar is done at job 10, planned to Mon 2 Mar 11:45: `crewjobs offers Cedar` says what it could do now."


class Site:
    """The demo's Monday: Cedar finishes job 10, its only house of the day."""

    def __init__(self, path: Path) -> None:
        self.database = open_database(path, create=False)
        self.visit = self._visit()

    def at(self, clock: str) -> Office:
        hour, minute = map(int, clock.split(":"))
        moment = to_wall("America/Chicago", DEMO_NOW).replace(hour=hour, minute=minute)
        return Office(self.database, FixedClock(moment), who="tester", follows=True)

    def _visit(self) -> Visit:
        return next(one for one in self.at("6:30").week().days[0].visits if one.crew == "Cedar")

    def tick(self, clock: str, *tasks: int) -> tuple[str, ...]:
        """Return which crews the answer says are done."""
        return tuple(words for words in self.at(clock).tick(10, tasks).then if " is done at job " in words)


@pytest.fixture
def site(demo_file: Path) -> Site:
    found = Site(demo_file)
    assert (found.visit.job, f"{found.visit.end:%H:%M}") == (10, "11:45"), "what the crew was given"
    return found


def test_the_hour_is_the_end_of_the_visit_and_not_of_the_piece_the_crew_is_at(site: Site) -> None:
    """All of it is ticked at once, while the third of five pieces is planned."""
    assert site.tick("9:30", *site.visit.tasks) == (FREE,)


def test_ticked_one_after_the_other_the_last_tick_says_it(site: Site) -> None:
    """The plan follows meanwhile: the hour is that of the plan the crew was given, and it is said once."""
    at = datetime(2026, 3, 2, 8)
    said = []
    for task in site.visit.tasks:
        said += [(task, words) for words in site.tick(f"{at:%H:%M}", task)]
        at += timedelta(minutes=10)
    assert site.at("10:10").week().plan_number > 1, "the plan followed meanwhile"
    assert said == [(site.visit.tasks[-1], FREE)]


def test_it_is_said_too_where_the_plan_that_followed_holds(site: Site) -> None:
    """All but the last task at once, then that one: by the plan made after the first it would end sooner."""
    *most, last = site.visit.tasks
    assert site.tick("9:30", *most) == ()
    number = site.at("9:45").week().plan_number
    assert site.tick("9:45", last) == (FREE,)
    assert site.at("9:45").week().plan_number == number


def test_a_plan_made_since_for_another_reason_says_the_hour(site: Site) -> None:
    """Cedar is away from nine to half past ten: what the plan gives it by that is what it is ahead of."""
    first, *rest = site.visit.tasks
    site.tick("8:00", first)
    site.at("8:05").hours("Cedar", site.visit.start.date(), "7:30-9:00, 10:30-16:00")
    end = next(one.end for one in site.at("8:05").week().days[0].visits if one.crew == "Cedar")
    assert f"{end:%H:%M}" > "12:30"
    (said,) = site.tick("11:50", *rest)
    assert f"planned to Mon 2 Mar {end:%H:%M}: " in said


def test_on_time_it_is_not_said(site: Site) -> None:
    """Less than half an hour ahead is on time, also where the tasks were ticked in turn."""
    *most, last = site.visit.tasks
    site.tick("11:00", *most)
    assert site.tick("11:20", last) == ()


def test_a_late_tick_ends_no_house_in_which_the_next_work_runs(demo_file: Path) -> None:
    """Birch is at its glue from eight, which nobody has ticked: a jamb ticked at 8:40 does not send it on; the glue's ticks do."""
    database = open_database(demo_file, create=False)

    def said(hour: int, minute: int, *tasks: int) -> list[str]:
        moment = to_utc("America/Chicago", date(2026, 3, 3), hour * 60 + minute)
        then = Office(database, FixedClock(moment), who="tester", follows=True).tick(4, tasks).then
        return [words for words in then if " is done at job " in words]

    assert said(8, 40, 25) == []
    (words,) = said(11, 0, 26, 27, 30)
    assert words.startswith("Birch is done at job 4, planned to Tue 3 Mar 13:15: ")
