"""Wall clocks and UTC, and hours by weekday."""

from __future__ import annotations

import copy
import pickle
import shlex
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import (
    DAY,
    Span,
    WeekHours,
    clock,
    clock_beside,
    clock_name,
    days_from,
    exists,
    hour_words,
    house_zone,
    to_utc,
    to_wall,
    wall_minute,
    zone_of,
)
from crewjobs.domain.wording import typed

CENTRAL = "America/Chicago"
SPRING = date(2026, 3, 8)
FALL = date(2026, 11, 1)
zones = st.sampled_from([CENTRAL, "America/Los_Angeles", "Europe/Berlin", "Australia/Lord_Howe", "Asia/Kolkata", "UTC"])
days = st.dates(date(2000, 1, 1), date(2099, 12, 31))
minutes = st.integers(0, DAY - 1)


@given(zones, days, minutes)
def test_wall_time_and_back(zone: str, day: date, minute: int) -> None:
    """A wall time the clocks show becomes an instant that shows it again."""
    wall = to_wall(zone, to_utc(zone, day, minute))
    assert exists(zone, day, minute) == ((wall.date(), wall_minute(wall)) == (day, minute))


@given(zones, days, minutes, minutes)
def test_later_on_the_wall_is_not_earlier(zone: str, day: date, one: int, other: int) -> None:
    """Within a day the instants follow the wall minutes, also over a skipped hour."""
    first, second = sorted((one, other))
    assert to_utc(zone, day, first) <= to_utc(zone, day, second)


@given(zones, st.sampled_from([SPRING, FALL, date(2026, 3, 29), date(2026, 10, 4)]), minutes)
def test_skipped_times_agree_with_pendulum(zone: str, day: date, minute: int) -> None:
    """A wall time is skipped exactly where pendulum (an independent library) says that it does not exist."""
    import pendulum
    from pendulum.tz.exceptions import AmbiguousTime, NonExistingTime

    skipped = False
    try:
        pendulum.datetime(day.year, day.month, day.day, minute // 60, minute % 60, tz=zone, raise_on_unknown_times=True)
    except NonExistingTime:
        skipped = True
    except AmbiguousTime:
        pass
    assert exists(zone, day, minute) != skipped


@pytest.mark.parametrize("minute", [120, 135, 179])
def test_a_skipped_time_is_the_jump(minute: int) -> None:
    """Every wall time between 2:00 and 3:00 on 8 March 2026 is the instant the clocks jump, 8:00 UTC."""
    assert to_utc(CENTRAL, SPRING, minute) == datetime(2026, 3, 8, 8, tzinfo=UTC)
    assert not exists(CENTRAL, SPRING, minute)


def test_half_an_hour_skipped_far_south() -> None:
    """A change of half an hour jumps at its own instant: Lord Howe skips 2:00 to 2:30."""
    jump = datetime(2026, 10, 3, 15, 30, tzinfo=UTC)
    assert to_utc("Australia/Lord_Howe", date(2026, 10, 4), 135) == jump
    assert to_utc("Australia/Lord_Howe", date(2026, 10, 4), 150) == jump


def test_a_time_that_comes_twice_means_its_first() -> None:
    """On 1 November 2026 half past one comes twice; the first is 6:30 UTC."""
    assert to_utc(CENTRAL, FALL, 90) == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)


def test_forty_eight_hours_over_the_change() -> None:
    """48 h by the clock from Friday 15:00 before the change end on Sunday at 16:00 on the wall."""
    ready = to_utc(CENTRAL, date(2026, 3, 6), 15 * 60) + timedelta(hours=48)
    assert to_wall(CENTRAL, ready).replace(tzinfo=None) == datetime(2026, 3, 8, 16)


def test_minutes_past_midnight_run_on() -> None:
    """Wall minutes beyond a day are those of the next day."""
    assert to_utc(CENTRAL, date(2026, 3, 2), DAY + 60) == to_utc(CENTRAL, date(2026, 3, 3), 60)


@pytest.mark.parametrize("name", ["", "Amerika/Chicago", "America", "../etc", "\0", "x" * 5000, "Chicago"])
def test_what_is_no_zone_is_refused(name: str) -> None:
    """A zone is an IANA name, whatever else is given."""
    with pytest.raises(Refused):
        zone_of(name)


@pytest.mark.parametrize(("start", "end"), [(600, 600), (700, 600), (-15, 60), (1200, 1455)])
def test_a_stretch_ends_after_it_starts(start: int, end: int) -> None:
    """A stretch of a day lies within the day and ends after it starts."""
    with pytest.raises(Refused):
        Span(start=start, end=end)


@pytest.mark.parametrize(
    "spans",
    [(Span(start=60, end=120), Span(start=90, end=180)), (Span(start=120, end=180), Span(start=0, end=60)), (Span(start=65, end=120),)],
)  # fmt: skip
def test_hours_are_in_order_and_on_the_quarter(spans: tuple[Span, ...]) -> None:
    """Stretches of a day do not overlap, follow each other and start and end on a quarter hour."""
    with pytest.raises(Refused):
        WeekHours(days=(spans, (), (), (), (), (), ()))


def test_hours_are_asked_by_date() -> None:
    """Monday's hours are those of any Monday."""
    monday = (Span(start=420, end=720),)
    hours = WeekHours(days=(monday, (), (), (), (), (), ()))
    assert hours.on(date(2026, 3, 2)) == monday
    assert hours.on(date(2026, 3, 3)) == ()


def test_a_week_has_seven_days() -> None:
    """Hours for another number of days are refused."""
    with pytest.raises(Refused):
        WeekHours(days=((),) * 6)


def test_small_helpers() -> None:
    """The clock has two digits, and days follow each other."""
    assert clock(450) == "07:30"
    assert list(days_from(date(2026, 2, 28), 2)) == [date(2026, 2, 28), date(2026, 3, 1)]


def test_a_single_day_stands_in_the_place_of_its_weekday() -> None:
    """Hours of one day, or none, are that day's alone; taken away it is as every week; equal hours are equal values."""
    morning = (Span(start=8 * 60, end=12 * 60),)
    week = WeekHours(days=(morning,) * 5 + ((), ()))
    saturday, friday = date(2026, 3, 7), date(2026, 3, 6)
    other = week.with_single(saturday, morning).with_single(friday, ())
    assert (other.on(saturday), other.on(friday), other.on(saturday + timedelta(days=7))) == (morning, (), ())
    assert (other.usual(saturday), other.usual(friday)) == ((), morning)
    assert (other.single(friday), other.single(friday - timedelta(days=1))) == ((), None)
    assert other == week.with_single(friday, ()).with_single(saturday, morning), "in whatever order they were given"
    assert other.with_single(saturday, None).with_single(friday, None) == week
    assert WeekHours(days=((),) * 7).with_single(saturday, morning).every == (morning,)
    with pytest.raises(Refused, match="the hours of 2026-03-07 are given twice"):
        WeekHours(days=week.days, but=((saturday, morning), (saturday, ())))
    with pytest.raises(Refused, match="the hours of Sat 7 Mar do not start and end on a quarter hour"):
        week.with_single(saturday, (Span(start=8 * 60 + 5, end=12 * 60),))


@pytest.mark.parametrize(
    ("name", "shown"),
    [("Birch", "Birch"), ("North crew", '"North crew"'), ("Rém", "Rém"), ('The "A"', "'The \"A\"'"), ("-x", '"-x"')],
)
def test_a_name_in_a_command_is_one_word(name: str, shown: str) -> None:
    """What is more than a plain word stands in quotation marks, as a shell reads it."""
    assert typed(name) == shown
    assert shlex.split(typed(name)) == [name]


def test_a_houses_own_clock_is_named_where_the_shops_shows_another() -> None:
    """The name goes with the wall time, also into another process; the instant is the same."""
    own = house_zone("America/New_York", CENTRAL)
    noon = datetime(2026, 3, 2, 18, tzinfo=UTC)
    for zone in (own, pickle.loads(pickle.dumps(own)), copy.deepcopy(own)):
        wall = to_wall(zone, noon)
        assert (hour_words(wall), clock_name(wall)) == ("13:00 New York time", "New York time")
        assert clock_beside(zone, noon) == "New York time, 1 h ahead of the shop's"
        assert hour_words(pickle.loads(pickle.dumps(wall))) == "13:00 New York time"
        assert wall == noon
    assert own == "America/New_York"
    assert hour_words(to_wall("America/New_York", noon)) == "13:00"
    assert house_zone(CENTRAL, CENTRAL) is CENTRAL


@pytest.mark.parametrize(
    ("zone", "month", "said"),
    [
        ("America/Phoenix", 1, "Phoenix time, 1 h behind the shop's"),
        ("America/Phoenix", 7, "Phoenix time, 2 h behind the shop's"),  # it keeps no daylight saving time
        ("America/Menominee", 7, ""),
        ("Asia/Kolkata", 1, "Kolkata time, 11 h 30 min ahead of the shop's"),
        ("America/Kentucky/Monticello", 1, "Monticello time, 1 h ahead of the shop's"),
    ],
)
def test_how_a_clock_stands_beside_the_shops_by_the_season(zone: str, month: int, said: str) -> None:
    """Offsets as in the IANA time zone database: central time is UTC-6 in winter and UTC-5 in summer."""
    assert clock_beside(house_zone(zone, CENTRAL), datetime(2026, month, 15, 12, tzinfo=UTC)) == said
