"""Days in words."""

from __future__ import annotations

from datetime import date, datetime

from crewjobs.domain.wording import dated_words, day_words, moment_words


def test_a_day_is_short_and_a_dated_one_has_its_year() -> None:
    """In the course of the work a day needs no year; where the year may be the fault it is said."""
    assert day_words(date(2026, 3, 3)) == "Tue 3 Mar"
    assert dated_words(date(2027, 3, 4)) == "Thu 4 Mar 2027"
    assert moment_words(datetime(2026, 3, 3, 17, 0)) == "Tue 3 Mar 17:00"
