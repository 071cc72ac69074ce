"""A toilet in a room that is closed off for lead paint: nobody who lives there gets to it until the dust check."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.services.weeks.lead_closed import closed_at, closed_from
from tests.builders import CENTRAL
from tests.journeys.test_lead_paint_and_the_card import CARD_SHOP, HOUSE
from tests.services.conftest import Shop

BATH = HOUSE.replace('name = "parlor"', 'name = "bath"\nfixtures = { toilet = 1 }').replace('"parlor"', '"bath"')
ALL_PAINTED = BATH.replace('trim = "none"\npainted_trim = false', 'trim = "new base"\npainted_trim = true')
MONDAY = date(2026, 3, 2)
TWO = ALL_PAINTED.replace('name = "study"', 'name = "study"\nfixtures = { toilet = 1 }')


def lived_in(text: str, meanwhile: str = "") -> str:
    """Return the house with people in it, and what they use meanwhile."""
    agreed = f'\ntoilet_meanwhile = "{meanwhile}"' if meanwhile else ""
    return text.replace("drive_min = 15", f"drive_min = 15\noccupied = true{agreed}")


def house(shop: Shop, text: str) -> Shop:
    shop.office.load([shop.file("shop.toml", CARD_SHOP), shop.file("cooper.toml", text)])
    shop.ready()
    shop.office.arrived(4, "gray plank", 32, in_rooms=True)
    shop.office.plan()
    return shop


def said(shop: Shop) -> str:
    week = shop.office.week(MONDAY)
    return " ".join([*week.warnings, *(left.why for left in week.left_out)])


@pytest.mark.parametrize(
    ("text", "which"), [(ALL_PAINTED, "the only toilet"), (TWO, "every toilet that is listed")], ids=["one", "two"]
)
def test_without_another_toilet_a_house_closed_for_days_has_no_day(empty_shop, text, which):
    """The rule of the only toilet out over night: from the closing off to the dust check, not from its taking out to its putting back."""
    shop = house(empty_shop, lived_in(text))
    assert f"{which} would be out over night" in said(shop)
    (crew,) = [line for line in shop.office.job(4).site_lines if line.startswith("Toilet for the crew")]
    assert "closed off for lead paint" in crew
    assert "one after the other" not in crew


def test_with_another_toilet_the_days_are_told_whole(empty_shop):
    """Where something is agreed for meanwhile the work has its days, and the warning tells them all, with why."""
    shop = house(empty_shop, lived_in(ALL_PAINTED, "a rented toilet in the yard"))
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    record = shop.record()
    check, closing = shop.number_of("lead-clean-check"), shop.number_of("lead-close-off", "bath")
    out = next(p.start for p in plan.placements if closing in p.tasks)
    checked = next(p.end for p in plan.placements if check in p.tasks)
    back = max(p.end for p in plan.placements if {check, shop.number_of("toilet-back")} & set(p.tasks))
    assert "out over night" not in said(shop)
    (warning,) = [one for one in shop.office.week(MONDAY).warnings if "toilet" in one]
    assert "bath closed off for lead paint until the dust check has passed" in warning
    assert "a rented toilet in the yard" in warning
    (toilet,) = shop.office.notice(4).toilets
    assert toilet.out == f"about {moment_words(to_wall(CENTRAL, out))}"
    assert toilet.back == f"about {moment_words(to_wall(CENTRAL, back))}"
    assert "a rented toilet in the yard" in toilet.meanwhile
    assert to_wall(CENTRAL, out).date() < to_wall(CENTRAL, back).date()
    times = {n: (p.start, p.end) for p in plan.placements for n in p.tasks}
    assert "bath" in closed_at(record, times, out)
    assert closed_at(record, times, checked) == []
    assert closed_from(record, {}) == {}
