"""Single values: read as written, refused in a sentence, written so that they read back."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import FixtureKind, Transition
from crewjobs.domain.units import LONGEST
from crewjobs.files.layout_table import read_flange
from crewjobs.files.values import (
    area_text,
    instant_value,
    length_text,
    read_area,
    read_choice,
    read_date,
    read_dates,
    read_flag,
    read_instant,
    read_length,
    read_number,
    read_text,
    read_wait,
    read_whole,
    wait_text,
)

CENTRAL = "America/Chicago"


@given(st.integers(0, LONGEST))
def test_lengths_read_back_without_an_inch_sign(length: int) -> None:
    """A written length is read back as the very same, and holds no sign that TOML wants escaped."""
    text = length_text(length)
    assert read_length(text) == length
    assert '"' not in text


@pytest.mark.parametrize("typed", ["-3", "-", "--3 mm", "- x"])
def test_a_flange_below_the_floor_is_refused_as_it_was_typed(typed: str) -> None:
    """The sentence names all of it, its sign too, and how one is written."""
    with pytest.raises(Refused, match=f"'{typed}' is not how far below the floor it lies: .* such as -1/4 in or -6 mm"):
        read_flange(typed, None)
    assert read_flange("- 6 mm", None) == -read_length("6 mm")
    with pytest.raises(Refused, match="'3' is not a length"):
        read_flange("3", None)


@given(st.floats(0, 1e6))
def test_areas_read_back(area: float) -> None:
    """Any area is read back as the very same number."""
    assert read_area(area_text(area)) == area


@pytest.mark.parametrize("text", ["23.8 ft2", "24 ft2", "2.2 m2", "1.872 m2", "0.75 m2"])
def test_an_area_is_written_as_it_was_typed(text: str) -> None:
    """A metric file stays metric in a dump, with the digits of its maker."""
    assert area_text(read_area(text)) == text


@given(st.integers(0, 366 * 24 * 60))
def test_waits_read_back(minutes: int) -> None:
    """Any wait is read back as the very same."""
    assert read_wait(wait_text(minutes)) == minutes


@given(
    st.datetimes(datetime(2000, 1, 1), datetime(2099, 1, 1), timezones=st.just(UTC)),
    st.sampled_from([CENTRAL, "Europe/Berlin", "Australia/Lord_Howe", "Africa/Monrovia"]),
)
def test_instants_read_back(instant: datetime, zone: str) -> None:
    """Any instant is read back as the very same, seconds and the hour that comes twice included."""
    assert read_instant(instant_value(instant, zone), zone) == instant


def test_both_of_an_hour_that_comes_twice() -> None:
    """Half past one on 1 November 2026 is written with its offset the second time."""
    first, second = (datetime(2026, 11, 1, hour, 30, tzinfo=UTC) for hour in (6, 7))
    assert instant_value(first, CENTRAL) == "2026-11-01 01:30"
    assert str(instant_value(second, CENTRAL)) == "2026-11-01 01:30:00-06:00"


@pytest.mark.parametrize(
    ("text", "area"),
    [
        ("23.8 ft2", 23.8),
        ("23.8ft²", 23.8),
        ("23.8 sq ft", 23.8),
        ("23.8 SF", 23.8),
        ("23.8 square feet", 23.8),
        ("2.21 m2", 2.21 / 0.09290304),
        ("2.21 m²", 2.21 / 0.09290304),
        ("2.21 sq m", 2.21 / 0.09290304),
    ],
)
def test_areas_as_written(text: str, area: float) -> None:
    """Areas are read in ft² and m²; a square foot is 0.09290304 m² (0.3048 m to the foot, squared)."""
    assert read_area(text) == pytest.approx(area, rel=1e-12)


@pytest.mark.parametrize("value", ["2026-03-06 14:00", "2026-03-06T14:00", "2026-3-6 14:00", datetime(2026, 3, 6, 14)])
def test_instants_as_written(value: Any) -> None:
    """Text and TOML's own date-times mean the wall time of the zone."""
    assert read_instant(value, CENTRAL) == datetime(2026, 3, 6, 20, tzinfo=UTC)


def test_runs_of_dates() -> None:
    """A list of dates may hold runs."""
    assert read_dates([date(2026, 3, 2), "2026-03-05 to 2026-03-06"]) == {date(2026, 3, day) for day in (2, 5, 6)}


@pytest.mark.parametrize("word", ["T-mold", "t-mold", "T MOLD", "t_mold"])
def test_words_of_a_choice(word: str) -> None:
    """Case, hyphens and underscores do not matter."""
    assert read_choice(word, Transition) is Transition.T_MOLD


def test_the_nearest_word_is_named() -> None:
    """A slip of the finger is answered with the word meant, something else with all words."""
    with pytest.raises(Refused, match="did you mean 'refrigerator'"):
        read_choice("refridgerator", FixtureKind)
    with pytest.raises(Refused, match="one of toilet, pedestal sink"):
        read_choice("xyzzy", FixtureKind)


@pytest.mark.parametrize(
    ("text", "name"),
    [("a\x1b[31mb", r"\x1b"), ("a\x00b", r"\x00"), ("a\x9bb", r"\x9b"), ("a\tb", r"\x09"), ("a\u202eb", r"\u202e"), ("a\u2028b", r"\u2028"), ("a\ud800b", r"\ud800")],
)  # fmt: skip
def test_characters_that_steer_a_terminal_are_named(text: str, name: str) -> None:
    """Control, escape, direction and separator characters are refused by their number; the sentence is printable."""
    with pytest.raises(Refused) as caught:
        read_text(text, lines=True)
    sentence = str(caught.value)
    assert f"the character {name}:" in sentence
    assert sentence.isprintable()


@pytest.mark.parametrize("text", ["Rém", "7′ × 4′", "नमस्ते", "क्‍ष", "O'Dell & Söhne", "50 % [b]not markup[/b] $(x)"])
def test_text_of_people_is_kept(text: str) -> None:
    """Names in any script, and signs that mean something to other programs, are just text."""
    assert read_text(text) == text


def test_line_breaks_belong_to_notes() -> None:
    """Notes may have lines, other text not."""
    assert read_text("a\nb", lines=True) == "a\nb"
    with pytest.raises(Refused, match="several lines"):
        read_text("a\nb")


def test_text_has_a_limit() -> None:
    """Text over its limit is refused with both numbers."""
    with pytest.raises(Refused, match=r"81 characters: 80"):
        read_text("x" * 81)


@pytest.mark.parametrize(
    ("read", "value", "word"),
    [
        (read_date, "2026-02-30", "does not exist"),
        (read_date, "06.03.2026", "not a date"),
        (read_date, "tomorrow", "not a date"),
        (read_date, datetime(2026, 3, 6, 14), "has a time"),
        (read_date, date(1066, 10, 14), "between 1990 and 2100"),
        (read_date, 20260306, "not a date"),
        (read_dates, "2026-03-06", "list of dates"),
        (read_dates, ["2026-03-06 to 2026-03-01"], "run forward"),
        (read_dates, ["2026-03-06 to 2028-03-01"], "run forward"),
        (read_length, 12.5, "in quotes with its unit"),
        (read_length, "12", "not a length"),
        (read_area, "23.8", "not an area"),
        (read_area, 23.8, "not an area"),
        (read_area, "1000000000 ft2", "larger than any house"),
        (read_area, "1e3 ft2", "write the number out, without an exponent"),
        (read_wait, 48, "in quotes with its unit"),
        (read_whole, 1.0, "whole number"),
        (read_whole, True, "whole number"),
        (read_whole, -1, "between"),
        (read_whole, 10**400, "thirty digits"),
        (read_number, float("nan"), "between"),
        (read_number, float("inf"), "between"),
        (read_number, -0.5, "between"),
        (read_number, "1", "not a number"),
        (read_flag, "yes", "neither true nor false"),
        (read_flag, 1, "neither true nor false"),
        (read_text, 7, "put it in quotes"),
        (lambda value: read_text(value, empty=False), "  ", "empty"),
        (lambda value: read_instant(value, CENTRAL), "2026-03-08 02:30", "clocks jump over it"),
        (lambda value: read_instant(value, CENTRAL), datetime(2026, 3, 8, 2, 30), "clocks jump over it"),
        (lambda value: read_instant(value, CENTRAL), "2026-02-30 14:00", "does not exist in the calendar"),
        (lambda value: read_instant(value, CENTRAL), "2026-03-06 24:00", "does not exist in the calendar"),
        (lambda value: read_instant(value, CENTRAL), "2026-03-06", "date with a time"),
        (lambda value: read_instant(value, CENTRAL), date(2026, 3, 6), "date with a time"),
        (lambda value: read_instant(value, CENTRAL), 14, "date with a time"),
    ],
)  # fmt: skip
def test_what_is_no_value_is_refused_in_one_sentence(read: Any, value: Any, word: str) -> None:
    """Each wrong value is refused with one sentence that names it."""
    with pytest.raises(Refused, match=word) as caught:
        read(value)
    assert len(caught.value.sentences) == 1
