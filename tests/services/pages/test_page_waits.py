"""What a crew's page says of waits that end on its day, beside what the week sheet has in its column."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from crewjobs.services.clock import FixedClock
from crewjobs.services.demonstration.demo import demo_office
from crewjobs.services.office import Office
from crewjobs.services.pages.sheets import day_plans
from crewjobs.services.pages.week_sheet import week_sheet
from crewjobs.storage.database import open_database
from tests.builders import central

MONDAY = date(2026, 3, 2)
LAYS = ((27, "2026-03-03 15:00"), (30, "2026-03-03 17:00"))


def page_of(office, day: date, crew: str):
    with office._database.reading() as uow:
        (page,) = day_plans(uow, office._catalogue(uow), office._clock.now(), day, crew, lead_copy=False, paper="")
    return page


def told_ends(office, day: date, crew: str) -> set[tuple[str, int]]:
    """Return the hours and jobs of a page's waits, those within a day's work and readings that are a visit's task left out."""
    page = page_of(office, day, crew)
    found = set()
    for wait in page.waits:
        read = wait.kind == "reading" and wait.house is not None
        if not read and not wait.what.startswith("Patch dries"):
            job = re.match(r"Job (\d+), ", wait.place)
            number = page.houses[wait.house - 1].job if wait.house is not None else int(job[1] if job else 0)
            found.add((f"{wait.at:%H:%M}", number))
    return found


def column_ends(office, day: date, crew: str) -> set[tuple[str, int]]:
    """Return the hours and jobs of the waits that end in a crew's column of the week sheet."""
    with office._database.reading() as uow:
        sheet = week_sheet(uow, office._clock.now(), day)
    column = next(one for one in sheet.columns if one.crew == crew)
    cell = column.days[sheet.days.index(day)]
    return {(f"{wait.ends:%H:%M}", wait.job) for wait in cell.waits if wait.ends is not None}


@pytest.mark.parametrize("crew", ["Birch", "Cedar", "Rowan"])
def test_a_page_names_the_waits_of_its_crew_as_the_week_sheet_does(crew, demo_made):
    """Whether the crew is sent to their house that day or not."""
    office = demo_office(demo_made)
    days = [MONDAY + timedelta(days=n) for n in (*range(5), *range(7, 12))]
    ends = {day: column_ends(office, day, crew) for day in days}
    assert any(ends.values())
    assert {day: told_ends(office, day, crew) for day in days} == ends


def test_a_wait_at_a_house_not_visited_that_day_says_which_job(demo_made):
    """Leveler of Monday at job 4, where Birch is on Tuesday; the plumber of Thursday at job 3: what is promised is nobody's word yet."""
    office = demo_office(demo_made)
    birch, cedar = page_of(office, MONDAY, "Birch"), page_of(office, date(2026, 3, 5), "Cedar")
    assert [house.job for house in birch.houses] == [11]
    (cure,) = [wait for wait in birch.waits if wait.house is None]
    assert (f"{cure.at:%H:%M}", cure.what) == ("15:30", "Leveler cures: hours over")
    assert "77 Ferry Road" in cure.place
    assert cure.place.endswith(": family room")
    (plumber,) = [wait for wait in cedar.waits if wait.house is None]
    assert plumber.what == "Plumber: gas line of the range shut and capped, promised"
    assert "seen it done" in plumber.check
    text = office.day_plan_text(MONDAY, "Birch")
    assert "15:30  Leveler cures: hours over. Job 4, " in text
    assert text.count("15:30") == 1, "it has no place in the crew's own day"


def test_waits_that_begin_with_a_tick_are_on_the_page_of_the_day_they_end(demo_file):
    """Two rooms ticked at other hours than planned: the crew's page has both ends on the next day, wherever it is sent then."""
    office = Office(open_database(demo_file, create=False), FixedClock(central("2026-03-03", "17:30")), who="tester")
    for task, at in LAYS:
        office.tick(4, [task], at=at, because="laid all the same")
    glue = [wait for wait in page_of(office, date(2026, 3, 4), "Birch").waits if wait.what.startswith("Glue sets")]
    assert [f"{wait.at:%H:%M}" for wait in glue] == ["15:00", "17:00"]
    assert {("15:00", 4), ("17:00", 4)} <= column_ends(office, date(2026, 3, 4), "Birch")
