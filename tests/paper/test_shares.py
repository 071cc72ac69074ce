"""Columns as wide as their words ask for."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.paper.document import Cell, Line
from crewjobs.paper.shares import LEAST, _height, shares_of
from tests import thorough

CELL = st.lists(st.integers(0, 120), max_size=4).map(lambda sizes: tuple(Line(text="x" * size) for size in sizes))


def measured(rows: list[tuple[Cell, ...]]) -> list[list[list[int]]]:
    """The characters across of each line."""
    return [[[len(line.text) for line in cell] for cell in row] for row in rows]


def cell(*sizes: int) -> Cell:
    """Lines of so many characters."""
    return tuple(Line(text="x" * size) for size in sizes)


@settings(max_examples=thorough.examples(60, 20), deadline=None)
@given(st.integers(1, 5).flatmap(lambda count: st.lists(st.tuples(*[CELL] * count), min_size=1, max_size=6)))
def test_columns_share_the_whole_width_and_are_never_worse_than_equal(rows: list[tuple[Cell, ...]]) -> None:
    """Together an equal part each, none too narrow, and no more lines than equal columns take."""
    shares = shares_of(rows, 100)
    assert abs(sum(shares) - len(rows[0])) < 0.05
    assert min(shares) >= LEAST - 0.01
    lines = measured(rows)
    assert _height(lines, shares, 100) <= _height(lines, [1.0] * len(shares), 100) + 0.1


def test_who_has_much_to_say_gets_more_room() -> None:
    """One column full of words beside two of a word each."""
    wide, *others = shares_of([(cell(200, 180), cell(8), cell(6))] * 3, 120)
    assert all(wide > other + 0.3 for other in others)


def test_no_rows_have_no_columns() -> None:
    """Nothing to share."""
    assert shares_of([], 100) == ()
