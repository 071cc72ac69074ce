"""Hours of acclimation count in rooms whose air runs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.house_ready import ReadyAnswer, ReadyItem
from crewjobs.domain.material import Lot, OrderLine
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.air import air
from crewjobs.engines.readiness.clocks import lot_ready, material_clock
from crewjobs.engines.readiness.holds import holds, known_instants
from tests.builders import central, material, record, task

PLANK = material()
IN = central("2026-03-04", "10:30")
NOON = central("2026-03-05", "12:00")
SINCE = central("2026-03-05", "11:00")
LOT = Lot(material=PLANK.name, name="A", cartons=9, arrived_at=IN, moved_in_at=IN)
LAY = task(1, "lay", needs_material=PLANK.name)
HOURS = timedelta(hours=48)


def answer(ready: bool, at=IN - timedelta(hours=4), **given) -> ReadyAnswer:
    return ReadyAnswer(item=ReadyItem.AIR, ready=ready, at=at, by="Odalys Brandt", **given)


def house(*answers: ReadyAnswer, ready: bool = False):
    order = OrderLine(material=PLANK.name, cartons=9, ordered=date(2026, 2, 20))
    found = record([LAY], materials=[PLANK], orders=[order], lots=[LOT], ready=ready)
    return replace(found, answers=(*found.answers, *answers))


@pytest.mark.parametrize(
    ("answers", "starts"),
    [
        ((), IN),
        ((answer(True),), IN),
        ((answer(True, since=IN - timedelta(days=3)),), IN),
        ((answer(True, at=NOON, since=SINCE),), SINCE),
        ((answer(False), answer(True, at=NOON, since=SINCE)), SINCE),
        ((answer(False), answer(True, at=NOON)), NOON),
        ((answer(False), answer(True, at=IN - timedelta(hours=1))), IN),
        ((answer(False), answer(True, at=NOON), answer(True, at=NOON + timedelta(hours=2))), NOON),
        ((answer(False),), None),
        ((answer(True), answer(False, at=NOON)), None),
    ],
)
def test_the_clock_starts_in_the_rooms_or_when_the_air_ran(answers, starts):
    """The later of carried in and air running, as answered; a house nobody asked counts from the carrying in."""
    later = NOON + timedelta(hours=4)
    assert lot_ready(house(*answers), LOT, PLANK, later) == (None if starts is None else starts + HOURS)


def test_laying_is_held_until_the_hours_with_air_are_over():
    """Carried in Wednesday 10:30, air since Thursday 11:00, 48 h: held to the minute before Saturday 11:00, then free."""
    found = house(answer(False), answer(True, at=NOON, since=SINCE), ready=True)
    ready = central("2026-03-07", "11:00")
    [hold] = holds(found, LAY, ready - timedelta(minutes=1))
    assert (hold.until, "counted from when the air ran" in hold.what) == (ready, True)
    assert holds(found, LAY, ready) == ()
    clock = material_clock(found, PLANK, NOON)
    assert (clock.state, clock.since, clock.ready_at, clock.by_air) == (WaitState.ACCLIMATING, SINCE, ready, True)


def test_without_air_no_hours_count_however_long_it_lies_there():
    """A week in the rooms, the air answered not to run: held without an end; said for a day, planned from that day."""
    week = IN + timedelta(days=7)
    found = house(answer(False))
    assert any("no hours count: heat or air is not running" in hold.what for hold in holds(found, LAY, week))
    assert material_clock(found, PLANK, week).state is WaitState.ACCLIMATING
    assert material_clock(found, PLANK, week).ready_at is None
    until = week + timedelta(days=1)
    said = house(answer(False, until=until))
    assert max(known.at for known in known_instants(said, week)[LAY.number]) == until + HOURS


@given(
    st.lists(
        st.tuples(st.booleans(), st.integers(0, 200), st.none() | st.integers(0, 50)),
        max_size=6,
        unique_by=lambda a: a[1],
    ),
    st.integers(0, 220),
)
def test_hours_count_only_while_the_last_word_is_that_it_runs(words, now):
    """Never from before the carrying in, never after the instant it is asked at, and not at all after a last "no"."""
    answers = [
        answer(
            ready,
            at=IN + timedelta(hours=at - 100),
            since=IN + timedelta(hours=at - 100 - back) if ready and back is not None else None,
        )
        for ready, at, back in words
    ]
    at = IN + timedelta(hours=now - 100)
    known = [one for one in answers if one.at <= at]
    found = air(house(*answers), at)
    assert found.runs is (not known or max(known, key=lambda one: one.at).ready)
    start = found.counts_from(IN)
    assert (start is None) is (not found.runs)
    assert start is None or IN <= start <= max(IN, at)
