"""The clock: the one place that looks at the computer's."""

from __future__ import annotations

from datetime import timedelta

from crewjobs.domain.wall import to_wall
from crewjobs.services.clock import SystemClock, read_moment

ZONE = "America/Chicago"


def test_the_computers_clock_tells_whole_minutes():
    """Now is the minute that people type for it: it comes neither before nor after the same minute typed out."""
    now = SystemClock().now()
    assert (now.second, now.microsecond, now.utcoffset()) == (0, 0, timedelta(0))
    wall = to_wall(ZONE, now)
    if wall.fold == 0:  # the hour that comes twice in autumn is typed for its first time
        assert read_moment(f"{wall:%Y-%m-%d %H:%M}", ZONE, now) == now
