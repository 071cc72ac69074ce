"""One of the crew leaves for a small visit in the middle of the day's work: the plan works with two meanwhile."""

from __future__ import annotations

from datetime import timedelta

from crewjobs.domain.wall import to_wall
from crewjobs.services.pages.sheets import day_plans
from tests.builders import CENTRAL
from tests.services.conftest import JOB, SHOP, Shop, kept

OTHER = JOB.replace("number = 4", "number = 5").replace("Den, Quarry Road", "Study, Mill Street")


def make_shop(shop: Shop) -> None:
    """The den is planned with all three of Birch; the study is only to be looked at."""
    files = {
        "shop.toml": SHOP,
        "den.toml": JOB,
        "study.toml": OTHER.replace("number = 5", 'number = 5\nstate = "asked"'),
    }
    shop.office.load([shop.file(name, text) for name, text in files.items()])
    shop.ready()
    shop.office.arrived(4, "gray plank", 9, in_rooms=True, at="2026-03-02 06:10")
    shop.office.check_lot(4, "gray plank", "A", 9)
    shop.office.plan()


shop = kept(make_shop)


def placements(shop: Shop):
    with shop.office._database.reading() as uow:
        return [p for p in uow.latest_plan().placements if p.key.job == 4]


def test_the_plan_counts_two_while_the_third_is_away(shop):
    """Whatever is planned across the visit is planned with two people, all else with three, and its page lays nothing
    of that work on the one who left.
    """
    longest = max(placements(shop), key=lambda p: p.end - p.start)
    assert longest.people == 3
    leaves = longest.start + timedelta(minutes=30)
    at = to_wall(CENTRAL, leaves)
    shop.office.plan_visit(
        5, "measuring", at=f"{at:%Y-%m-%d %H:%M}", who="Tobiah Lund", minutes=60, because="stairs", leaves_crew=True
    )
    shop.office.plan()
    back = leaves + timedelta(minutes=60)
    across = [p for p in placements(shop) if p.start < back and leaves < p.end]
    assert across
    assert {p.people for p in across} == {2}
    assert {p.people for p in placements(shop) if p not in across} == {3}
    with shop.office._database.reading() as uow:
        (page,) = day_plans(
            uow, shop.office._catalogue(uow), shop.office._clock.now(), at.date(), "Birch", lead_copy=False, paper=""
        )
    tobiah = next(person for person in page.people if person.name == "Tobiah Lund")
    numbers = {number for p in across for number in p.tasks}
    lines = [line for house in page.houses for line in house.tasks if line.task in numbers]
    assert lines
    assert all(line.initials and tobiah.initials not in line.initials for line in lines)
