"""No page and no screen tells the crew to run the fan in a house whose air handler stays off for what was found there."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.jobs.known import PROTECTION_UP
from crewjobs.services.office import Office
from crewjobs.services.pages.page import _cautions
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database

TUESDAY, THURSDAY = date(2026, 3, 3), date(2026, 3, 5)


@pytest.fixture
def demo(demo_file) -> Office:
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester")


def told(text: str) -> str:
    return " ".join(text.split())


def test_a_page_whose_only_house_has_its_air_off_says_nothing_of_fan_on(demo):
    """No note, no caution and no title of a task that is still open; settled, the page says them again."""
    before = {day: told(demo.day_plan_text(day, "Rowan")) for day in (TUESDAY, THURSDAY)}
    assert "plastic off and fan on again every evening" in before[TUESDAY]
    assert "plastic off the grille, then fan on; tools" in before[THURSDAY]
    demo.found(2, "bath", "suspect asbestos")
    for day in (TUESDAY, THURSDAY):
        page = told(demo.day_plan_text(day, "Rowan"))
        assert "job 2" in page
        assert "air handler stays off" in page
        assert "fan on" not in page
    demo.way_on(2, "bath", "suspect asbestos", "proven clear", laboratory="Bay", sampled="2026-03-02", sample="K-1")
    page = told(demo.day_plan_text(TUESDAY, "Rowan"))
    assert "plastic off and fan on again every evening" in page
    assert "Afterwards plastic off first, then fan on" in page


def test_job_page_and_site_say_as_little(demo):
    """Cautions, notes and titles of both, which had them before."""

    def said() -> list[str]:
        page = demo.job(2)
        site = [row for house in demo.site_day("Rowan", THURSDAY).houses for row in house.tasks]
        words = [*page.cautions, *(word for row in page.tasks for word in (row.title, *row.cautions, *row.notes))]
        return [*words, *(word for row in site for word in (row.title, *row.cautions))]

    assert len([one for one in said() if "fan on" in one]) > 5
    demo.found(2, "bath", "suspect asbestos")
    assert not [one for one in said() if "fan on" in one]


def test_ticking_what_names_the_fan_says_that_it_stays_off(demo):
    """The task keeps its title in the record; its answer says what is so. It is the one task that has another title meanwhile."""
    with demo._database.reading() as uow:
        templates = demo._catalogue(uow).templates
    assert [one.key for one in templates if one.air_off_title] == [PROTECTION_UP]
    [number] = [row.number for row in demo.job(2).tasks if row.title.startswith("Protection up")]
    demo.found(2, "bath", "suspect asbestos")
    said = demo.tick(2, [number], because="taken up to leave").then
    assert any(one.startswith("The air handler stays off") for one in said)


def test_the_caution_names_the_houses_that_still_need_it(demo):
    """Said for all houses of a page it names none; where one of them has its air off, each of the others."""

    def fan() -> tuple[int, ...]:
        with demo._database.reading() as uow:
            found, catalogue = planned(uow), demo._catalogue(uow)
        day = [*found.day("Cedar", TUESDAY), *found.day("Rowan", TUESDAY), *found.day("Birch", THURSDAY)[:1]]
        assert [stretch.record.job.number for stretch in day] == [1, 2, 4]
        (caution,) = [one for one in _cautions(found, day, catalogue, DEMO_NOW) if "then fan on" in one.text]
        return caution.houses

    assert fan() == ()
    demo.found(1, "living", "suspect asbestos")
    assert fan() == (2, 3)
