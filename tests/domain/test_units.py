"""Lengths, areas and waits: exact inside, as people write them outside."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import (
    FOOT,
    INCH,
    JOINERS,
    LONGEST,
    MILLIMETRE,
    exact_length,
    exact_wait,
    format_area,
    format_length,
    parse_length,
    parse_wait,
    quoted,
    span_words,
    square_feet,
)

lengths = st.integers(0, LONGEST)


@given(lengths)
def test_exact_spelling_reads_back(length: int) -> None:
    """The shortest spelling of any length on the grid is read back as the very same length."""
    assert parse_length(exact_length(length)) == length


@given(st.integers(0, 5280 * 12 * 32))
def test_thirty_seconds_are_exact(count: int) -> None:
    """Any multiple of 1/32 in is on the grid and is shown and read back without a loss."""
    length = count * INCH // 32
    assert length * 32 == count * INCH
    assert parse_length(format_length(length)) == length


@given(st.integers(0, 1_600_000))
def test_millimetres_are_exact(count: int) -> None:
    """Any whole number of millimetres is on the grid; 25.4 of them are an inch (the inch by definition, 1959)."""
    assert parse_length(f"{count} mm") == count * MILLIMETRE
    assert Fraction(254, 10) * MILLIMETRE == INCH
    assert parse_length(format_length(count * MILLIMETRE, "metric")) == count * MILLIMETRE


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12' 6 1/2\"", "150.5"),
        ("12' 6 1/2", "150.5"),
        ("12'6 1/2\"", "150.5"),
        ("12'-6 1/2\"", "150.5"),
        ("12' 6-1/2\"", "150.5"),
        ("12′ 6½″", "150.5"),
        ("12’ 6 1⁄2”", "150.5"),
        ("12-6.5", "150.5"),
        ("12-6 1/2", "150.5"),
        ("12.5 ft", "150"),
        ("12.5ft", "150"),
        ("12 feet 6 inches", "150"),
        ("12 ft. 6 in.", "150"),
        ("12 ft 6", "150"),
        ("150 in", "150"),
        ('7 5/8"', "7.625"),
        ("3/4 in", "0.75"),
        (".5 in", "0.5"),
        ("6''", "6"),
        ("0'", "0"),
    ],
)
def test_feet_and_inches_as_written(text: str, inches: str) -> None:
    """Every spelling people use for feet, inches and fractions is read."""
    assert parse_length(text) == Fraction(inches) * INCH


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("381 cm", 3810),
        ("3.81 m", 3810),
        ("3810 mm", 3810),
        ("3 m 81 cm", 3810),
        ("0.5 cm", 5),
        ("4,5 m", 4500),
        ("0,25 m", 250),
    ],
)
def test_metric_as_written(text: str, millimetres: int) -> None:
    """Every metric spelling is read."""
    assert parse_length(text) == millimetres * MILLIMETRE


@pytest.mark.parametrize(
    "text",
    ["", " ", "12", "12.5", "abc", "-3 ft", "-3'", "3' -", "12' 13", "12-13", "5/0 in", "1e3 ft", "6 in 5 ft", "3 m 6", "12' 6' 3", "nan ft", "5281 ft", "5'13\"", "5 ft 12 in", "12' 6 5/4", "1,500 mm", "4,5,6 m"],
)  # fmt: skip
def test_what_is_no_length_is_refused_in_one_sentence(text: str) -> None:
    """No unit, a negative, more inches than a foot, parts out of order, more than a mile: one sentence."""
    with pytest.raises(Refused) as caught:
        parse_length(text)
    assert len(caught.value.sentences) == 1
    assert "12' 6 1/2\"" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (" 48", "'48' is not"),
        ("5'13\"", "inches behind feet are under 12"),
        ("1,500 mm", "a point stands for the comma"),
    ],
)
def test_a_refused_length_says_what_is_wrong_with_it(text: str, words: str) -> None:
    """Quoted as typed, without blanks around it; inches that would be another foot and commas are told."""
    with pytest.raises(Refused, match=words):
        parse_length(text)


@given(st.text(max_size=40))
def test_any_text_is_a_length_or_refused(text: str) -> None:
    """Reading a length never fails in another way than by refusing."""
    with suppress(Refused):
        assert 0 <= parse_length(text) <= LONGEST


def test_area_of_a_foot_square() -> None:
    """One foot by one foot is one square foot."""
    assert square_feet(2 * FOOT * FOOT) == 1


@pytest.mark.parametrize(
    ("area", "system", "text"),
    [(244.4, "us", "244 ft²"), (4.26, "us", "4.3 ft²"), (100.0, "metric", "9.3 m²")],
)
def test_area_for_people(area: float, system: str, text: str) -> None:
    """Areas are whole from 20 ft² on and to a tenth below; 100 ft² are 9.29 m² (0.3048 m to the foot)."""
    assert format_area(area, system) == text  # type: ignore[arg-type]


@given(st.integers(0, 366 * 24 * 60))
def test_waits_read_back(minutes: int) -> None:
    """Any wait up to a year is read back from its own spelling."""
    assert parse_wait(exact_wait(minutes)) == minutes


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("48 h", 2880), ("90 min", 90), ("5 days", 7200), ("1 day 12 h", 2160), ("2 hours", 120), ("1.5h", 90), ("48,5 h", 2910), ("1,5h", 90), ("30 minutes", 30), ("1d", 1440)],
)  # fmt: skip
def test_waits_as_written(text: str, minutes: int) -> None:
    """Hours, minutes and days are read, spelled out or short."""
    assert parse_wait(text) == minutes


@pytest.mark.parametrize("text", ["", "48", "-2 h", "two days", "400 days", "3 weeks", "5 dayz"])
def test_what_is_no_wait_is_refused(text: str) -> None:
    """A wait needs a unit, is not negative and not longer than a year."""
    with pytest.raises(Refused):
        parse_wait(text)


@given(st.text(max_size=100))
def test_quoted_text_cannot_steer_a_terminal(text: str) -> None:
    """Whatever a person typed, the quotes hold printable characters and joiners only, and at most sixty of them."""
    shown = quoted(text)
    assert all(character.isprintable() or character in JOINERS for character in shown)
    assert len(shown) <= 2 + 60 * 10 + 1


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (45, "45 min"), (60, "1 h"), (198, "3 h 18 min"), (2880, "48 h")]
)
def test_what_takes_time_is_told_in_hours_and_minutes(minutes: int, words: str) -> None:
    """No tenths of an hour beside times of day: what is told is read back as the very same time."""
    assert span_words(minutes) == words
    assert parse_wait(words) == minutes
