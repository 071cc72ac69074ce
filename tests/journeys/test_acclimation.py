"""Cartons carried in on a Friday afternoon, over the night the clocks go forward: ready when 48 hours have passed."""

from __future__ import annotations

from datetime import timedelta

import pytest

from crewjobs.domain.errors import OnHold
from crewjobs.domain.waits import WaitState
from tests.builders import central
from tests.services.conftest import JOB, SHOP, Shop, kept

HOUSE = (
    JOB.replace("cartons = 9", "cartons = 22")
    .replace('length = "14\' 6"', 'length = "28 ft"')
    .replace('width = "12\' 3 1/2"', 'width = "16 ft"')
    .replace('layers = ["carpet"]\n', "")
    .replace('patch = "20 ft2"\n', "")
    .replace("2026-03-03 10:00", "2026-03-06 13:00")
)
READY_AT = central("2026-03-08", "15:00")


def make_shop(shop: Shop) -> None:
    """22 cartons of click vinyl came Friday 6 March 13:00 and were carried in by 14:00; all before laying is done."""
    office, clock = shop.office, shop.clock
    office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", HOUSE)])
    clock.set("2026-03-04", "09:00")
    shop.ready()
    clock.set("2026-03-06", "13:00")
    office.arrived(4, "gray plank", 22)
    looks = [shop.number_of(name) for name in ("room-reading", "count-lot-check")]
    office.tick(4, looks)
    clock.set("2026-03-06", "14:00")
    office.tick(4, [shop.number_of("carry-in")])
    before = ahead_of(shop, shop.number_of("lay-click-vinyl"))
    clock.set("2026-03-07", "12:00")
    office.tick(4, sorted(before))


shop = kept(make_shop)


def ahead_of(shop: Shop, number: int) -> set[int]:
    record = shop.record()
    found, todo = set(), [number]
    while todo:
        after = todo.pop()
        more = {link.before for link in record.links if link.after == after} - found
        found |= more
        todo += more
    return {task.number for task in record.tasks if task.number in found and task.open}


def test_48_hours_by_the_clock_end_at_three_not_at_two(shop):
    """In on Friday 14:00 standard time, ready Sunday 15:00 daylight time: 48 hours later."""
    row = next(row for row in shop.office.waiting() if row.job == 4 and row.state is WaitState.ACCLIMATING)
    assert row.ready_at == READY_AT
    assert (row.ready_at.hour, row.ready_at.minute) == (15, 0)
    assert READY_AT - central("2026-03-06", "14:00") == timedelta(hours=48)


def test_a_tick_half_an_hour_early_is_refused_with_that_instant(shop):
    """Sunday 14:30: refused, only the cartons hold it, and the sentence names Sunday 15:00; at 15:00 it is taken."""
    lay = shop.number_of("lay-click-vinyl")
    shop.clock.set("2026-03-08", "14:30")
    with pytest.raises(OnHold) as refused:
        shop.office.tick(4, [lay])
    assert "is on hold: lot A of gray plank acclimates 48 h, until Sun 8 Mar 15:00. If" in str(refused.value)
    assert shop.record().task(lay).open
    shop.clock.set("2026-03-08", "15:00")
    assert "done Sun 8 Mar 15:00" in shop.office.tick(4, [lay]).sentence


def test_nothing_is_carried_in_before_the_house_is_ready(empty_shop):
    """The clock starts in rooms kept as they will be lived in: without an answer the carry-in is held."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", HOUSE)])
    empty_shop.clock.set("2026-03-06", "13:00")
    empty_shop.office.arrived(4, "gray plank", 22)
    empty_shop.office.tick(4, [empty_shop.number_of(name) for name in ("room-reading", "count-lot-check")])
    with pytest.raises(OnHold, match="nobody has asked whether the house is ready"):
        empty_shop.office.tick(4, [empty_shop.number_of("carry-in")])
    empty_shop.ready()
    assert "done" in empty_shop.office.tick(4, [empty_shop.number_of("carry-in")]).sentence


def test_the_instant_is_named_whatever_else_is_missing(empty_shop):
    """With nothing ticked but the carry-in, a tick of the rows names Sunday 15:00 first, then what else is not done."""
    office, clock = empty_shop.office, empty_shop.clock
    office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", HOUSE)])
    clock.set("2026-03-06", "14:00")
    empty_shop.ready()
    office.arrived(4, "gray plank", 22, in_rooms=True)
    clock.set("2026-03-08", "14:30")
    with pytest.raises(OnHold, match="is on hold: lot A of gray plank acclimates 48 h, until Sun 8 Mar 15:00; "):
        office.tick(4, [empty_shop.number_of("lay-click-vinyl")])
