"""A crew paid by the foot: planned by what it does in a day, and no hours are asked of it on its page."""

from __future__ import annotations

from datetime import date, timedelta

from crewjobs.domain.wall import to_wall
from crewjobs.services.pages.sheets import day_plans
from tests.builders import CENTRAL
from tests.services.conftest import JOB, SHOP, Shop

SUB = (
    SHOP.partition("[[crew]]")[0]
    + """
[[crew]]
name = "Hazel"
workers = ["Odile Marchetti", "Sander Voss"]
hours = { mon-fri = "7:00-12:00, 12:30-15:30" }
lays = ["floating"]
"""
)
BY_THE_FOOT = SUB + 'sub = { area = "AREA ft2" }\n'


def laying(shop: Shop, text: str):
    shop.office.load([shop.file("shop.toml", text), shop.file("den.toml", JOB)])
    shop.office.plan()
    number = next(t.number for t in shop.record().tasks if t.needs_material and t.unit.value == "ft²")
    with shop.office._database.reading() as uow:
        return next(p for p in uow.latest_plan().placements if number in p.tasks)


def test_a_day_of_a_sub_is_what_it_does_in_one(empty_shop):
    """A den of 178 ft² fills days of a sub that lays 60 ft² a day, and less than one of a sub that lays 400."""
    slow = laying(empty_shop, BY_THE_FOOT.replace("AREA", "60"))
    assert (to_wall(CENTRAL, slow.end).date() - to_wall(CENTRAL, slow.start).date()).days >= 2


def test_a_fast_sub_lays_the_den_in_a_day(empty_shop):
    """The same den is laid within 24 hours by the clock, a night in them, where the sub does 400 ft² a day."""
    fast = laying(empty_shop, BY_THE_FOOT.replace("AREA", "400"))
    assert fast.end - fast.start < timedelta(days=1)


def test_no_hours_are_asked_of_a_sub(empty_shop):
    """The page of a sub says when it is there, not people-hours; that of a crew with the same people says both."""
    placement = laying(empty_shop, BY_THE_FOOT.replace("AREA", "400"))
    day: date = to_wall(CENTRAL, placement.start).date()
    page = empty_shop.office.day_plan_text(day, "Hazel")
    assert "by the clock" in page
    assert "people-hours" not in page
    assert "Started" not in page
    assert "People" not in page


def test_hours_are_asked_of_a_crew(empty_shop):
    """The page of a crew of the same people that is no sub says people-hours."""
    placement = laying(empty_shop, SUB)
    page = empty_shop.office.day_plan_text(to_wall(CENTRAL, placement.start).date(), "Hazel")
    assert "people-hours" in page
    assert "Started ____" in page


def test_a_sub_s_day_is_told_by_the_quarter_hour(empty_shop):
    """No line, house or drive of a sub's page has a minute that its day's capacity cannot know."""
    placement = laying(empty_shop, BY_THE_FOOT.replace("AREA", "400"))
    day = to_wall(CENTRAL, placement.start).date()
    office = empty_shop.office
    with office._database.reading() as uow:
        (plan,) = day_plans(uow, office._catalogue(uow), office._clock.now(), day, "Hazel", lead_copy=False, paper="")
    times = [at for house in plan.houses for line in house.tasks for at in (line.at, line.until)]
    times += [at for house in plan.houses for at in (house.arrive, house.leave)]
    assert len(times) > 4
    assert {at.minute % 15 for at in times if at is not None} == {0}
    for view in office.week(day).days:
        assert {at.minute % 15 for visit in view.visits for at in (visit.start, visit.end)} <= {0}
