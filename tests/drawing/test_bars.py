"""Bars of characters: lengths on one scale, every width, bands beyond their scale."""

from __future__ import annotations

import pytest

from crewjobs.drawing.bars import LONGEST, Compared, band_bar, compared_bars, scale_of, scale_words

ROWS = (Compared("demolition", 120, 240), Compared("trim", 30, 30))


@pytest.mark.parametrize("columns", [24, 38, 60, 100])
def test_bars_are_as_long_as_their_minutes(columns):
    """The longest fills its room, the others their share of it; no line is wider than asked."""
    lines = [line for line in compared_bars(ROWS, columns) if line.what]
    lengths = [len(line.bar.strip()) for line in lines]
    assert lengths[1] == len(lines[1].bar) <= LONGEST
    for length, minutes in zip(lengths, (120, 240, 30, 30), strict=True):
        assert length == max(1, round(lengths[1] * minutes / 240))
    assert all(len(line.text) <= columns for line in lines)


def test_in_a_narrow_place_names_stand_alone():
    """So that bars stay long enough to be read."""
    assert [line.name for line in compared_bars(ROWS, 38) if not line.what] == ["demolition", "trim"]
    assert not [line for line in compared_bars(ROWS, 80) if not line.what]


def test_bars_of_several_calls_share_a_scale():
    """Half the most is half as long."""
    (estimate, took) = compared_bars((Compared("", 60, 120),), 80, most_min=240)
    assert len(took.bar.strip()) == LONGEST // 2
    assert len(estimate.bar.strip()) == LONGEST // 4


def test_a_scale_doubles_and_holds_the_book():
    """At least half to twice the book's pace, whole doublings, three to a side at most."""
    assert scale_of([]) == (0.5, 2)
    assert scale_of([0.3, 1.1]) == (0.25, 2)
    assert scale_of([0.001, 500]) == (1 / 8, 8)
    scale = scale_of([0.3, 1.1])
    assert [scale.place(pace, 25) for pace in (0.25, 0.5, 1, 2)] == [0, 8, 16, 24]
    words = scale_words(scale, 25)
    assert words.index("book") <= 16 < words.index("book") + 4
    assert len(words) == 25


def test_a_band_is_drawn_where_it_lies():
    """From its slow end to its quick one, the rate within, the book's pace marked; beyond the scale it says it goes on."""
    scale = scale_of([0.5, 2])
    assert band_bar(0.5, 0.7, 1.0, scale, 25) == "━━━━━━◆━━━━━┊            "
    assert band_bar(0.9, 1.0, 1.1, scale, 25)[12] == "◆"
    far = band_bar(0.1, 0.2, 9.0, scale, 25)
    assert (far[0], far[12], far[-1]) == ("◆", "┊", "›")
    assert band_bar(0.4, 0.7, 9.0, scale, 25)[0] == "‹"
