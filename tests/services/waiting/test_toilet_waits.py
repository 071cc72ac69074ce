"""Nights without a toilet for which nothing is agreed stand on the waiting list, with whom to call, until something is."""

from __future__ import annotations

import pytest

from crewjobs.domain.waits import WaitState
from crewjobs.screens.in_keys import in_keys
from crewjobs.services.rows import WaitRow
from tests.services.conftest import Shop
from tests.services.weeks.test_cut_off import GLUED, HOUSE, RENTED, SECOND_DOOR, house


def of_the_toilet(shop: Shop) -> list[WaitRow]:
    return [row for row in shop.office.waiting() if "toilet is there" in row.what]


def test_the_customer_is_called_before_nights_that_nothing_is_agreed_for(empty_shop):
    shop = house(empty_shop, GLUED)
    (row,) = of_the_toilet(shop)
    assert row.state is WaitState.TO_ASK
    assert row.what.endswith("nothing is agreed")
    assert (row.job, row.whom) == (4, "Teo Halloran")
    assert "(toilet_meanwhile" in row.call
    assert "toilet_meanwhile" not in in_keys(row.call)
    shop.clock.set("2026-04-20", "09:00")
    assert of_the_toilet(shop) == []


@pytest.mark.parametrize(
    ("text", "meanwhile"),
    [(GLUED, RENTED), (GLUED + SECOND_DOOR, ""), (HOUSE, "")],
    ids=["agreed", "another way", "no day yet"],
)
def test_nobody_is_called_where_nothing_is_to_be_agreed_for_planned_nights(empty_shop, text, meanwhile):
    """What has no day for it waits as work that is not planned, with the same reason."""
    assert of_the_toilet(house(empty_shop, text, meanwhile)) == []
