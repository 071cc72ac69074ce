"""A house with a clock of its own: every hour that is told by it says so, and its crew's sheets are the shop's."""

from __future__ import annotations

from datetime import time, timedelta

import pytest

from crewjobs.domain.wall import to_wall
from tests.builders import CENTRAL
from tests.services.conftest import Shop
from tests.services.weeks.test_cut_off import GLUED, MONDAY, RENTED, house

NEW_YORK = "New York time"


@pytest.fixture
def eastern(empty_shop: Shop) -> Shop:
    """A house one hour ahead of the shop, planned."""
    return house(empty_shop, GLUED.replace("drive_min = 15", 'drive_min = 15\nzone = "America/New_York"'), RENTED)


def test_a_week_is_told_by_the_shops_clock_and_says_once_that_the_houses_is_another(eastern: Shop) -> None:
    """Visits by the shop's clock, and what is told by the house's with its name."""
    view = eastern.office.week(MONDAY)
    first = next(visit for day in view.days for visit in day.visits)
    with eastern.office._database.reading() as uow:
        start = min(p.start for p in uow.latest_plan().placements)
    assert first.start == to_wall(CENTRAL, start)
    assert view.clocks == ("Job 4: New York time, 1 h ahead of the shop's. Hours here without a name are the shop's.")
    assert view.clocks in eastern.office.week_sheet(MONDAY).notes
    assert all(NEW_YORK in one for one in view.warnings)
    assert view.warnings


def test_a_day_plan_has_the_shops_hours_and_the_houses_facts_its_own(eastern: Shop) -> None:
    """Each hour in a fact of the house is named; the hours of the day are those the crew drives by."""
    view = eastern.office.week(MONDAY)
    day, visit = next((day.day, visit) for day in view.days for visit in day.visits)
    page = " ".join(eastern.office.day_plan_text(day, visit.crew).split())
    assert f"HOUSE 1 {visit.start:%H:%M}–{visit.end:%H:%M}" in page
    assert "Clock there: New York time, 1 h ahead of the shop's; hours without a name are the shop's" in page


def test_a_notice_is_in_the_houses_hours_and_says_whose_they_are(eastern: Shop) -> None:
    """The customer reads the clock on their own wall."""
    notice = eastern.office.notice(4)
    assert "All hours on this page are New York time, but for when it was printed" in notice.house
    first = eastern.office.week(MONDAY).days
    visit = next(visit for day in first for visit in day.visits)
    assert notice.days[0].start == time(visit.start.hour + 1, visit.start.minute)
    assert all(NEW_YORK in toilet.out for toilet in notice.toilets)
    assert notice.toilets


def test_what_is_typed_for_the_house_is_by_its_clock_and_told_so(eastern: Shop) -> None:
    """A reading typed as of 6:15 is the house's 6:15, which the shop's clock calls 5:15."""
    said = eastern.office.read_air(4, ["68F", "45%"], at="2026-03-02 06:15").sentence
    assert "Mon 2 Mar 06:15 New York time" in said


def test_where_the_shops_clock_shows_the_same_nothing_is_said(empty_shop: Shop) -> None:
    """Another name for the same hours is no other clock."""
    shop = house(empty_shop, GLUED.replace("drive_min = 15", 'drive_min = 15\nzone = "America/Menominee"'), RENTED)
    assert shop.office.week(MONDAY).clocks == ""
    assert not any("Menominee" in one for one in shop.office.week(MONDAY).warnings)
    assert not any("Clock there" in line for line in shop.office.job(4).site_lines)


def test_whose_clock_it_is_is_judged_by_the_hour_that_is_told(empty_shop: Shop) -> None:
    """Saskatchewan keeps standard time (UTC-6 all year): the clocks of the shop go forward on 8 March and part from it."""
    shop = house(empty_shop, GLUED.replace("drive_min = 15", 'drive_min = 15\nzone = "America/Regina"'), RENTED)
    view = shop.office.week(MONDAY)
    day, visit = next((day.day, visit) for day in view.days for visit in day.visits)
    assert view.clocks == ""
    assert "Clock there" not in shop.office.day_plan_text(day, visit.crew)
    shop.office.plan_visit(4, "site-check", at="2026-03-09 10:00", who="Ines", leaves_crew=True)
    assert shop.office.week(MONDAY + timedelta(days=7)).clocks.startswith("Job 4: Regina time, 1 h behind the shop's.")
    assert "All hours on this page are Regina time, but for when it was printed" in shop.office.notice(4).house
