"""Values of a reading as they are typed: where one ends, and what a comma between digits may mean."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.reading import ReadingKind
from crewjobs.services.readings.reading_values import AIR, read_hours, read_values
from crewjobs.services.typed_values import read_temperature, read_value

BOARDS = ReadingKind.BOARDS.value


@pytest.mark.parametrize(
    ("kind", "typed", "units", "values"),
    [
        (BOARDS, ["8", "9"], "us", (8, 9)),
        (BOARDS, ["8,", "9"], "us", (8, 9)),
        (BOARDS, ["8%,9%"], "us", (8, 9)),
        (BOARDS, ["8.5;9"], "us", (8.5, 9)),
        (BOARDS, ["8,5%"], "us", (8.5,)),
        (BOARDS, ["8,5", "9,25"], "metric", (8.5, 9.25)),
        (ReadingKind.SLAB_PH.value, ["9,5"], "metric", (9.5,)),
        (ReadingKind.FLATNESS.value, ["1/8,3/16"], "us", (0.125, 0.1875)),
        (ReadingKind.FLATNESS.value, ["2,5"], "metric", (pytest.approx(2.5 / 25.4),)),
        (AIR, ["21,5C", "40,5%"], "us", (70.7, 40.5)),
        (AIR, ["21,5", "40"], "metric", (70.7, 40)),
        (AIR, ["70F,", "40%"], "us", (70, 40)),
    ],
)
def test_a_comma_parts_values_or_stands_for_a_point(kind, typed, units, values) -> None:
    """With a unit behind it, or in a metric shop, it is a decimal comma: never two boards where one was read."""
    assert read_values(kind, typed, units) == pytest.approx(values)


@pytest.mark.parametrize(
    ("typed", "units", "right"), [("8,5", "us", "8.5"), ("8,9,7", "us", "8 9 7"), ("8,5,9,5", "metric", "8 5 9 5")]
)
def test_what_may_be_one_value_or_two_is_asked_about(typed, units, right) -> None:
    """A US shop may mean two boards or one; of more commas nobody knows which are points."""
    with pytest.raises(Refused, match=f"may be one value or more.*{right}"):
        read_values(BOARDS, [typed], units)


def test_hours_have_one_value() -> None:
    """So their comma is a point in every shop."""
    assert read_hours(ReadingKind.SLAB_RH.value, "72,5 h") == 72.5


@pytest.mark.parametrize(("typed", "value"), [("70,5", 70.5), ("70,5F", 70.5), ("40,2%", 40.2)])
def test_one_value_alone_has_its_comma_read_as_a_point(typed: str, value: float) -> None:
    """As a figure's are given, one by one; between thousands it is not taken for one."""
    read = read_temperature if "%" not in typed else lambda text: read_value(text, "%", "a percentage")
    assert read(typed) == value
    with pytest.raises(Refused, match="'1,000'"):
        read("1,000")
