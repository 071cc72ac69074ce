"""Days in words."""

from __future__ import annotations

from datetime import date, datetime

from crewjobs.domain.wording import dated_words, day_words, moment_words


def test_a_day_is_short_and_a_dated_one_has_its_year() -> None:
    """In the course of the work a day needs no year; where the year may be the fault it is said."""
    assert day_words(date(2026, 3, 3)) == "Tue 3 Mar"
    assert dated_words(date(2027, 3, 4)) == "Thu 4 Mar 2027"
    assert moment_words(datetime(2026, 3, 3, 17, 0)) == "Tue 3 Mar 17:00"


def test_a_year_is_told_where_it_is_not_the_one_spoken_in():
    """The fifth of January is a Tuesday in 2027 and a Monday in 2026: only the other year's is told with it."""
    assert day_words(date(2026, 1, 5), date(2026, 12, 28)) == "Mon 5 Jan"
    assert day_words(date(2027, 1, 5), date(2026, 12, 28)) == "Tue 5 Jan 2027"
    assert moment_words(datetime(2027, 1, 5, 7, 30), date(2026, 12, 28)) == "Tue 5 Jan 2027 07:30"
