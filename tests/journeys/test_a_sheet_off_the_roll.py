"""A laundry in sheet vinyl from order to cure: counted in running feet, acclimated, laid in a day, waited out."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import FOOT
from crewjobs.domain.wall import to_wall
from crewjobs.files.job_file import read_job, write_job
from tests.builders import CENTRAL
from tests.services.conftest import SHOP, Shop

LAYS = SHOP.replace('"glue-down", "leveling"', '"glue-down", "sheet goods", "leveling"')
LAUNDRY = """
number = 6
title = "Laundry, Sexton Road"
promised = 2026-03-20

[customer]
name = "Wilhelmina Crane"

[site]
address = "3 Sexton Road, Marrow Bend"
year_built = 1994

[[room]]
name = "laundry"
length = "14 ft"
width = "13 ft"
layers = [{ covering = "vinyl tile", year = 1995 }]
floor = "pebble sheet"
fixtures = { washer = 1, "floor vent" = 1 }

[[opening]]
between = ["laundry", "outside"]
width = "32 in"
door = false
transition = "threshold"

[[material]]
name = "pebble sheet"
kind = "sheet vinyl"
roll = "12 ft"

[[order]]
material = "pebble sheet"
feet = 27
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""
TAKEN_OFF = "27 running ft off a 12' roll (by the cut plan off the roll)"


@pytest.fixture
def laundry(empty_shop: Shop) -> Shop:
    return loaded(empty_shop, LAUNDRY)


def loaded(shop: Shop, text: str, crews: str = LAYS) -> Shop:
    shop.office.load([shop.file("shop.toml", crews), shop.file("laundry.toml", text)])
    shop.ready(job=6, asked="Wilhelmina Crane")
    return shop


def plain(text: str) -> str:
    return " ".join(text.split())


def test_a_job_with_a_sheet_is_read_back_from_its_dump():
    """The roll's width and the running feet come back exactly; no plank and no carton is made up for it."""
    job = read_job(LAUNDRY, "laundry.toml", "America/Chicago")
    assert (job.materials[0].unit, job.materials[0].plank_width) == ("running ft", 12 * FOOT)
    text = write_job(job)
    assert 'roll = "12\'"' in text
    assert "feet = 27" in text
    assert "carton" not in text
    assert read_job(text, "laundry.toml") == job


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('roll = "12 ft"', "", "material 'pebble sheet', key 'roll': missing; write how wide the roll is"),
        ('roll = "12 ft"', 'roll = "12 ft"\ncarton = "20 ft2"', "key 'carton': sheet vinyl comes off a roll"),
        ('roll = "12 ft"', 'roll = "12 ft"\npattern = "grid"', "key 'pattern': a pattern is of planks and tiles: leave it out."),
        ('roll = "12 ft"', 'roll = "40 ft"', "a roll 40' wide: it is 2' at least and 17' at most"),
        ('roll = "12 ft"', 'roll = "12 ft"\nmethod = "floating"', "sheet vinyl is not floating: it is glued or perimeter-"),
        ('roll = "12 ft"', 'roll = "12 ft"\nrepeat = "40 ft"', "the pattern repeats every 40'; it is 1\" to 6'"),
        ('roll = "12 ft"', 'roll = "12 ft"\nfill = 9', "a narrow strip is made up of 9 pieces at most; it is 1 to 6"),
        ("feet = 27", "cartons = 27", "order of 'pebble sheet', key 'cartons': it comes off a roll: write running feet"),
        ("feet = 27", "feet = 27\ncartons = 2", "key 'feet': an order line has cartons, or running feet"),
        ("feet = 27", "feet = 0", "key 'feet': '0' is not between 1"),
        ("feet = 27", 'feet = 27\ngoods = "glue"', "key 'goods': an order line is goods with their count"),
        ("[[material]]", '[[stairs]]\nname = "back steps"\nsteps = 3\nfloor = "pebble sheet"\n\n[[material]]',
         "stairs 'back steps': 'pebble sheet' comes off a roll"),
    ],
)  # fmt: skip
def test_a_slip_in_its_file_is_one_sentence(old, new, sentence):
    """Where the file is wrong about a roll, one sentence says where and what would be right."""
    with pytest.raises(Refused) as refused:
        read_job(LAUNDRY.replace(old, new), "laundry.toml", "America/Chicago")
    (said,) = refused.value.sentences
    assert sentence in said


def test_planks_with_a_roll_are_told_what_planks_need():
    """A laminate with a roll, a pattern and no carton: every key that is missing or too many is named, and the order's feet."""
    slips = LAUNDRY.replace('kind = "sheet vinyl"', 'kind = "laminate"\nrepeat = "18 in"')
    with pytest.raises(Refused) as refused:
        read_job(slips, "laundry.toml", CENTRAL)
    keys = (
        "key 'plank': missing",
        "key 'carton': missing",
        "key 'roll': laminate comes in cartons",
        "key 'repeat': laminate comes in cartons",
        "key 'feet': it comes",
    )
    said = refused.value.sentences
    assert len(said) == len(keys)
    assert all(any(key in sentence for sentence in said) for key in keys)


def test_running_feet_are_refused_for_what_comes_in_cartons():
    """Feet of laminate are no order."""
    text = LAUNDRY.replace("sheet vinyl", "laminate").replace(
        'roll = "12 ft"', 'plank = "7 in x 48 in"\ncarton = "20 ft2"'
    )
    with pytest.raises(Refused, match="order of 'pebble sheet', key 'feet': it comes in cartons"):
        read_job(text, "laundry.toml", "America/Chicago")


def test_it_is_planned_with_its_waits_and_printed(laundry):
    """24 h acclimation after the delivery, the roller and a night before trim and appliances; the page counts feet."""
    laundry.office.plan()
    with laundry.office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan.left_out == ()

    def when(template: str):
        number = laundry.number_of(template, job=6)
        placed = next(p for p in plan.placements if number in p.tasks)
        return to_wall(CENTRAL, placed.start), to_wall(CENTRAL, placed.end), placed.crew

    carried, laid, rolled, washer = map(
        when, ("carry-in-sheet", "lay-sheet-glued", "roll-sheet", "plumbed-appliances-back")
    )
    assert laid[2] == "Birch"
    assert (laid[0] - carried[1]).total_seconds() >= 24 * 3600
    assert laid[0].date() == rolled[1].date()
    assert (washer[0] - rolled[1]).total_seconds() >= 47 * 3600  # 48 h from the roller; its block may end later
    page = plain(laundry.office.day_plan_text(carried[0].date(), "Birch" if carried[2] == "Birch" else "Cedar"))
    assert "27 running ft of pebble sheet, due 10:00; measure the roll, then into the rooms" in page
    laying = plain(laundry.office.day_plan_text(laid[0].date(), "Birch"))
    assert "Half folded back, adhesive spread" in laying
    assert "100 lb roller" in laying


def test_no_crew_that_lays_sheets_is_said(empty_shop):
    """A shop whose crews lay no sheet goods hears so, as of any skill."""
    shop = loaded(empty_shop, LAUNDRY, SHOP)
    shop.office.plan()
    with shop.office._database.reading() as uow:
        assert "no crew lays sheet goods" in uow.latest_plan().left_out[0].why


def test_what_to_order_is_said_with_what_the_figure_is(empty_shop):
    """Not ordered: the waiting list and the job page give the running feet by roll width, and say how they were taken off."""
    shop = loaded(empty_shop, LAUNDRY[: LAUNDRY.index("[[order]]")])
    (row,) = [row for row in shop.office.waiting() if row.what.startswith("pebble sheet")]
    assert row.call == f"order it from the supplier: {TAKEN_OFF}"
    (material,) = shop.office.job(6).materials
    assert TAKEN_OFF in material.status
    assert material.in_lots


def test_too_little_ordered_is_said_on_the_job_page(empty_shop):
    """Twenty feet ordered of twenty-seven: the page says by how much."""
    (material,) = loaded(empty_shop, LAUNDRY.replace("feet = 27", "feet = 20")).office.job(6).materials
    assert material.status.endswith(f"{TAKEN_OFF}, 7 running ft more than ordered")


def test_it_comes_is_checked_and_acclimates_in_running_feet(laundry):
    """Arrived, checked, short by damage, in the rooms: every sentence counts running feet, and the clock runs 24 h."""
    laundry.clock.set("2026-03-03", "10:00")
    came = laundry.office.arrived(6, "", 27)
    assert came.sentence.startswith("Job 6: 27 running ft of pebble sheet, lot A, came")
    done = laundry.office.check_lot(6, "", "A", 27, damaged=1)
    assert "27 running ft, 1 damaged" in done.sentence
    assert "26 of 27 running ft can be laid, 1 short: call north yard before the roll is cut." in done.then
    with pytest.raises(Refused, match=r"the room takes 27 running ft .*, 1 running ft short"):
        laundry.office.lots(6, "", ("A",))
    laundry.office.check_lot(6, "", "A", 27)
    said = laundry.office.lots(6, "", ("A",)).then
    assert (
        "Lot A: 27 running ft, the room takes 27 running ft (by the cut plan off the roll); 0 running ft over." in said
    )
    laundry.office.tick(6, (laundry.number_of("room-reading", job=6),))
    laundry.office.tick(6, (laundry.number_of("carry-in-sheet", job=6),), because="roll checked on the truck")
    (row,) = [row for row in laundry.office.waiting() if row.what.startswith("pebble sheet")]
    assert row.what == "pebble sheet, 27 running ft acclimating 24 h"
    assert row.ready_at is not None
    assert row.ready_at.date() == date(2026, 3, 4)
