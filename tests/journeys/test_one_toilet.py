"""A house people live in, with one toilet: it is back on the day it comes out, or something else was arranged."""

from __future__ import annotations

import pytest

from crewjobs.domain.wall import to_wall
from tests.builders import CENTRAL
from tests.services.conftest import SHOP, Shop

BATH = """
number = 6
title = "Bath, Cooper Lane"
promised = 2026-03-20

[customer]
name = "Ferenc Albright"

[site]
address = "14 Cooper Lane, Marrow Bend"
year_built = 1994

[[room]]
name = "bath"
length = "8 ft"
width = "5 ft"
floor = "slate plank"
trim = "none"
fixtures = { toilet = 1 }

[[opening]]
between = ["bath", "outside"]
width = "28 in"
door = false

[[material]]
name = "slate plank"
kind = "KIND"
plank = "6 in x 36 in"
carton = "24 ft2"

[[order]]
material = "slate plank"
cartons = 2
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""


def bath(shop: Shop, kind: str, **site: str) -> Shop:
    text = BATH.replace("KIND", kind)
    for key, value in site.items():
        text = text.replace("year_built = 1994", f"year_built = 1994\n{key} = {value}")
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("bath.toml", text)])
    shop.office.plan()
    return shop


def planned(shop: Shop):
    with shop.office._database.reading() as uow:
        return uow.latest_plan()


def day_of(shop: Shop, template: str, *, last: bool = False):
    task = shop.number_of(template, job=6)
    found = next(p for p in planned(shop).placements if task in p.tasks)
    return to_wall(CENTRAL, found.end if last else found.start).date()


def test_a_floor_that_cures_is_left_out_with_the_ways_there_are(empty_shop):
    """Glue that sets 24 h under the only toilet: no plan; the why names a click floor, a rented toilet, a night away."""
    plan = planned(bath(empty_shop, "glue-down vinyl"))
    assert plan.placements == ()
    why = plan.left_out[0].why
    assert "only toilet would be out over night" in why
    assert all(way in why for way in ("a click floor", "a rented toilet", "a night away"))


def test_a_click_floor_has_the_toilet_back_the_same_day(empty_shop):
    """The same bath with a floor that clicks is planned, and the toilet goes out and back on one day."""
    shop = bath(empty_shop, "click vinyl")
    assert planned(shop).left_out == ()
    assert day_of(shop, "toilet-out") == day_of(shop, "toilet-back", last=True)
    assert shop.office.week(day_of(shop, "toilet-out")).warnings == ()


def test_what_was_arranged_lets_it_stay_out_and_is_said(empty_shop):
    """With a rented toilet the cure is waited out over night; week and page say what people use meanwhile."""
    shop = bath(empty_shop, "glue-down vinyl", toilet_meanwhile='"rented toilet beside the garage"')
    assert planned(shop).left_out == ()
    assert day_of(shop, "toilet-out") < day_of(shop, "toilet-back", last=True)
    (said,) = shop.office.week(day_of(shop, "toilet-out")).warnings
    assert said.endswith("meanwhile: rented toilet beside the garage.")
    crew = planned(shop).placements[0].crew
    page = shop.office.day_plan_text(day_of(shop, "toilet-out"), crew)
    assert "rented toilet beside the garage" in " ".join(page.split())


@pytest.mark.parametrize("site", [{"occupied": "false"}])
def test_an_empty_house_needs_none(empty_shop, site):
    """Nobody lives there: the toilet may stay out."""
    assert planned(bath(empty_shop, "glue-down vinyl", **site)).left_out == ()
