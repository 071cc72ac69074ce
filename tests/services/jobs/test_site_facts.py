"""What stops a crew at the door, said in the same words wherever somebody looks."""

from __future__ import annotations

from crewjobs.cli.job import job_text
from crewjobs.domain.wall import to_wall
from crewjobs.files.hours import read_hours
from crewjobs.services.jobs.site_facts import week_hours
from tests.builders import CENTRAL
from tests.services.conftest import SHOP, Shop

FLAT = """
number = 9
title = "Third-floor flat"

[customer]
name = "Saskia Orme"

[site]
address = "210 Granary Lane, unit 3B, Marrow Bend"
year_built = 2008
flights_up = 2
parking = "loading bay, 30 minutes"
pets = "a parrot, flies"
key_with = "house manager"
crew_toilet = false
hours = { mon-fri = "9-16" }
elevator = { mon-fri = "9-11" }

[[room]]
name = "main room"
length = "26 ft"
width = "25 ft"
floor = "gray plank"
trim = "none"

[[material]]
name = "gray plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 30
ordered = 2026-02-16
due = "2026-03-04 08:30"
"""
SAID = (
    "Site hours: 9:00-16:00 Mon-Fri, not on Sat and Sun; elevator 9:00-11:00",
    "Stairs up: 2 flights",
    "Pets: a parrot, flies",
    "Parking: loading bay, 30 minutes",
    "Key: house manager",
    "Toilet for the crew: none in the house",
)


def flat(shop: Shop) -> Shop:
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("flat.toml", FLAT)])
    shop.ready(9, "Saskia Orme")
    shop.office.plan()
    return shop


def test_all_facts_of_the_door_stand_on_the_job_page(empty_shop):
    """Hours, elevator, flights, shut days, parking, pets, key and toilet: in the page's rows and in its text."""
    office = flat(empty_shop).office
    assert set(SAID) <= set(office.job(9).site_lines)
    text = " ".join(job_text(office.job(9), everything=False).split())
    assert all(said in text for said in SAID)


def test_all_facts_of_the_door_stand_on_paper_and_on_site(empty_shop):
    """On every day a crew goes there, the carry-in among them, page and On site say all of them."""
    office = flat(empty_shop).office
    with office._database.reading() as uow:
        plan = uow.latest_plan()
    carry = empty_shop.number_of("carry-in", job=9)
    visits = {(p.crew, to_wall(CENTRAL, p.start).date()) for p in plan.placements}
    assert any(carry in p.tasks for p in plan.placements)
    assert len(visits) > 1
    for crew, day in visits:
        page = " ".join(office.day_plan_text(day, crew).split())
        assert all(said in page for said in SAID), (crew, day)
        (house,) = office.site_day(crew, day).houses
        assert set(SAID) <= set(house.facts)


def test_an_elevator_on_other_days_than_the_site_names_its_days(empty_shop):
    """Where the slot is not on all of the site's days, its own days follow it."""
    text = FLAT.replace('elevator = { mon-fri = "9-11" }', 'elevator = { tue = "9-11", thu = "13-15" }')
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("flat.toml", text)])
    assert any(
        line.endswith("; elevator 9:00-11:00 Tue, 13:00-15:00 Thu") for line in empty_shop.office.job(9).site_lines
    )


def test_hours_are_said_as_people_say_them():
    """Equal days run together, a break is said, a day off is not there."""
    hours = read_hours({"mon-thu": "7:00-12:00, 12:30-15:30", "fri": "7-12", "sat": "8-12"})
    assert week_hours(hours) == "7:00-12:00 and 12:30-15:30 Mon-Thu, 7:00-12:00 Fri, 8:00-12:00 Sat"
