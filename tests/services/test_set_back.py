"""A clock set back: nothing is written for a moment long over, and what a wrong clock wrote is taken back."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from tests.services.conftest import Shop


def test_by_a_clock_set_back_nothing_is_planned_or_recorded(shop: Shop) -> None:
    """The plan in force stays, and so does the job: one sentence with both moments and what would be right."""
    shop.office.plan()
    planned, record = shop.office.week(), shop.record()
    shop.clock.set("1999-01-01", "08:00")
    said = r"it is Fri 1 Jan 1999 08:00 by this clock, but the last record is of Mon 2 Mar 2026 06:30: set the clock"
    for written in (shop.office.plan, lambda: shop.office.tick(4, [1], because="told by phone")):
        with pytest.raises(Refused, match=said):
            written()
    shop.clock.set("2026-03-02", "06:30")
    assert shop.office.week() == planned
    assert shop.record() == record


def test_two_machines_differ_and_what_was_earlier_is_recorded(shop: Shop) -> None:
    """A day less is no clock set back; a moment that is typed may lie before any record."""
    shop.office.plan()
    shop.clock.set("2026-03-01", "06:30")
    assert shop.office.tick(4, [1], because="told by phone").change
    shop.clock.set("2026-03-02", "06:30")
    assert shop.office.tick(4, [2], at="2026-02-20 10:00", because="told by phone").change


def test_what_a_clock_in_the_future_wrote_is_taken_back_by_one_that_is_right(shop: Shop) -> None:
    """Undo is refused by no clock, and then nothing stands that lies ahead."""
    shop.clock.set("2031-03-02", "06:30")
    shop.office.tick(4, [1], because="told by phone")
    shop.clock.set("2026-03-02", "06:30")
    with pytest.raises(Refused, match="taken back with `crewjobs undo`"):
        shop.office.tick(4, [2], because="told by phone")
    shop.office.undo()
    assert shop.office.tick(4, [2], because="told by phone").change
