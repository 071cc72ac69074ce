"""Hours by weekday, as a table of days."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import Span, WeekHours
from crewjobs.files.hours import hours_table, read_hours
from tests.storage.strategies import week_hours

MORNING, AFTERNOON = Span(start=420, end=720), Span(start=750, end=930)


@given(week_hours())
def test_hours_read_back(hours: WeekHours) -> None:
    """Any hours of a week are read back from their table as the very same."""
    assert read_hours(hours_table(hours)) == hours


@pytest.mark.parametrize(
    "table",
    [
        {"mon-thu": "7:00-12:00, 12:30-15:30"},
        {"mon": "7-12, 12:30-15:30", "tue-thu": "7:00 - 12:00,12.30-15.30"},
        {"Monday, tue": "7am-12pm, 12:30pm-3:30pm", "WED-thursday": "7 to 12, 12:30 to 15:30"},
        {"mon-thu": "07:00-12:00, 12:30-15:30", "fri": "closed", "sat": ""},
    ],
)
def test_hours_as_written(table: dict[str, str]) -> None:
    """Runs and lists of days, both clocks and loose spelling mean the same."""
    assert read_hours(table).days == ((MORNING, AFTERNOON),) * 4 + ((),) * 3


def test_neighbouring_days_are_written_together() -> None:
    """Equal days in a row become one key."""
    hours = WeekHours(days=((MORNING,), (MORNING,), (), (MORNING,), (), (), ()))
    assert hours_table(hours) == {"mon-tue": "7:00-12:00", "thu": "7:00-12:00"}


@pytest.mark.parametrize(
    ("table", "word"),
    [
        ("9-16", "table of days"),
        ({"mon-fry": "9-16"}, "not a weekday"),
        ({"mo": "9-16"}, "not a weekday"),
        ({"fri-mon": "9-16"}, "backward"),
        ({"mon": "16-9"}, "end comes after"),
        ({"mon": "9-25"}, "no day has"),
        ({"mon": "9-16:75"}, "no day has"),
        ({"mon": "13pm-14pm"}, "1 to 12"),
        ({"mon": "nine to five"}, "not a stretch"),
        ({"mon": 9}, "not a stretch"),
        ({"mon": "9:10-16:00"}, "quarter hour"),
        ({"mon": "9-12, 11-16"}, "overlap"),
        ({"mon-wed": "9-12", "tue": "9-12"}, "twice"),
    ],
)
def test_what_are_no_hours_is_refused(table: Any, word: str) -> None:
    """Each mistake is named in a sentence of its own."""
    with pytest.raises(Refused, match=word) as caught:
        read_hours(table)
    assert len(caught.value.sentences) == 1


def test_every_day_with_a_fault_is_named() -> None:
    """Three faults in one table are three sentences."""
    with pytest.raises(Refused) as caught:
        read_hours({"mon-fry": "9-16", "tue": "16-9", "wed": 3})
    assert len(caught.value.sentences) == 3
