"""What walls take from planks is told: ripped, notched, at an angle; and what comes through where no plank lies."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from tests.services.conftest import JOB, Shop, kept, load_den

den = kept(load_den)
CORNERS = 'corners = [["0", "0"], ["14\'", "0"], ["14\'", "6\'"], ["11\'", "10\'"], ["2\'", "10\'"], ["2\'", "8\' 3"], ["0", "8\' 3"]]'
SHAPED = JOB.replace('length = "14\' 6"\nwidth = "12\' 3 1/2"', CORNERS + '\nrows = "along"\nstart_wall = 1')


def _inches(text: str) -> Fraction:
    feet, _, rest = text.rpartition("' ") if "' " in text else ("0", "", text)
    if rest.endswith("'"):
        feet, rest = rest.rstrip("'"), "0"
    return 12 * int(feet) + sum((Fraction(part) for part in rest.rstrip('"').split()), Fraction(0))


def test_jogs_and_slanted_walls_are_told(den: Shop) -> None:
    """A jog of 2 ft by 1 ft 9 at the left, a wall 3 ft in over 4 ft down at the right: notches and angles on their pieces.

    By hand: 119 1/2 in between the gaps are 17 rows of 7 in and 1/2 in, so that the first and the last are 3 3/4 in. Row 15 lies from
    95 to 102 in; left of the jog the floor ends at 98 3/4 in: 3 1/4 in are taken, over the 24 in to the jog's own gap.
    """
    den.office.load([den.file("den.toml", SHAPED)], replace=True)
    view = den.office.layout(4, "den", seconds=0.3)
    told = {row.row: [words for piece in row.pieces for words in piece.cut_outs] for row in view.rows}
    assert any("at an angle" in words for words in told[13])
    (row,) = [row for row in view.rows if row.row == 15]
    taken = Fraction(0)
    for piece in row.pieces:
        for words in piece.cut_outs:
            if words.startswith("ripped"):  # all of a short piece
                assert words.startswith('ripped to 3 3/4", off the edge away from the starting wall')
                taken += _inches(piece.length)
            elif "left end" in words and words.startswith("notch"):
                assert ' x 3 1/4" at its left end, off the edge away from the starting wall' in words
                taken += _inches(words.removeprefix("notch ").split(" x ")[0])
    assert taken == 24
    assert told[5] == []


def test_the_two_edges_of_an_angle(den: Shop) -> None:
    """The slanted wall goes in 3 ft over 4 ft: over a row of 7 in its edges differ by 7 x 3/4 = 5 1/4 in."""
    den.office.load([den.file("den.toml", SHAPED)], replace=True)
    view = den.office.layout(4, "den", seconds=0.3)
    (row,) = [row for row in view.rows if row.row == 13]
    last = row.pieces[-1]
    (words,) = [words for words in last.cut_outs if "angle" in words]
    assert words.startswith("cut at an angle")
    assert "along the edge toward the starting wall" in words
    long = last.length
    assert f"{long} along the edge toward the starting wall" in words


def test_what_lies_on_no_plank_is_said(den: Shop) -> None:
    """A flange within an island is cut out of nothing, and that is said."""
    island = 'obstacles = [{ name = "island", at = ["3\'", "4\'"], size = "36 in x 36 in" }]\ncut_outs = [{ what = "flange", at = ["4\'", "5\'"], size = "4 in x 4 in" }]\n'  # fmt: skip
    den.office.load(
        [den.file("den.toml", JOB.replace('layers = ["carpet"]', island + 'layers = ["carpet"]'))], replace=True
    )
    view = den.office.layout(4, "den", seconds=0.3)
    assert any(note.startswith("Flange lies where no plank is laid") for note in view.notes)


def test_a_doorway_does_not_make_a_row_narrow(den: Shop) -> None:
    """12 by 10 ft, planks of 6 in: 119 1/2 in are 19 whole rows and 5 1/2 in at the far wall, whatever lies in the doorway there.

    In the doorway, 2 1/4 in deeper, that row is a whole plank and 1 3/4 in more are a strip of their own.
    """
    text = JOB.replace('length = "14\' 6"\nwidth = "12\' 3 1/2"', 'length = "12\'"\nwidth = "10\'"\nstart_wall = 1')
    text = text.replace('plank = "7 in x 48 in"\ncarton = "23.8 ft2"', 'plank = "6 in x 48 in"\ncarton = "20 ft2"')
    text = text.replace('width = "36 in"\n', 'width = "36 in"\nwalls = [3, 0]\noffsets = ["2\'", "0"]\n')
    den.office.load([den.file("den.toml", text)], replace=True)
    view = den.office.layout(4, "den", seconds=0.3)
    assert "a whole first row leaves a last row wide enough" in view.direction
    widths = [row.width for row in view.rows]
    assert widths[18:] == ['6"', '5 1/2" along the wall, 6" in the doorway', '1 3/4"']
    assert view.rows[-1].pieces[0].length_in == pytest.approx(36 - 0.5, abs=0.01)


def test_a_room_out_of_square_tapers_its_last_row(den: Shop) -> None:
    """14 ft long, 10 ft deep at the left and 10 ft 6 at the right: the last row is ripped at a slant through all its pieces.

    By hand: the far wall falls 6 in over 168 in; a piece that begins x in from the left gap is wider by 6/168 of its length.
    """
    text = JOB.replace(
        'length = "14\' 6"\nwidth = "12\' 3 1/2"',
        'corners = [["0", "0"], ["14\'", "0"], ["14\'", "10\' 6"], ["0", "10\'"]]\nrows = "along"\nstart_wall = 1',
    )
    den.office.load([den.file("den.toml", text)], replace=True)
    view = den.office.layout(4, "den", seconds=0.3)
    last = max(view.rows, key=lambda row: row.row)
    slants = [words for piece in last.pieces for words in piece.cut_outs]
    assert len(slants) == len(last.pieces)
    edges = []
    for piece, words in zip(last.pieces, slants, strict=True):
        assert words.startswith("ripped at a slant, off the edge away from the starting wall: ")
        left = _inches(words.split(": ")[1].split(" left at its left end")[0])
        right = _inches(words.split("left end, ")[1].removesuffix(" at its right"))
        assert abs(float(right - left) - float(_inches(piece.length)) * 6 / 168) < 1 / 16
        edges.append((left, right))
    assert all(abs(float(after[0] - before[1])) < 1 / 16 for before, after in pairwise(edges))


def test_a_wall_with_doors_in_it_is_one_wall(den: Shop) -> None:
    """13 ft long and 11 ft 8 wide, doorways in both long walls: rows run along them, for they are the longest."""
    text = JOB.replace('length = "14\' 6"\nwidth = "12\' 3 1/2"', 'length = "13\'"\nwidth = "11\' 8"')
    text = text.replace('width = "36 in"\n', 'width = "36 in"\nwalls = [3, 0]\noffsets = ["5\'", "0"]\n')
    den.office.load([den.file("den.toml", text)], replace=True)
    view = den.office.layout(4, "den", seconds=0.3)
    assert "along the longest wall" in view.direction
    assert any(row.row == 1 and sum(piece.length_in for piece in row.pieces) > 150 for row in view.rows)
