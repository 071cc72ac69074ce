"""Acclimation clocks and cures."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.material import FloorKind, Lot, OrderLine
from crewjobs.domain.tasks import Phase, Scope, ScopeKind
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.clocks import lot_ready, material_clock, running_waits
from tests.builders import CENTRAL, central, link, material, record, task, utc

PLANK = material()
ORDER = OrderLine(material=PLANK.name, cartons=22, ordered=date(2026, 2, 20), due=central("2026-03-06", "14:00"))
CARRIED = central("2026-03-06", "14:00")


def lot(cartons: int = 22, name: str = "A", moved_in: bool = True, at=CARRIED) -> Lot:
    return Lot(material=PLANK.name, name=name, cartons=cartons, arrived_at=at, moved_in_at=at if moved_in else None)


def test_48_hours_run_through_the_clock_change():
    """48 h from Friday 6 March 2026 14:00 US Central end Sunday 15:00 daylight time, not 14:00.

    Source: Uniform Time Act (15 U.S.C. 260a): US clocks go forward on the second Sunday of March, 8 March 2026.
    """
    ready = lot_ready(record(materials=[PLANK]), lot(), PLANK, CARRIED)
    assert ready is not None
    assert to_wall(CENTRAL, ready).strftime("%a %H:%M") == "Sun 15:00"
    assert ready - CARRIED == timedelta(hours=48)


OPEN_LINE = OrderLine(material=PLANK.name, cartons=2)
"""Two more cartons that somebody still has to order."""


@pytest.mark.parametrize(
    ("orders", "lots", "now", "state"),
    [
        ((), (), "2026-03-02 08:00", WaitState.NOT_ORDERED),
        ((ORDER, OPEN_LINE), (lot(),), "2026-03-09 08:00", WaitState.NOT_ORDERED),
        ((ORDER,), (), "2026-03-02 08:00", WaitState.DUE),
        ((ORDER,), (), "2026-03-06 14:01", WaitState.LATE),
        ((ORDER,), (lot(10),), "2026-03-06 15:00", WaitState.LATE),
        ((ORDER,), (lot(moved_in=False),), "2026-03-06 15:00", WaitState.ARRIVED),
        ((ORDER,), (lot(),), "2026-03-08 14:59", WaitState.ACCLIMATING),
        ((ORDER,), (lot(),), "2026-03-08 15:00", WaitState.READY),
    ],
)
def test_a_material_goes_from_not_ordered_to_ready(orders, lots, now, state):
    """Each fact moves the material one state on, at the very minute."""
    moment = central(*now.split(" "))
    assert material_clock(record(materials=[PLANK], orders=orders, lots=lots), PLANK, moment).state is state


def test_the_last_lot_decides():
    """Two lots are ready when the later one is."""
    late = lot(10, "B", at=CARRIED + timedelta(hours=5))
    clock = material_clock(
        record(materials=[PLANK], orders=[ORDER], lots=[lot(12), late]), PLANK, CARRIED + timedelta(hours=6)
    )
    assert clock.ready_at == CARRIED + timedelta(hours=53)


def test_wood_is_ready_by_its_reading_not_by_the_clock():
    """Wood past its planned days still acclimates until the reading task is ticked; then it is ready at once."""
    oak = material("oak", FloorKind.SOLID_WOOD, hours=120)
    order = OrderLine(material="oak", cartons=5, ordered=date(2026, 2, 1))
    came = Lot(material="oak", name="A", cartons=5, arrived_at=utc(2026, 2, 2, 12), moved_in_at=utc(2026, 2, 2, 12))
    reading = task(1, "reading", phase=Phase.ACCLIMATE, scope=Scope(kind=ScopeKind.MATERIAL, name="oak"))
    house = record([reading], materials=[oak], orders=[order], lots=[came])
    before = material_clock(house, oak, utc(2026, 3, 1, 12))
    assert (before.state, before.verified) == (WaitState.ACCLIMATING, False)
    read = record(
        [task(1, "reading", phase=Phase.ACCLIMATE, scope=reading.key.scope, done_at=utc(2026, 2, 4, 12))],
        materials=[oak],
        orders=[order],
        lots=[came],
    )
    after = material_clock(read, oak, utc(2026, 2, 4, 12))
    assert (after.state, after.verified) == (WaitState.READY, True)


@given(
    start=st.datetimes(min_value=utc(2025, 1, 1).replace(tzinfo=None), max_value=utc(2027, 1, 1).replace(tzinfo=None)),
    hours=st.integers(min_value=1, max_value=400),
)
def test_a_cure_runs_from_the_tick_by_the_clock(start, hours):
    """A wait runs exactly its hours on the UTC axis, over nights, weekends and clock changes."""
    done = start.replace(tzinfo=utc(2025, 1, 1).tzinfo, second=0, microsecond=0)
    house = record([task(1, "pour", done_at=done), task(2, "lay")], [link(1, 2, hours, "leveler cures")])
    last = done + timedelta(hours=hours) - timedelta(minutes=1)
    waits = running_waits(house, last)
    assert [(wait.name, wait.until) for wait in waits] == [("leveler cures", done + timedelta(hours=hours))]
    assert running_waits(house, last + timedelta(minutes=1)) == ()
