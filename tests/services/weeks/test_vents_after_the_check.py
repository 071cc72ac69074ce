"""Floor vents of a room closed off for lead paint: its ducts stay covered until the dust check, so the plan puts them back after it."""

from __future__ import annotations

from dataclasses import replace

from crewjobs.domain.tasks import Link
from crewjobs.services.weeks.lead_closed import vents_after_check
from tests.journeys.test_lead_paint_and_the_card import CARD_SHOP, HOUSE
from tests.services.conftest import Shop

VENTS = HOUSE.replace('name = "parlor"', 'name = "parlor"\nfixtures = { "floor vent" = 1 }').replace(
    'name = "study"', 'name = "study"\nfixtures = { "floor vent" = 1 }'
)


def house(shop: Shop) -> Shop:
    shop.office.load([shop.file("shop.toml", CARD_SHOP), shop.file("cooper.toml", VENTS)])
    shop.ready()
    shop.office.arrived(4, "gray plank", 32, in_rooms=True)
    shop.office.plan()
    return shop


def test_vents_of_a_closed_room_are_planned_back_after_the_dust_check(empty_shop):
    """Those of a room without painted trim keep no such order: nothing is closed there."""
    shop = house(empty_shop)
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    assert plan.left_out == ()
    checked = next(p.end for p in plan.placements if shop.number_of("lead-clean-check") in p.tasks)
    vents = next(p.start for p in plan.placements if shop.number_of("vents-back", "parlor") in p.tasks)
    assert vents >= checked
    more = {*vents_after_check(shop.record()).links} - {*shop.record().links}
    assert {link.after for link in more} == {shop.number_of("vents-back", "parlor")}


def test_vents_that_the_check_itself_waits_for_stay_as_they_are(empty_shop):
    """A half of a house is put back before the other is begun: no circle is made of the check of both."""
    record = house(empty_shop).record()
    number, check = empty_shop.number_of("vents-back", "parlor"), empty_shop.number_of("lead-clean-check")
    halves = replace(record, links=(*record.links, Link(before=number, after=check)))
    assert vents_after_check(halves) is halves
    assert vents_after_check(record) is not record
