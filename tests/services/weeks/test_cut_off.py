"""A toilet one comes to only through rooms nobody walks in over a night: closed off for lead paint, or with a floor that sets."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from tests.builders import CENTRAL
from tests.journeys.test_lead_paint_and_the_card import CARD_SHOP
from tests.services.conftest import Shop

HOUSE = """
number = 4
title = "Old flat"

[customer]
name = "Teo Halloran"

[site]
address = "4 Mill Row, Marrow Bend"
year_built = 1950
drive_min = 15

[[room]]
name = "bath"
length = "8 ft"
width = "6 ft"
layers = []
subfloor = "plywood"
fixtures = { toilet = 1 }

[[room]]
name = "hall"
length = "12 ft"
width = "4 ft"
layers = ["carpet"]
subfloor = "plywood"
floor = "gray plank"
trim = "reuse base"

[[room]]
name = "bedroom"
length = "12 ft"
width = "11 ft"
layers = ["carpet"]
subfloor = "plywood"
floor = "gray plank"
trim = "reuse base"

[[opening]]
between = ["hall", "outside"]
width = "36 in"

[[opening]]
between = ["hall", "bath"]
width = "30 in"

[[opening]]
between = ["hall", "bedroom"]
width = "30 in"

[[material]]
name = "gray plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 14
ordered = 2026-02-23
"""
NEW = HOUSE.replace("year_built = 1950", "year_built = 1999")
GLUED = NEW.replace("click vinyl", "glue-down vinyl")
SECOND_DOOR = '\n[[opening]]\nbetween = ["bath", "outside"]\nwidth = "30 in"\n'
RENTED = "a rented toilet in the yard"
MONDAY = date(2026, 3, 2)


def house(shop: Shop, text: str, meanwhile: str = "", cartons: int = 14) -> Shop:
    agreed = f'\ntoilet_meanwhile = "{meanwhile}"' if meanwhile else ""
    text = text.replace("drive_min = 15", f"drive_min = 15\noccupied = true{agreed}")
    shop.office.load([shop.file("shop.toml", CARD_SHOP), shop.file("flat.toml", text)])
    shop.ready()
    shop.office.arrived(4, "gray plank", cartons, in_rooms=True)
    shop.office.plan()
    return shop


def span(shop: Shop, template: str, where: str | None = None) -> tuple[str, str]:
    """Return when a task's block is worked by the plan, in words."""
    number = shop.number_of(template, where)
    with shop.office._database.reading() as uow:
        placed = next(p for p in uow.latest_plan().placements if number in p.tasks)
    return moment_words(to_wall(CENTRAL, placed.start)), moment_words(to_wall(CENTRAL, placed.end))


def agree(shop: Shop) -> list[str]:
    return [one for one in shop.office.week(MONDAY).warnings if "toilet" in one]


def crew_line(shop: Shop) -> str:
    (line,) = [line for line in shop.office.job(4).site_lines if line.startswith("Toilet for the crew")]
    return line


def test_a_toilet_behind_a_hall_closed_for_lead_paint_is_out_until_the_check(empty_shop):
    """Nobody takes it out; notice, week, job's page and day plan say so, with the way to it and what is used meanwhile."""
    shop = house(empty_shop, HOUSE, RENTED)
    start, (_, end) = span(shop, "lead-close-off", "hall")[0], span(shop, "lead-clean-check")
    notice = shop.office.notice(4)
    (toilet,) = notice.toilets
    assert (toilet.room, toilet.out, toilet.back) == ("bath", f"about {start}", f"about {end}")
    assert toilet.meanwhile == f"You get there only through hall, closed off for lead paint. Meanwhile: {RENTED}."
    (bath,) = [one for one in notice.out if one.room == "bath"]
    assert "only through hall closed off for lead paint" in bath.walk
    (warning,) = agree(shop)
    assert "the only toilet listed is cut off from" in warning
    assert "hall closed off for lead paint until the dust check has passed, the only way to bath" in warning
    assert warning.endswith(f"meanwhile: {RENTED}.")
    assert "hall closed off for lead paint, the only way to bath" in crew_line(shop)
    with shop.office._database.reading() as uow:
        first = next(p for p in uow.latest_plan().placements)
    page = shop.office.day_plan_text(to_wall(CENTRAL, first.start).date(), first.crew)
    assert f"the only way to bath): {RENTED}" in " ".join(page.split())


def test_without_another_toilet_such_a_house_has_no_day(empty_shop):
    """As where the toilet's own room is closed off: the why names the way to it, and the customer reads what is asked of them."""
    shop = house(empty_shop, HOUSE)
    (left,) = shop.office.week(MONDAY).left_out
    assert (
        "the only toilet would be out over night: hall closed off for lead paint, the only way to bath; a rented"
        in left.why
    )
    assert (
        "has no day yet: a rented toilet or nights away are first to be agreed with you" in shop.office.notice(4).no_day
    )


def test_one_of_two_toilets_behind_the_other_closed_room_does_not_stay(empty_shop):
    """The bath is worked and closed off, the half bath lies behind the bedroom: neither is said to stay."""
    text = HOUSE.replace("layers = []", 'layers = ["carpet"]\nfloor = "gray plank"\ntrim = "reuse base"') + (
        '\n[[room]]\nname = "half bath"\nlength = "6 ft"\nwidth = "5 ft"\nsubfloor = "plywood"\nlayers = []\n'
        'fixtures = { toilet = 1 }\n\n[[opening]]\nbetween = ["bedroom", "half bath"]\nwidth = "28 in"\n'
    )
    shop = house(empty_shop, text, RENTED)
    notice = shop.office.notice(4)
    assert [one.room for one in notice.toilets] == ["bath", "half bath"]
    assert all(one.meanwhile.endswith(f"Meanwhile: {RENTED}.") for one in notice.toilets)
    assert "half bath" in [one.room for one in notice.out]
    (warning,) = agree(shop)
    assert "all toilets listed are out from" in warning


def test_a_hall_that_ticks_have_closed_off_cuts_the_toilet_off(empty_shop):
    """By then nothing of a toilet is ticked, and it is out all the same; without another one the lead reads so, and no plan is stopped."""
    shop = house(empty_shop, HOUSE)
    record = shop.record()
    closings = [task.number for task in record.tasks if task.key.template == "lead-close-off"]
    begun = [task.number for task in record.tasks if task.number < min(closings) and task.key.template != "carry-in"]
    shop.clock.set("2026-03-03", "09:00")
    shop.office.tick(4, [*begun, *closings], at="2026-03-03 08:30", because="done by hand")
    shop.office.plan()
    assert shop.office.week(MONDAY).left_out == ()
    (toilet,) = shop.office.notice(4).toilets
    assert (toilet.room, toilet.out) == ("bath", "already")
    assert "Meanwhile: nothing is agreed with you yet. Please call us at once: a rented toilet" in toilet.meanwhile
    (warning,) = agree(shop)
    assert "is cut off from Tue 3 Mar 08:30 to" in warning
    assert "agree now" in warning
    assert "another is agreed before" in crew_line(shop)


@pytest.mark.parametrize("year", ["1950", "1999"])
def test_another_way_to_the_toilet_leaves_it_in_use(empty_shop, year):
    """With a door of its own nothing is cut off: nobody is told of a toilet."""
    shop = house(empty_shop, HOUSE.replace("1950", year).replace("click", "glue-down") + SECOND_DOOR)
    assert shop.office.week(MONDAY).left_out == ()
    assert agree(shop) == []
    assert shop.office.notice(4).toilets == ()
    assert crew_line(shop).endswith("in the house, ask first")


def test_while_the_floor_of_the_hall_sets_nobody_comes_to_the_toilet(empty_shop):
    """A day's cure: from when the hall is laid until it may be walked on, by the same instant as the hall itself."""
    shop = house(empty_shop, GLUED)
    notice = shop.office.notice(4)
    (toilet,) = notice.toilets
    (hall,) = [one for one in notice.out if one.room == "hall"]
    assert toilet.out.startswith("of use from about")
    assert toilet.back.removeprefix("about ") in hall.walk
    assert "You get there only through hall, where the floor sets over night" in toilet.meanwhile
    assert "another toilet in the house stays" not in toilet.meanwhile
    (warning,) = agree(shop)
    assert "the only way to bath is through hall, where the floor sets over night" in warning
    assert "are for the lead and the customer to agree now" in warning
    assert "not while the floor sets in hall, the only way to bath: another is agreed before" in crew_line(shop)


def test_a_hall_laid_within_a_day_cuts_nothing_off(empty_shop):
    """Boards that click are walked on in the evening: people are let through while the crew works there by day."""
    text = NEW.replace('floor = "gray plank"\ntrim = "reuse base"\n\n[[opening]]', "\n[[opening]]")
    shop = house(empty_shop, text)
    assert span(shop, "lay-click-vinyl")[0].split()[:3] == span(shop, "lay-click-vinyl")[1].split()[:3]
    assert agree(shop) == []
    assert shop.office.notice(4).toilets == ()
    assert [one.room for one in shop.office.notice(4).out] == ["hall"]


def test_a_hall_half_laid_over_a_night_is_the_crews_to_say(empty_shop):
    """Boards that click lie half laid: nobody is told that the toilet is out for sure, and of no other room."""
    text = NEW.replace('length = "12 ft"\nwidth = "4 ft"', 'length = "40 ft"\nwidth = "28 ft"').replace(
        "cartons = 14", "cartons = 70"
    )
    shop = house(empty_shop, text, cartons=70)
    (toilet,) = shop.office.notice(4).toilets
    assert (
        "hall, half laid over night. Meanwhile: the crew says each evening whether you may go through"
        in toilet.meanwhile
    )
    assert "bath" not in [one.room for one in shop.office.notice(4).out]
    (warning,) = agree(shop)
    assert "whether people may go through, the crew says each evening" in warning
    assert crew_line(shop).endswith("in the house, ask first")
