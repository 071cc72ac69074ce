"""A house of 1955 with one painted room; the only person with the card is out: that room stops, the others go on."""

from __future__ import annotations

from datetime import date

from crewjobs.domain.wall import to_wall
from tests.builders import CENTRAL
from tests.services.conftest import SHOP, Shop, kept

HOUSE = """
number = 4
title = "Three rooms, Cooper Lane"
promised = 2026-03-13
wished = 2026-03-04

[customer]
name = "Ferenc Albright"

[site]
address = "14 Cooper Lane, Marrow Bend"
year_built = 1955
drive_min = 15

[[room]]
name = "parlor"
length = "14 ft"
width = "12 ft"
layers = ["carpet"]
floor = "gray plank"
painted_trim = true

[[room]]
name = "study"
length = "20 ft"
width = "12 ft"
layers = ["carpet"]
floor = "gray plank"
trim = "none"
painted_trim = false

[[room]]
name = "den"
length = "20 ft"
width = "14 ft"
layers = ["carpet"]
floor = "gray plank"
trim = "none"
painted_trim = false

[[opening]]
between = ["parlor", "study"]
width = "36 in"

[[opening]]
between = ["den", "study"]
width = "36 in"

[[material]]
name = "gray plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 32
ordered = 2026-02-10
"""
CARD_SHOP = SHOP.replace('"Ines Varga"', '{ name = "Ines Varga", cards = ["lead-safe renovator"] }').replace(
    'lays = ["floating", "nailed", "stairs"]', 'lays = ["nailed", "stairs"]'
)
WEDNESDAY, THURSDAY, FRIDAY = date(2026, 3, 4), date(2026, 3, 5), date(2026, 3, 6)


def make_shop(shop: Shop) -> None:
    """Planned from Wednesday on; Wednesday 6:15 the person with the card calls in sick, and it is planned again."""
    shop.office.load([shop.file("shop.toml", CARD_SHOP), shop.file("cooper.toml", HOUSE)])
    shop.ready()
    shop.office.arrived(4, "gray plank", 32, in_rooms=True)
    shop.office.plan()
    assert on(shop, WEDNESDAY)
    shop.clock.set("2026-03-04", "06:15")
    shop.office.away("Ines", WEDNESDAY, because="sick")
    shop.office.plan()


shop = kept(make_shop)


def on(shop: Shop, day: date) -> set[tuple[str, str]]:
    """Return the templates and places the plan works on during a day."""
    record = shop.record()
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    return {
        (record.task(number).key.template, record.task(number).where)
        for p in plan.placements
        if to_wall(CENTRAL, p.start).date() <= day <= to_wall(CENTRAL, p.end).date()
        for number in p.tasks
    }


def test_the_painted_room_stops_and_the_others_go_on(shop):
    """Wednesday the carpets of study and den come out; nothing of the painted room is touched before Thursday."""
    wednesday = on(shop, WEDNESDAY)
    assert {("carpet-out", "study"), ("carpet-out", "den")} <= wednesday
    touched = {template for template, where in wednesday if where == "parlor"}
    assert touched == set()
    assert ("lead-close-off", "parlor") in on(shop, THURSDAY)


def test_plan_and_offers_say_the_same(shop):
    """What is offered to the crew that morning is what the plan gives it."""
    (offer,) = [row for row in shop.office.offers("Birch") if row.job == 4]
    record = shop.record()
    offered = {(record.task(number).key.template, record.task(number).where) for number in offer.tasks}
    assert {entry for entry in offered if entry[0] == "carpet-out"} == {
        entry for entry in on(shop, WEDNESDAY) if entry[0] == "carpet-out"
    }


def test_casings_that_are_not_painted_ask_no_card(shop):
    """Between study and den, both said to be bare, anybody undercuts the jambs; between parlor and study the card is
    asked; the papers and the dust check of the old house stay.
    """
    tasks = shop.record().tasks
    cards = {task.where: task.card for task in tasks if task.key.template == "undercut-jambs"}
    assert cards == {"parlor / study": "lead-safe renovator", "den / study": ""}
    assert {"lead-papers", "lead-clean-check"} <= {task.key.template for task in tasks}


def test_an_absence_on_another_day_changes_nothing(empty_shop):
    """The person with the card is out on a day on which nothing is planned there: the plan stays to the minute."""
    shop = empty_shop
    shop.office.load([shop.file("shop.toml", CARD_SHOP), shop.file("cooper.toml", HOUSE)])
    shop.ready()
    shop.office.arrived(4, "gray plank", 32, in_rooms=True)
    shop.office.plan()

    def placed() -> list[tuple]:
        with shop.office._database.reading() as uow:
            return [(p.tasks, p.crew, p.start, p.end) for p in uow.latest_plan().placements]

    before = placed()
    shop.office.away("Ines", date(2026, 3, 18), because="school")
    shop.office.plan()
    assert placed() == before


def test_carded_work_done_without_the_card_is_recorded_and_said(shop):
    """Ticked on the day its only holder is out, the fact is kept, and the sentence says what is to be settled; ticked
    the day after, when she is back, nothing is said.
    """
    close_off = shop.number_of("lead-close-off")
    done = shop.office.tick(4, [close_off], because="it had to be")
    (said,) = [words for words in done.then if "asks the card lead-safe renovator" in words]
    assert "nobody at work on Wed 4 Mar holds it" in said
    shop.office.undo()
    shop.clock.set("2026-03-05", "09:00")
    assert not any("asks the card" in words for words in shop.office.tick(4, [close_off], because="x").then)
