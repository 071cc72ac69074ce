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


TWO_BATHS = BATH.replace(
    "[[opening]]",
    """[[room]]
name = "upper bath"
length = "7 ft"
width = "6 ft"
floor = "slate plank"
trim = "none"
fixtures = { toilet = 1 }

[[opening]]
between = ["upper bath", "outside"]
width = "28 in"
door = false

[[opening]]""",
    1,
).replace("cartons = 2", "cartons = 4")


def spans(shop: Shop) -> dict[str, tuple]:
    """Return for each bath when its toilet goes out and when it is back, in the plan in force."""
    tasks = {(t.key.template, t.where): t.number for t in shop.record(6).tasks}
    plan = planned(shop)
    where = {number: p for p in plan.placements for number in p.tasks}
    rooms = [room for template, room in tasks if template == "toilet-out"]
    return {
        room: (where[tasks["toilet-out", room]].start, where[tasks["toilet-back", room]].end)
        for room in rooms
        if tasks["toilet-out", room] in where
    }


def test_of_two_baths_one_is_in_over_every_night(empty_shop):
    """Two baths, both glued: both are planned, the second toilet goes out after the first is back, nobody is warned."""
    empty_shop.office.load(
        [
            empty_shop.file("shop.toml", SHOP),
            empty_shop.file("baths.toml", TWO_BATHS.replace("KIND", "glue-down vinyl")),
        ]
    )
    empty_shop.office.plan()
    assert planned(empty_shop).left_out == ()
    (first_out, first_back), (second_out, second_back) = sorted(spans(empty_shop).values())
    assert first_out < first_back <= second_out < second_back
    for day in {to_wall(CENTRAL, moment).date() for moment in (first_out, second_out, second_back)}:
        assert empty_shop.office.week(day).warnings == ()


def test_two_toilets_in_one_room_are_out_together(empty_shop):
    """Both stand in the one room that is glued: as with one toilet, the bath is left out with the ways there are."""
    text = BATH.replace("KIND", "glue-down vinyl").replace("{ toilet = 1 }", "{ toilet = 2 }")
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("bath.toml", text)])
    empty_shop.office.plan()
    assert planned(empty_shop).placements == ()
    assert "a rented toilet" in planned(empty_shop).left_out[0].why


def test_both_baths_out_over_a_night_is_said_where_it_was_arranged(empty_shop):
    """With a rented toilet both may be out together; where they are, the week says so with what was arranged."""
    text = TWO_BATHS.replace("KIND", "glue-down vinyl").replace(
        "year_built = 1994", 'year_built = 1994\ntoilet_meanwhile = "rented toilet in the drive"'
    )
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("baths.toml", text)])
    empty_shop.office.plan()
    (one_out, one_back), (other_out, other_back) = spans(empty_shop).values()
    out, back = max(one_out, other_out), min(one_back, other_back)
    assert to_wall(CENTRAL, out).date() < to_wall(CENTRAL, back).date()
    (said,) = empty_shop.office.week(to_wall(CENTRAL, out).date()).warnings
    assert "all toilets listed are out from" in said
    assert said.endswith("meanwhile: rented toilet in the drive.")
