"""A third floor with site hours and a booked elevator: cartons move in their slot or wait for the next one."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from tests.builders import CENTRAL, central
from tests.services.conftest import SHOP, Shop

APARTMENT = """
number = 9
title = "Third-floor apartment"
promised = 2026-03-06

[customer]
name = "Saskia Orme"

[site]
address = "210 Granary Lane, unit 3B, Marrow Bend"
year_built = 2008
flights_up = 2
drive_min = 0
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
supplier = "north yard"
ordered = 2026-02-16
due = "DUE"
"""
WEDNESDAY, THURSDAY, FRIDAY, MONDAY = date(2026, 3, 4), date(2026, 3, 5), date(2026, 3, 6), date(2026, 3, 9)


def apartment(shop: Shop, due: str) -> Shop:
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("job.toml", APARTMENT.replace("DUE", due))])
    shop.ready(9, "Saskia Orme")
    shop.office.plan()
    return shop


def visit(shop: Shop, template: str):
    """Return the wall times of the plan's block with a task."""
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    task = shop.number_of(template, job=9)
    placed = next(p for p in plan.placements if task in p.tasks)
    return to_wall(CENTRAL, placed.start), to_wall(CENTRAL, placed.end)


def test_an_early_truck_is_carried_in_within_its_slot(empty_shop):
    """A truck at 8:30 on Wednesday: in between 9 and 11; the reason names the elevator."""
    shop = apartment(empty_shop, "2026-03-04 08:30")
    start, end = visit(shop, "carry-in")
    assert (start.date(), start.hour) == (WEDNESDAY, 9)
    assert (end.date(), end.hour < 11 or (end.hour, end.minute) == (11, 0)) == (WEDNESDAY, True)


def test_a_truck_after_the_slot_waits_for_the_next_morning(empty_shop):
    """A truck at 11:20 on Wednesday misses the slot: in on Thursday, laid on Monday from 9:00."""
    shop = apartment(empty_shop, "2026-03-04 11:20")
    start, end = visit(shop, "carry-in")
    assert (start.date(), start.hour, end.date()) == (THURSDAY, 9, THURSDAY)
    assert end.hour < 11
    first, _ = visit(shop, "lay-click-vinyl")
    assert (first.date(), first.hour) == (MONDAY, 9)
    with shop.office._database.reading() as uow:
        reasons = [p.reason for p in uow.latest_plan().placements if shop.number_of("carry-in", job=9) in p.tasks]
    assert reasons == ["the elevator is booked from Thu 09:00; gray plank is due Wed 11:20"]


@pytest.mark.parametrize(
    ("carried", "ready"),
    [
        (central("2026-03-04", "11:00"), central("2026-03-06", "11:00")),
        (central("2026-03-05", "11:00"), central("2026-03-07", "11:00")),
    ],
)
def test_the_hours_run_from_the_last_carton(empty_shop, carried, ready):
    """In by Wednesday 11:00 is ready Friday 11:00; by Thursday 11:00, Saturday 11:00, laid on Monday at 9:00."""
    shop = apartment(empty_shop, "2026-03-04 08:30")
    shop.clock.at = carried
    shop.office.arrived(9, "gray plank", 30, at=f"{to_wall(CENTRAL, carried):%Y-%m-%d} 09:00")
    number = shop.number_of("count-lot-check", job=9)
    shop.office.tick(9, [number, shop.number_of("room-reading", job=9)], because="set up by the test")
    shop.office.tick(9, [shop.number_of("carry-in", job=9)], because="set up by the test")
    row = next(row for row in shop.office.waiting() if row.job == 9 and row.what.startswith("gray plank"))
    assert (row.state, row.ready_at) == (WaitState.ACCLIMATING, to_wall(CENTRAL, ready))
    shop.office.plan()
    first, _ = visit(shop, "lay-click-vinyl")
    assert first == to_wall(
        CENTRAL, central("2026-03-06", "11:00") if ready.day == 6 else central("2026-03-09", "09:00")
    )


def test_the_customers_new_date_is_a_call_to_make(empty_shop):
    """Promised for Friday, planned to Monday or later: the waiting list says to tell the customer, until it is done."""
    shop = apartment(empty_shop, "2026-03-04 11:20")
    calls = [row for row in shop.office.waiting() if row.state is WaitState.TO_TELL]
    assert [row.job for row in calls] == [9]
    assert "Saskia Orme" in calls[0].call
    shop.office.told(9)
    assert [row for row in shop.office.waiting() if row.state is WaitState.TO_TELL] == []
    assert shop.record(9).told[-1].finish >= MONDAY - timedelta(days=0)
