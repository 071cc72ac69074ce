"""Hours of acclimation by what was read of the air."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.conditions import Conditions, Outside, Range
from crewjobs.domain.material import Lot, OrderLine
from crewjobs.domain.reading import AirReadings, AirSample
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.acclimating import Counted, count_hours
from crewjobs.engines.readiness.air_read import RoomAir
from crewjobs.engines.readiness.clocks import lot_ready, material_clock
from crewjobs.engines.readiness.holds import holds, known_instants
from tests import thorough
from tests.builders import central, material, record, task

FRIDAY = central("2026-03-06", "14:00")
HOURS = timedelta(hours=48)
ROOMS = frozenset({"den"})
STOPS = Conditions(temperature=Range(low=65, high=85))
AGAIN = Conditions(temperature=Range(low=65, high=85), outside=Outside.STARTS_AGAIN)


def air(at: datetime, temp_f: float = 70, rh: float | None = None, room: str = "den") -> RoomAir:
    return RoomAir(room=room, sample=AirSample(at=at, temp_f=temp_f, rh=rh))


def logged(cold: range, *, hours: int = 100, start: datetime = FRIDAY) -> list[RoomAir]:
    """Return what a logger reads every hour from Friday 14:00: 70 °F, and 58 °F in the hours that are cold."""
    return [air(start + timedelta(hours=hour), 58 if hour in cold else 70) for hour in range(hours)]


def count(read: list[RoomAir], asks: Conditions = STOPS, at: datetime = FRIDAY + timedelta(days=4)) -> Counted:
    return count_hours(read, ROOMS, asks, FRIDAY, HOURS, at)


SATURDAY_1_TO_7 = range(11, 17)
"""58 °F from Saturday 01:00 on, read in range again at 07:00."""


@pytest.mark.parametrize(
    ("asks", "ready", "since"),
    [
        (STOPS, central("2026-03-08", "21:00"), FRIDAY),
        (AGAIN, central("2026-03-09", "08:00"), central("2026-03-07", "07:00")),
    ],
)
def test_a_cold_night_by_a_logger(asks: Conditions, ready: datetime, since: datetime) -> None:
    """Carried in Friday 14:00, 48 h, over the night the clocks go forward; out of range on Saturday from 01:00 to 07:00.

    The clock stops: Sunday 15:00 daylight time and six hours. It starts again: Saturday 07:00 and 48 h. Arithmetic by hand.
    """
    found = count(logged(SATURDAY_1_TO_7), asks)
    assert (found.ready_at, found.since, found.lost_min, found.verified) == (ready, since, 6 * 60, True)


def test_the_same_from_a_job_with_its_hold_and_its_plan() -> None:
    """While it is out of range nothing says when; the plan goes by the earliest; once in range the hold says why it is later."""
    plank = material()
    samples = tuple(one.sample for one in logged(SATURDAY_1_TO_7))
    lay = task(1, "lay", needs_material=plank.name)
    found = record(
        [lay],
        materials=[plank],
        orders=[OrderLine(material=plank.name, cartons=9, ordered=date(2026, 2, 20))],
        lots=[Lot(material=plank.name, name="A", cartons=9, arrived_at=FRIDAY, moved_in_at=FRIDAY, checked_at=FRIDAY)],
        ready=True,
        air=[AirReadings(room="", samples=samples, meter="logger")],
    )
    [lot] = found.lots
    night, morning = central("2026-03-07", "03:00"), central("2026-03-07", "12:00")
    [hold] = holds(found, lay, night)
    assert hold.until is None
    assert "58 °F in the house Sat 7 Mar 03:00, and it asks for 65–85 °F: no hours count" in hold.what
    assert lot_ready(found, lot, plank, night) is None
    earliest = night + HOURS - timedelta(hours=11)
    assert max(known.at for known in known_instants(found, night)[1]) == earliest
    [hold] = holds(found, lay, morning)
    assert (hold.until, "without 6 h out of range" in hold.what) == (central("2026-03-08", "21:00"), True)
    assert holds(found, lay, central("2026-03-08", "21:00")) == ()
    clock = material_clock(found, plank, central("2026-03-08", "21:00"))
    assert (clock.state, clock.verified) == (WaitState.READY, True)


def test_without_a_reading_hours_count_and_are_unverified() -> None:
    """Nobody read the air: 48 h are 48 h, and it is said that nothing speaks for them."""
    found = count([])
    assert (found.ready_at, found.read, found.verified, found.unread_min) == (FRIDAY + HOURS, False, False, 48 * 60)


def test_a_reading_speaks_for_a_day_after_it() -> None:
    """Read on carrying in and never again: the second day's hours are counted, and said to be unread."""
    found = count([air(FRIDAY - timedelta(hours=1))])
    assert (found.ready_at, found.unread_min, found.verified) == (FRIDAY + HOURS, 25 * 60, False)
    daily = [air(FRIDAY + timedelta(hours=24 * day)) for day in range(3)]
    assert count(daily).verified


def test_every_room_has_to_be_in_range() -> None:
    """One of two rooms cold: the hours stop, whatever is read of the other; a reading of the house is of both."""
    rooms = frozenset({"den", "hall"})
    cold = [air(FRIDAY, 70), air(FRIDAY + timedelta(hours=2), 50, room="hall")]
    still = count_hours([*cold, air(FRIDAY + timedelta(hours=3), 70)], rooms, STOPS, FRIDAY, HOURS, FRIDAY + HOURS)
    assert (still.ready_at, still.minutes) == (None, 2 * 60)
    assert still.out is not None
    assert still.out.room == "hall"
    warm = count_hours(
        [*cold, air(FRIDAY + timedelta(hours=3), 70, room="")], rooms, STOPS, FRIDAY, HOURS, FRIDAY + HOURS
    )
    assert (warm.ready_at, warm.lost_min) == (FRIDAY + HOURS + timedelta(hours=1), 60)


def test_humidity_counts_where_it_is_asked_for() -> None:
    """Wood at 70 °F and 62 % is out of 30–50 %; where only the temperature was read, that alone is looked at."""
    wood = Conditions(temperature=Range(low=60, high=80), humidity=Range(low=30, high=50))
    assert count([air(FRIDAY, 70, 62)], wood).out is not None
    assert count([air(FRIDAY, 70)], wood).out is None


def test_over_a_change_of_the_clock_hours_are_true_hours() -> None:
    """From Saturday 14:00 over the night of 8 March 2026 (an hour short), a reading each hour: Monday 15:00 by the wall.

    Source: Uniform Time Act (15 U.S.C. 260a): US clocks go forward on the second Sunday of March and back on the first
    Sunday of November.
    """
    for start, ready in (
        (central("2026-03-07", "14:00"), central("2026-03-09", "15:00")),
        (central("2026-10-31", "14:00"), central("2026-11-02", "13:00")),
    ):
        found = count_hours(logged(range(0), start=start), ROOMS, STOPS, start, HOURS, start + timedelta(days=4))
        assert (found.ready_at, found.verified) == (ready, True)


moments = st.integers(-30, 100).map(lambda hours: FRIDAY + timedelta(hours=hours))
taken = st.lists(st.tuples(moments, st.sampled_from([58.0, 70.0]), st.sampled_from(["den", ""])), max_size=12)


@settings(max_examples=thorough.examples(100, 33))
@given(taken, moments, st.sampled_from([STOPS, AGAIN]), st.integers(0, 110))
def test_readiness_never_gets_earlier_by_a_reading_out_of_range(read, when, asks, hour) -> None:
    """Whatever was read, one more reading out of range never makes it ready sooner."""
    at = FRIDAY + timedelta(hours=hour)
    before = sorted((air(moment, temp, room=room) for moment, temp, room in read), key=lambda one: one.sample.at)
    after = sorted([*before, air(when, 58)], key=lambda one: one.sample.at)
    rooms = frozenset({"den", "hall"})
    first = count_hours(before, rooms, asks, FRIDAY, HOURS, at)
    then = count_hours(after, rooms, asks, FRIDAY, HOURS, at)
    assert then.earliest >= first.earliest
    assert then.ready_at is None or (first.ready_at is not None and then.ready_at >= first.ready_at)
    assert then.minutes <= first.minutes
