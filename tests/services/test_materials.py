"""Deliveries, and what they start."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from tests.builders import central


def test_cartons_into_the_rooms_start_the_clock_and_tick_the_carry_in(shop):
    """The whole order into the rooms: the lot's clock runs, the carry-in is done, the answer names the instant."""
    shop.clock.set("2026-03-03", "10:30")
    done = shop.office.arrived(4, "", 9, in_rooms=True)
    assert done.then == ("gray plank is ready to lay Thu 5 Mar 10:30.",)
    assert shop.record().task(shop.number_of("carry-in")).done_at == central("2026-03-03", "10:30")


def test_part_of_an_order_leaves_the_carry_in_open(shop):
    """Five of nine cartons in the rooms: the carry-in stays, the list says how many are here."""
    shop.clock.set("2026-03-03", "09:30")
    shop.office.arrived(4, "", 5, in_rooms=True)
    assert shop.record().task(shop.number_of("carry-in")).open
    assert "5 of 9 cartons here" in shop.office.waiting()[0].what


def test_a_lot_has_its_own_name(shop):
    """Lots are lettered unless named; a name used twice is refused."""
    shop.clock.set("2026-03-03", "11:00")
    shop.office.arrived(4, "", 4)
    shop.office.arrived(4, "", 2)
    assert [lot.name for lot in shop.record().lots] == ["A", "B"]
    with pytest.raises(Refused, match="has a lot A of gray plank already"):
        shop.office.arrived(4, "", 1, lot="A")


@pytest.mark.parametrize(
    ("cartons", "at", "said"),
    [
        (0, "", "0 cartons is not a delivery"),
        (10, "", "10 cartons of gray plank would have come, 9 are ordered"),
        (9, "2026-02-10 09:00", "comes before its order of Mon 16 Feb"),
        (9, "2026-03-09 09:00", "has not come yet"),
    ],
)
def test_a_delivery_that_cannot_be_is_refused(shop, cartons, at, said):
    """No cartons, more than ordered, before the order, in the future: one sentence, nothing stored."""
    with pytest.raises(Refused, match=said):
        shop.office.arrived(4, "", cartons, at=at)
    assert shop.record().lots == ()


def test_an_unknown_material_is_refused_with_those_there_are(shop):
    """The sentence names the job's materials."""
    with pytest.raises(Refused, match=r"no material 'blue plank'; it has 'gray plank'"):
        shop.office.arrived(4, "blue plank", 1)


def test_one_carton_is_not_cartons(shop):
    """The sentence counts as people do."""
    shop.clock.set("2026-03-03", "10:30")
    assert "1 carton of gray plank" in shop.office.arrived(4, "", 1).sentence
