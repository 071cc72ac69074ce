"""The clock: the one place that looks at the computer's."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.services.clock import SystemClock, read_ahead, read_moment, read_promised

ZONE = "America/Chicago"


def test_the_computers_clock_tells_whole_minutes():
    """Now is the minute that people type for it: it comes neither before nor after the same minute typed out."""
    now = SystemClock().now()
    assert (now.second, now.microsecond, now.utcoffset()) == (0, 0, timedelta(0))
    wall = to_wall(ZONE, now)
    if wall.fold == 0:  # the hour that comes twice in autumn is typed for its first time
        assert read_moment(f"{wall:%Y-%m-%d %H:%M}", ZONE, now) == now


@pytest.mark.parametrize("read", [read_promised, read_ahead, read_moment])
@pytest.mark.parametrize(
    "typed", ["tue 2026-03-10", "tue nonsense", "tue 10:00 2026-03-10", "wed 10 pm", "tue x 10:00"]
)
def test_a_weekday_with_anything_more_than_an_hour_is_refused(read, typed):
    """Words after a weekday are never dropped in silence: what was typed is named, nothing is read."""
    with pytest.raises(Refused, match=r"tue|wed"):
        read(typed, "America/Chicago", datetime(2026, 3, 2, 12, tzinfo=UTC))


@pytest.mark.parametrize("typed", ["tue 10:00", "tues 10:00", "Tuesday 10:00"])
def test_a_weekday_is_read_short_or_written_out(typed):
    """The next Tuesday at ten in the morning, however the day is written."""
    assert read_ahead(typed, "America/Chicago", datetime(2026, 3, 2, 12, tzinfo=UTC)) == datetime(
        2026, 3, 3, 16, tzinfo=UTC
    )
