"""A plan made while a crew is at a house has the rest of its work there from then on: the crew is there since it came."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.files.evening_text import read_form
from crewjobs.services.clock import FixedClock
from crewjobs.services.office import Office
from crewjobs.services.rows import OfferRow, Visit
from crewjobs.services.weeks.at_house import AtHouse, at_house
from crewjobs.services.weeks.days_done import DaysDone
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database

MONDAY = date(2026, 3, 2)
ZONE = "America/Chicago"


def office_at(file: Path, clock: str) -> Office:
    hour, _, minute = clock.partition(":")
    moment = to_utc(ZONE, MONDAY, int(hour) * 60 + int(minute))
    return Office(open_database(file, create=False), FixedClock(moment), who="tester", follows=True)


@pytest.fixture
def mold(demo_file: Path) -> Path:
    """Birch came to job 11 at 07:15; what it finds at 10:40 stops the front room, and the back room goes on."""
    office_at(demo_file, "10:40").found(11, "front room", "mold", area="14 ft2")
    return demo_file


def visit(file: Path, clock: str, crew: str = "Birch", *, job: int | None = None) -> Visit:
    days = office_at(file, clock).week().days
    of_day = (one for day in days if day.day == MONDAY for one in day.visits)
    (one,) = (one for one in of_day if one.crew == crew and job in (None, one.job))
    return one


def there(file: Path, clock: str, crew: str = "Birch") -> AtHouse | None:
    hour, _, minute = clock.partition(":")
    now = to_utc(ZONE, MONDAY, int(hour) * 60 + int(minute))
    with open_database(file, create=False).reading() as uow:
        found = planned(uow)
        assert found is not None
        return at_house(found, DaysDone(uow, found, MONDAY, MONDAY, now), crew, now)


def offer(rows: tuple[OfferRow, ...], job: int) -> OfferRow:
    return next(row for row in rows if row.job == job)


@pytest.mark.parametrize("clock", ["10:42", "10:50", "12:45"])
def test_the_week_has_the_crew_at_the_house_since_it_came(mold: Path, clock: str) -> None:
    one = visit(mold, clock)
    assert (one.job, f"{one.start:%H:%M}", f"{one.end:%H:%M}") == (11, "07:15", "13:09")


def test_the_sheet_sends_nobody_back_to_the_shop(mold: Path) -> None:
    page = " ".join(office_at(mold, "10:50").day_plan_text(MONDAY, "Birch").split())
    assert "Start 07:00 shop" in page
    assert "07:00–07:15 Drive: Shop to House 1 07:15–13:09 House 1, job 11" in page
    assert "HOUSE 1 07:15–13:09 Job 11" in page
    assert "Hours: 5 h 54 min by the clock" in page


def test_offers_begin_at_the_house_the_crew_is_at(mold: Path) -> None:
    """Its own house is no drive away, and what was loaded in the morning is on the truck; another is reached from there."""
    rows = office_at(mold, "10:50").offers("Birch")
    own, other = offer(rows, 11), offer(rows, 1)
    assert f"{own.arrive:%H:%M}" == "11:00"
    assert own.fetch == ()
    assert "no drive, all it needs is on the truck" in own.why
    assert "30 min drive" in other.why


def test_before_it_leaves_and_after_it_is_back_a_crew_is_at_the_shop(mold: Path) -> None:
    assert there(mold, "07:10") is None
    assert there(mold, "13:20") is not None
    assert there(mold, "13:30") is None


def test_what_a_crew_records_says_where_it_is(demo_file: Path) -> None:
    """By the plan Birch is at job 11; it has begun something at job 4 since."""
    assert (at := there(demo_file, "09:00")) is not None
    assert at.job == 11
    office_at(demo_file, "09:10").start(4, 25, crew="Birch")
    assert (at := there(demo_file, "09:15")) is not None
    assert (at.job, f"{to_wall(ZONE, at.since):%H:%M}") == (4, "09:10")


def test_a_plan_made_before_the_crew_came_took_it_nowhere(demo_file: Path) -> None:
    """What was stopped at seven had nobody in it yet: the crew is not at that house."""
    office_at(demo_file, "07:00").found(11, "front room", "suspect asbestos")
    assert there(demo_file, "09:00") is None


def test_a_second_plan_drives_from_the_house_that_was_shut(demo_file: Path) -> None:
    """Cedar is at job 10 since 07:45, 10 minutes from the shop; job 12 is 20 from there, and the half hour counts from the next quarter."""
    office_at(demo_file, "08:00").found(10, "house", "live wire or pipe", by="Cedar")
    then = office_at(demo_file, "08:06")
    walk = offer(then.offers("Cedar"), 12)
    assert "30 min drive" in walk.why
    then.pin(12, [3, 4], "Cedar", MONDAY)
    assert f"{visit(demo_file, '08:07', 'Cedar', job=12).start:%H:%M}" == "08:45"
    page = " ".join(office_at(demo_file, "08:07").day_plan_text(MONDAY, "Cedar").split())
    assert "08:45–09:30 House 2, job 12" in page


def test_offers_wait_until_who_told_its_hours_is_back_at_the_shop(mold: Path) -> None:
    """Birch left job 11 at 10:55 and is back at 11:10, a quarter of an hour away; job 1 is as far."""
    evening = read_form("House 1, job 11\nStarted 07:15 Stopped 10:55\n", "sheet")
    office_at(mold, "11:00").evening("Birch", MONDAY, evening)
    one = offer(office_at(mold, "11:00").offers("Birch"), 1)
    assert "15 min drive, back at the shop 11:10" in one.why
    assert f"{one.arrive:%H:%M}" == "11:45"  # loaded 11:25, driven 11:40
    later = offer(office_at(mold, "11:15").offers("Birch"), 1)
    assert "15 min drive, by the shop" in later.why
    assert f"{later.arrive:%H:%M}" == "11:45"


def test_hours_told_at_a_house_say_that_the_crew_left_it(mold: Path) -> None:
    office = office_at(mold, "11:00")
    [house] = office.evening_sheet("Birch", MONDAY).houses
    assert house.job == 11
    office.evening("Birch", MONDAY, read_form("House 1, job 11\nStarted 07:15 Stopped 10:55\n", "sheet"))
    assert there(mold, "11:00") is None


def test_a_pin_that_changes_nothing_says_from_when_the_plan_has_it(demo_file: Path) -> None:
    """The slab test is Birch's from 09:45 that day; a pin of what is elsewhere says what moves instead."""
    office = office_at(demo_file, "06:50")
    stays = office.pin(11, [6], "Birch", MONDAY)
    assert (
        "The plan has it there already, Mon 2 Mar 09:45: a pin keeps the crew and the day, not the hour." in stays.then
    )
    moved = office.pin(12, [3, 4], "Rowan", date(2026, 3, 3))
    assert not any(words.startswith("The plan has it there already") for words in moved.then)
