"""Rows of planks in characters: never too wide, joints where they lie, a number with no room in its piece behind its row."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.drawing.columns import display_width
from crewjobs.drawing.laid_rows import LaidPiece, LaidRow, key_of, paint_rows
from crewjobs.drawing.shapes import Fill
from tests import thorough

LENGTHS = st.lists(st.floats(0.5, 96), min_size=1, max_size=12)


def _row(number: int, start: float, lengths: list[float]) -> LaidRow:
    pieces, at = [], start
    for n, length in enumerate(lengths):
        pieces.append(LaidPiece(start=at, end=at + length, fill=Fill.CUT if n == 0 else Fill.WHOLE, mark=str(n)))
        at += length
    return LaidRow(label=str(number), pieces=tuple(pieces))


def _text(rows: tuple[LaidRow, ...], width: int) -> list[str]:
    return ["".join(run.text for run in row) for row in paint_rows(rows, width)]


@settings(max_examples=thorough.examples(25, 8), deadline=None)
@given(rows=st.lists(st.tuples(st.floats(0, 60), LENGTHS), max_size=5), width=st.integers(12, 130))
def test_no_row_is_wider_than_asked(rows: list[tuple[float, list[float]]], width: int) -> None:
    """One line a row, with its label; never more joints than pieces, and the wall at both ends."""
    drawn = tuple(_row(number, *row) for number, row in enumerate(rows, 1))
    lines = _text(drawn, width)
    assert len(lines) == len(rows)
    for line, (_, lengths) in zip(lines, rows, strict=True):
        assert display_width(line) <= width
        assert set(line.rpartition("│")[2]) <= set(" 0123456789")
        assert 1 <= line.count("│") <= len(lengths) + 1


def test_joints_stand_where_they_lie() -> None:
    """Three pieces of 24, 48 and 24 in on 96 columns: an inch a column; a row that begins farther right is set in."""
    rows = (_row(1, 0, [24, 48, 24]), _row(2, 12, [84]))
    first, second = _text(rows, 99)
    assert [i - 2 for i, char in enumerate(first) if char == "│"] == [0, 24, 72, 96]
    assert [i - 2 for i, char in enumerate(second) if char == "│"] == [12, 96]
    assert first[3:26].strip("▒") == "0"
    assert key_of(rows) == "▒ cut, with its plank's number"


def test_a_cut_too_narrow_for_its_number_has_it_behind_its_row() -> None:
    """On a phone a cut of three inches is two joints side by side: its plank's number stands beside, all rows to one scale."""
    narrow = LaidRow(
        label="3",
        pieces=(
            LaidPiece(start=0, end=3, fill=Fill.CUT, mark="17"),
            LaidPiece(start=3, end=49, fill=Fill.WHOLE),
            LaidPiece(start=49, end=96, fill=Fill.CUT, mark="18"),
        ),
    )
    wide = LaidRow(label="4", pieces=(LaidPiece(start=0, end=96, fill=Fill.CUT, mark="19"),))
    first, second = _text((narrow, wide), 38)
    assert "││" in first
    assert first.endswith("│ 17")
    assert "18" in first.rpartition("│")[0]
    assert first.rindex("│") == second.rindex("│")
    assert max(display_width(line) for line in (first, second)) <= 38


def test_beside_an_island_a_row_has_two_parts() -> None:
    """What is not floor between two parts of a row stays blank."""
    left, right = _row(3, 0, [20]), _row(3, 60, [36])
    (line,) = _text((LaidRow(label="3", pieces=(*left.pieces, *right.pieces)),), 99)
    assert line[2 + 21 : 2 + 60].strip() == ""
    assert [i - 2 for i, char in enumerate(line) if char == "│"] == [0, 20, 60, 96]
