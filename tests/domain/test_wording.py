"""Days in words: the year is said where it is another than the one they are read in."""

from __future__ import annotations

from datetime import date, datetime

from crewjobs.domain.wording import dated_words, day_words, moment_words, read_in


def test_a_day_of_this_year_needs_no_year() -> None:
    """Read in 2026, a day of 2026 is said short, one before or after with its year."""
    read_in(2026)
    assert day_words(date(2026, 3, 3)) == "Tue 3 Mar"
    assert day_words(date(2027, 3, 4)) == "Thu 4 Mar 2027"
    assert moment_words(datetime(2025, 12, 31, 17, 0)) == "Wed 31 Dec 2025 17:00"


def test_where_nobody_said_the_year_none_is_written() -> None:
    """Engines by themselves write no year; what always has its year has it once."""
    assert day_words(date(2027, 3, 4)) == "Thu 4 Mar"
    read_in(2026)
    assert dated_words(date(2027, 3, 4)) == "Thu 4 Mar 2027"
