"""Monday on a cold slab: the meter holds the primer, the heat comes on, and the day runs by its waits until Tuesday noon."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services.figuring.figures import answer
from tests.builders import central
from tests.journeys.test_acclimation import ahead_of
from tests.services.conftest import JOB, SHOP, Shop, kept

HOUSE = JOB.replace('patch = "20 ft2"', 'level = "60 ft2"\nsubfloor = "slab"').replace('layers = ["carpet"]\n', "")


def make_shop(shop: Shop) -> None:
    """A den on a slab, 60 ft² of it to be leveled; all before the primer was done the week before."""
    office, clock = shop.office, shop.clock
    office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", HOUSE)])
    shop.ready()
    clock.set("2026-03-04", "09:00")
    office.arrived(4, "gray plank", 9, in_rooms=True)
    clock.set("2026-03-06", "16:00")
    prime = shop.number_of("prime")
    before = ahead_of(shop, prime)
    office.tick(4, sorted(before), because="seen")
    clock.set("2026-03-09", "08:00")


shop = kept(make_shop)


def test_the_dew_point_holds_primer_and_the_waits_hold_the_rows(shop: Shop) -> None:
    """Slab 61 °F, air 72 °F and 60 %: 3.6 °F, hold. Later 64 °F and 55 %: 9 °F. Primed by 9:15, poured from 11:15 to 12:00, walked on
    from 16:00, rows not before Tuesday noon; 60 ft² at 1/4 in takes 3 bags.

    The margins by psychrolib (tests/engines/climate); the waits are the templates' own (common practice, no source).
    """
    office, clock = shop.office, shop.clock
    prime, pour, jambs, lay = map(shop.number_of, ("prime", "pour-leveler", "undercut-jambs", "lay-click-vinyl"))
    office.read_floor(4, "surface", ["61F"])
    said = office.read_air(4, ["72F", "60%"], room="den")
    assert any("3.6 °F above the dew point of 57.4 °F; 5 °F at least is asked for" in words for words in said.then)
    with pytest.raises(Refused, match=r"3\.6 °F above the dew point"):
        office.start(4, prime)

    clock.set("2026-03-09", "09:00")
    office.read_floor(4, "surface", ["64F"])
    said = office.read_air(4, ["72F", "55%"], room="den")
    assert "Den: floor 64 °F, air 72 °F and 55 % RH: 9.0 °F above the dew point of 55.0 °F." in said.then

    clock.set("2026-03-09", "09:15")
    office.tick(4, [prime])
    clock.set("2026-03-09", "11:14")
    with pytest.raises(Refused, match="until Mon 9 Mar 11:15"):
        office.start(4, pour)
    clock.set("2026-03-09", "11:15")
    office.start(4, pour)
    clock.set("2026-03-09", "12:00")
    office.tick(4, [pour])
    with pytest.raises(Refused, match="until Mon 9 Mar 16:00"):
        office.tick(4, [jambs])
    clock.set("2026-03-09", "16:00")
    office.tick(4, [jambs])
    with pytest.raises(Refused, match="until Tue 10 Mar 12:00"):
        office.tick(4, [lay])
    office.plan()
    rows = [
        visit
        for day in office.week(central("2026-03-09", "12:00").date()).days
        for visit in day.visits
        if visit.job == 4 and lay in visit.tasks
    ]
    assert rows
    assert all(visit.end > central("2026-03-10", "12:00") for visit in rows)
    assert answer("leveler", ["area=60", "depth=1/4"]).value == 3
