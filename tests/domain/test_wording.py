"""Days in words, and names as they are typed."""

from __future__ import annotations

from datetime import date, datetime
from shlex import split
from subprocess import run

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.wording import dated_words, day_words, moment_words, typed


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


@pytest.mark.parametrize(
    ("name", "as_typed"),
    [
        ("den", "den"),
        ("black-adhesive", "black-adhesive"),
        ("back bedroom", '"back bedroom"'),
        ("the owner's den", '"the owner\'s den"'),
        ("$HOME room", "'$HOME room'"),
        ("`id` room", "'`id` room'"),
        ('3/4" oak', "'3/4\" oak'"),
        ("den!", "'den!'"),
        ("-den", '"-den"'),
    ],
)
def test_a_name_is_typed_as_plainly_as_a_shell_lets_it(name: str, as_typed: str) -> None:
    """Quotation marks where they do; what a shell reads inside them stands in single ones."""
    assert typed(name) == as_typed


@given(
    st.text(
        alphabet=st.characters(exclude_categories=("C", "Z"), include_characters=" \"'$`\\\\!-;&|*~#()"), min_size=1
    )
)
def test_a_typed_name_is_the_very_word_again(name: str) -> None:
    """Read back as a shell splits a command, whatever the name is made of."""
    assert split(f"crewjobs found 4 {typed(name)} --way") == ["crewjobs", "found", "4", name, "--way"]


def test_a_shell_itself_gives_the_very_names_back() -> None:
    """Nothing in them is expanded or run."""
    names = [
        "$HOME room",
        "`echo x` room",
        "$(echo x)",
        'a "b" c',
        "back\\\\slash\\\\",
        "owner's $5 room",
        "wow!",
        "a  b",
        "*",
        "~",
    ]
    told = run(
        ["sh", "-c", "printf '%s\\n' " + " ".join(map(typed, names))], capture_output=True, text=True, check=True
    )
    assert told.stdout.splitlines() == names
