"""Two lots and a late nose: the rooms go on from the lot that carries them, the stairs wait for what has not come."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.readiness.holds import cannot_be_planned, known_instants
from tests.builders import CENTRAL, central
from tests.services.conftest import SHOP, Shop

HOUSE = """
number = 8
title = "Living, hall and stairs, Tollgate Row"
promised = 2026-03-13

[customer]
name = "Wenda Ashgrove"

[site]
address = "3 Tollgate Row, Marrow Bend"
year_built = 2004

[[room]]
name = "living"
length = "28 ft"
width = "15 ft"
layers = ["carpet"]
floor = "harbor plank"

[[room]]
name = "hall"
length = "20 ft"
width = "5 ft"
layers = ["carpet"]
floor = "harbor plank"

[[opening]]
between = ["living", "hall"]
width = "5 ft"

[[stairs]]
name = "main stairs"
steps = 10
layers = ["carpet"]
floor = "harbor plank"

[[material]]
name = "harbor plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "harbor plank"
cartons = 26
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-03 10:00"

[[order]]
goods = "stair nose"
count = 10
place = "main stairs"
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-06 10:00"
"""
NOSE_DAY = "2026-03-18"
"""Twelve days after the 6th, for which it was promised first."""


@pytest.fixture
def shop(tmp_path) -> Shop:
    """The house is planned before the truck comes."""
    shop = Shop(tmp_path)
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("tollgate.toml", HOUSE)])
    shop.office.plan()
    return shop


def truck(shop: Shop) -> None:
    """Tuesday 10:00: 24 cartons of lot A, 2 of lot B, and word that the nose comes twelve days later."""
    shop.clock.set("2026-03-03", "10:00")
    shop.office.arrived(8, "harbor plank", 24, lot="A")
    shop.office.arrived(8, "harbor plank", 2, lot="B")
    shop.office.back_ordered(8, "stair nose", f"{NOSE_DAY} 10:00", "maker is out of it")


def check_and_carry_in(shop: Shop) -> None:
    """Both lots are counted and looked at, then everything before the rows is done."""
    shop.office.check_lot(8, "harbor plank", "A", 24)
    shop.office.check_lot(8, "harbor plank", "B", 2)
    record = shop.record(8)
    rows = {task.number for task in record.tasks if task.key.template == "lay-click-vinyl"}
    ahead, todo = set(), [*rows]
    while todo:
        number = todo.pop()
        for link in record.links:
            if link.after == number and link.before not in ahead | rows:
                ahead.add(link.before)
                todo.append(link.before)
    still = [task.number for task in record.tasks if task.number in ahead and task.open]
    shop.office.tick(8, still, because="set up by the test")


def rows_of(shop: Shop, words: str):
    return [row for row in shop.office.waiting() if row.job == 8 and words in row.what]


def planned(shop: Shop, template: str):
    """When the plan in force has the tasks of a template, from first start to last end."""
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    numbers = {task.number for task in shop.record(8).tasks if task.key.template == template}
    found = [p for p in plan.placements if p.key.job == 8 and numbers & set(p.tasks)]
    return min(p.start for p in found), max(p.end for p in found)


def test_rooms_are_on_hold_until_the_lead_says_which_lot_goes_where(shop):
    """Carried in Tuesday 10:00 and acclimated Thursday 10:00, the rows still wait for the lead; the list asks."""
    truck(shop)
    check_and_carry_in(shop)
    shop.clock.set("2026-03-05", "11:00")
    living = shop.number_of("lay-click-vinyl", "living", 8)
    with pytest.raises(Refused, match="two lots of harbor plank: say which rooms each goes into"):
        shop.office.start(8, living)
    (row,) = rows_of(shop, "two lots of harbor plank")
    assert row.state is WaitState.TO_DECIDE
    assert "lot A 24 and lot B 2" in row.what
    shop.office.lots(8, "harbor plank", ["A=living,hall", "B=main stairs"])
    assert rows_of(shop, "two lots of harbor plank") == []
    assert "begun" in shop.office.start(8, living).sentence


def test_lot_a_alone_carries_the_rooms_and_the_answer_says_so(shop):
    """24 cartons are 571 ft² for 520 ft² of rooms. Source: 24 x 23.8 = 571.2; 28 x 15 + 20 x 5 = 520."""
    truck(shop)
    done = shop.office.lots(8, "harbor plank", ["A=living,hall", "B=main stairs"])
    assert done.then[0] == "Lot A: 24 cartons cover 571 ft², the rooms are 520 ft²; 51 ft² (10 %) for cuts."
    assert done.then[1].startswith("Lot B: 2 cartons cover 48 ft², the stairs are 45 ft² (by 4.5 ft² a step)")
    assert done.then[2] == "An area says little about stairs: count treads, risers and landings against the planks."


def test_stairs_of_the_same_planks_count_too(shop):
    """Lot A for everything: 571 ft² for 520 of rooms and 45 of stairs leave 1 %, which is said to be little."""
    truck(shop)
    done = shop.office.lots(8, "harbor plank", ["A"])
    assert done.then[0] == (
        "Lot A: 24 cartons cover 571 ft², the rooms and the stairs are 565 ft² (stairs by 4.5 ft² a step); "
        "6.2 ft² (1 %) for cuts."
    )
    assert done.then[1].startswith("That is little")


def test_only_the_stairs_wait_for_their_nose(shop):
    """With the word said the rooms hold on nothing of material, the stairs on the nose alone, and the list names its day."""
    truck(shop)
    check_and_carry_in(shop)
    shop.office.lots(8, "harbor plank", ["A=living,hall", "B=main stairs"])
    shop.clock.set("2026-03-05", "11:00")
    page = shop.office.job(8)
    holds = {task.number: task.hold for task in page.tasks}
    assert holds[shop.number_of("lay-click-vinyl", "living", 8)] == ""
    stairs = holds[shop.number_of("fit-stairs", "main stairs", 8)]
    assert "stair nose (main stairs): 0 of 10 pieces have come" in stairs
    assert "harbor plank" not in stairs
    (row,) = rows_of(shop, "stair nose")
    assert (row.state, row.call) == (WaitState.DUE, "back-ordered, north yard brings it Wed 18 Mar 10:00")
    assert row.holds == "Treads, risers and nose pieces cut and laid up dry, numbered by the step (main stairs)"
    assert [line.status for line in page.materials if line.name == "stair nose (main stairs)"] == [
        "due Wed 18 Mar 10:00, back-ordered"
    ]


def test_the_stairs_are_planned_after_their_nose_and_the_late_finish_is_said(shop):
    """Stairs on or after the 18th; the finish moves past the promise, in the list and in the week."""
    before = shop.office.jobs()[0].planned_finish
    assert before.date() <= date(2026, 3, 13)
    truck(shop)
    check_and_carry_in(shop)
    shop.office.lots(8, "harbor plank", ["A=living,hall", "B=main stairs"])
    then = shop.office.plan().then
    stairs_start, _ = planned(shop, "fit-stairs")
    assert stairs_start >= central(NOSE_DAY, "10:00")
    row = shop.office.jobs()[0]
    assert row.planned_finish.date() > date(2026, 3, 17)
    assert row.late
    assert any(line.startswith(f"Job 8: finish moves from {day_words(before.date())} to ") for line in then)
    (promise,) = shop.office.week().promises
    assert (promise.holds, promise.finish) == (False, row.planned_finish)


def test_the_planner_is_told_that_the_nose_holds_the_stairs_alone(shop):
    """Of all open tasks only the stairs have the nose among the instants they are planned from."""
    truck(shop)
    check_and_carry_in(shop)
    shop.office.lots(8, "harbor plank", ["A=living,hall", "B=main stairs"])
    record, now = shop.record(8), shop.clock.now()
    nose = central(NOSE_DAY, "10:00")
    waiting = [number for number, facts in known_instants(record, now).items() if nose in {fact.at for fact in facts}]
    assert waiting == [shop.number_of("fit-stairs", "main stairs", 8)]
    assert cannot_be_planned(record, now) == {}


def test_the_nose_comes_and_the_stairs_go_on(shop):
    """On the 18th at 10:00 ten pieces come: nothing of material holds the stairs any more."""
    truck(shop)
    check_and_carry_in(shop)
    shop.office.lots(8, "harbor plank", ["A=living,hall", "B=main stairs"])
    shop.clock.set(NOSE_DAY, "10:00")
    done = shop.office.arrived(8, "stair nose", 10)
    assert done.sentence == "Job 8: 10 pieces of stair nose (main stairs) came Wed 18 Mar 10:00."
    assert done.then == ()
    stairs = next(t for t in shop.office.job(8).tasks if t.number == shop.number_of("fit-stairs", "main stairs", 8))
    assert "stair nose" not in stairs.hold
    assert rows_of(shop, "stair nose") == []


def test_the_crews_page_says_which_lot_goes_where(shop):
    """On the day the rows are laid the page names their lot."""
    truck(shop)
    check_and_carry_in(shop)
    shop.office.lots(8, "harbor plank", ["A=living,hall", "B=main stairs"])
    shop.office.plan()
    start, _ = planned(shop, "lay-click-vinyl")
    page = "".join(shop.office.day_plan_text(to_wall(CENTRAL, start).date(), crew) for crew in shop.office.crews())
    assert "Lot A of harbor plank into living" in " ".join(page.split())


def test_one_carton_short_does_not_hold_what_lies_in_the_rooms(shop):
    """25 of 26 cartons are in the rooms, the last comes on the 20th, the lead has all laid from what is there: the rows
    are planned this week, not after a second carry-in and its hours, and nothing of a carry-in holds their tick.
    """
    shop.clock.set("2026-03-03", "10:00")
    shop.ready(8)
    shop.office.arrived(8, "harbor plank", 25, in_rooms=True, back_ordered="2026-03-20 10:00")
    shop.office.arrived(8, "stair nose", 10)
    shop.office.tick(8, [shop.number_of("room-reading", job=8)])
    shop.office.check_lot(8, "harbor plank", "A", 25)
    shop.office.lots(8, "harbor plank", ["A"])
    shop.office.plan()
    start, _ = planned(shop, "lay-click-vinyl")
    assert to_wall(CENTRAL, start).date() <= date(2026, 3, 6)
    with pytest.raises(Refused) as refused:
        shop.office.tick(8, [shop.number_of("lay-click-vinyl", "living", job=8)])
    assert "until Thu 5 Mar 10:00" in str(refused.value)
    assert "Carry in" not in str(refused.value)
