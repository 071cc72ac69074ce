"""Work under way that a plan counts as worked on though nobody said so: the crew's page and the customer's notice say that."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from crewjobs.domain.wall import to_utc
from crewjobs.services.clock import FixedClock
from crewjobs.services.findings.hanging import ALL_HANGS, PART_HANGS
from crewjobs.services.office import Office
from crewjobs.services.pages.notice_work import _hangs
from crewjobs.services.weeks.untold import DAYS_COUNT, IF_COUNTED
from crewjobs.storage.database import open_database

MONDAY, TUESDAY, NEXT = date(2026, 3, 2), date(2026, 3, 3), date(2026, 3, 16)
LAYING = "How far task 14 'Lay click vinyl rows' (back bedroom) is, nobody has said since "


def office_at(file: Path, day: date, clock: int) -> Office:
    moment = to_utc("America/Chicago", day, clock * 60)
    return Office(open_database(file, create=False), FixedClock(moment), who="tester", follows=True)


def on_page(office: Office, day: date, crew: str = "Hazel") -> str:
    return " ".join(office.day_plan_text(day, crew).split())


def notice(office: Office) -> str:
    return " ".join(office.page_text(office.notice(14)).split())


@pytest.fixture
def silent(demo_file: Path) -> Path:
    """Hazel was to lay on from row ten on Monday and nobody said anything: planned anew on Tuesday."""
    office_at(demo_file, TUESDAY, 6).plan(stop=lambda: True)
    return demo_file


def test_the_rest_counted_as_laid_is_told_to_the_crew_and_to_the_customer(silent: Path) -> None:
    """Ten rows have a quarter of an hour on the sixteenth: the crew is told why, and the customer's days have their if."""
    office = office_at(silent, TUESDAY, 7)
    page = on_page(office, NEXT)
    assert "07:30 [ ] Back bedroom: Lay click vinyl rows" in page
    assert "07:45 [ ] Back bedroom: Clean up" in page
    assert f"ASK FIRST: {LAYING}Fri 27 Feb 15:50: the plan counts Mon 2 Mar as worked on" in page
    told = notice(office)
    assert f"Finished, as planned: Mon 16 Mar, {IF_COUNTED}." in told
    assert told.count(DAYS_COUNT) == 2, "beside the coming and beside the room"


def test_who_says_how_far_it_is_takes_the_if_away(silent: Path) -> None:
    """Nine rows as before, said on Monday evening: the plan follows with the time for ten, and nothing hangs on anything."""
    office = office_at(silent, TUESDAY, 7)
    office.how_far(14, 14, "9/19 rows", at="2026-03-02 15:00")
    day = next(one.day for one in office.notice(14).days)
    assert LAYING not in on_page(office, day)
    assert IF_COUNTED not in notice(office)


def test_what_runs_on_its_own_day_is_not_asked_for(demo_file: Path) -> None:
    """On Monday itself the rows are planned from where they were left on Friday; Cedar's base of Saturday is not known."""
    office = office_at(demo_file, MONDAY, 7)
    assert LAYING not in on_page(office, MONDAY)
    assert IF_COUNTED not in notice(office)
    assert "nobody has said since Fri 27 Feb 13:45: the plan counts Sat 28 Feb as worked on" in on_page(
        office, MONDAY, "Cedar"
    )


def test_a_coming_that_hangs_on_both_keeps_what_was_found_apart() -> None:
    """Two crews told as one: only one hangs on what was found, and only one on what nobody told."""
    assert _hangs(DAYS_COUNT, "") == DAYS_COUNT
    assert _hangs(ALL_HANGS, DAYS_COUNT) == f"{PART_HANGS} {DAYS_COUNT}"
    assert _hangs(f"{ALL_HANGS} {DAYS_COUNT}", ALL_HANGS) == f"{ALL_HANGS} {DAYS_COUNT}"
    assert _hangs(ALL_HANGS, "") == PART_HANGS
