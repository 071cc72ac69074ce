"""Take-off and layout of floors that are no straight rows of equal planks, from a job file on."""

from __future__ import annotations

from math import ceil

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.drawing.laid_rows import key_of
from crewjobs.drawing.shapes import Says, Words
from tests.services.conftest import JOB, Shop, kept, load_den

SECONDS = 0.5
PLANK = 'kind = "click vinyl"\nplank = "7 in x 48 in"\ncarton = "23.8 ft2"'
OAK = """kind = "solid wood"
plank = "3 1/4 in"
lengths = { "1' 6" = 10, "2' 6" = 20, "4'" = 30, "6'" = 40 }
carton = "22 ft2\""""
TILE = 'kind = "glue-down vinyl"\nplank = "12 in x 12 in"\ncarton = "24 ft2"\npattern = "grid"\njoint = "1/8 in"'
THIRD = 'kind = "click vinyl"\nplank = "12 in x 24 in"\ncarton = "24 ft2"\npattern = "third offset"'
AT_45 = 'kind = "glue-down vinyl"\nplank = "18 in x 18 in"\ncarton = "36 ft2"\npattern = "diagonal grid"'
BONE = 'kind = "engineered wood"\nplank = "3 in x 18 in"\ncarton = "20 ft2"\npattern = "herringbone"'
den = kept(load_den)


def _lay(shop: Shop, material: str, room: str = "") -> None:
    text = (
        JOB.replace("cartons = 9", "cartons = 12")
        .replace(PLANK, material)
        .replace('floor = "gray plank"', f'floor = "gray plank"\n{room}'.rstrip())
    )
    assert material in text
    shop.office.load([shop.file("den.toml", text)], replace=True)


def test_boards_of_random_lengths_are_racked_row_by_row(den: Shop) -> None:
    """Every row is as long as the den within its gap, rests start rows later on, boards by length are told, cartons by cover."""
    _lay(den, OAK)
    view = den.office.layout(4, "den", seconds=SECONDS)
    length = 14 * 12 + 6 - 1.5
    assert view.way == "random lengths"
    for row in view.rows:
        assert sum(piece.length_in for piece in row.pieces) == pytest.approx(length, abs=0.01)
        assert all(piece.length in row.told for piece in row.pieces)
    starts = {row.row: row.pieces[0] for row in view.rows if row.pieces[0].kind == "rest"}
    assert starts
    for row in view.rows:
        last = row.pieces[-1]
        if " for the start of row " in last.keep:
            rest, to = last.keep.split("keep ")[1].split(" for the start of row ")
            assert int(to) > row.row
            assert starts[int(to)].length == rest
            assert starts[int(to)].keep == f"kept from row {row.row}"
    assert den.record().layouts == ()
    (row,) = den.office.take_off(4, seconds=SECONDS).materials
    assert sum(one.count for one in row.boards) == row.planks == view.planks
    assert [one.length for one in row.boards] == ["1' 6\"", "2' 6\"", "4'", "6'"]
    assert "an estimate by the shares given: what is in the cartons decides" in row.sentence


@pytest.mark.parametrize(
    ("material", "cut"),
    [
        (PLANK, "cut, with its plank's number"),
        (f'{PLANK}\npattern = "diagonal"', "cut, with its plank's number"),
        (OAK, "cut, with the row its rest goes to"),
        (TILE, "cut"),
        (BONE, "cut"),
    ],
)
def test_the_key_of_a_drawing_tells_the_numbers_that_are_in_it(den: Shop, material: str, cut: str) -> None:
    """Tiles and herringbones have none; of random lengths a number is a row's. Rows in characters have planks' numbers or none."""
    _lay(den, material)
    view = den.office.layout(4, "den", seconds=SECONDS)
    assert [fill for fill in view.drawing.fills if fill.value.startswith("cut")] == [cut]
    in_pieces = [one for one in view.drawing.shapes if isinstance(one, Words) and one.says is Says.LETTER]
    assert bool(in_pieces) == ("with" in cut)
    if view.rows:
        assert key_of(view.drawn_rows) == f"▒ {cut if 'plank' in cut else 'cut'}"


def test_a_length_that_runs_short_is_told(den: Shop) -> None:
    """Only the long boards keep joints a yard apart, and they are a tenth of what comes: it is said."""
    _lay(den, OAK.replace("40", "10").replace("30", "60") + '\nstagger = "36 in"')
    (row,) = den.office.take_off(4, seconds=SECONDS).materials
    assert "they run short" in row.sentence


@pytest.mark.parametrize(
    ("material", "told"),
    [
        (TILE, "tiles 1' x 1' in a straight grid, joints 1/8\" wide"),
        (THIRD, "rows offset by a third, rows along wall 1 of den (the longer way)"),
        (AT_45, "in a grid at 45 degrees to the walls"),
        (BONE, 'planks 3" x 1\' 6" in a herringbone, points along wall 1 of den (the longer way)'),
    ],
)
def test_patterns_are_set_out_by_lines_from_walls(den: Shop, material: str, told: str) -> None:
    """How it lies, two lines to snap (one of a herringbone), how many it takes here and in all; the take-off says the same number."""
    _lay(den, material)
    view = den.office.layout(4, "den", seconds=SECONDS)
    assert told in view.direction
    assert view.rows == ()
    assert "snap" in " ".join(view.lines).lower()
    assert "of den" in view.lines[0]
    assert view.counts.startswith(f"{view.planks} ")
    (row,) = den.office.take_off(4, seconds=SECONDS).materials
    assert row.planks == view.planks == view.planks_of_all >= ceil(0.9 * row.area_ft2 * 144 / _piece(material))
    assert (row.planks + row.left_planks) % row.cartons == 0  # whole cartons
    assert view.drawing.fills
    assert view.way == row.way


def _piece(material: str) -> float:
    width, length = material.split('plank = "')[1].split('"')[0].replace(" in", "").split(" x ")
    return float(width) * float(length)


def test_a_grid_is_set_out_by_hand(den: Shop) -> None:
    """The den is 174 by 147 1/2 in, an eighth free at the walls; tiles 12 in with joints of 1/8, so a pitch of 12 1/8 in.

    Along: 173.75 = 13 x 12.125 + 16.125, so that 13 tiles between two cuts leave (173.75 - 13 x 12.125 - 0.125) / 2 = 8 in.
    Across: 147.25: 11 tiles between two cuts leave (147.25 - 133.375 - 0.125) / 2 = 6.875 in. From wall 4 a tile begins at
    0.125 + 8 + 0.125 + 6 x 12.125 = 81 in, the nearest to the middle.
    """
    _lay(den, TILE)
    view = den.office.layout(4, "den", seconds=SECONDS)
    assert view.lines == (
        'Between wall 4 of den and wall 2 of den: 8" at both, 13 whole between, a tile in the middle. A tile begins 6\' 9" from wall 4 '
        "of den: snap that line.",
        'Between wall 1 of den and wall 3 of den: 6 7/8" at both, 11 whole between, a tile in the middle. A tile begins 5\' 7 3/4" from '
        "wall 1 of den: snap that line.",
    )
    assert view.planks == 13 * 11 + 2 * 13 + 2 * 11 + 4


OPENING = 'between = ["den", "outside"]\nwidth = "36 in"'


@pytest.mark.parametrize("material", [TILE, BONE])
def test_walls_told_by_number_are_told_as_one_comes_in(den: Shop, material: str) -> None:
    """Coming in through the third wall of four, listed clockwise from the top left, one faces the first and has the second on the right."""
    _lay(den, material)
    (note,) = (one for one in den.office.layout(4, "den", seconds=SECONDS).notes if one.startswith("Walls of"))
    assert "counted from 1 along the corners of the job file, the first is the room's length" in note
    text = JOB.replace(PLANK, material).replace(OPENING, OPENING + '\nwalls = [3, 0]\noffsets = ["2 ft", "0"]')
    den.office.load([den.file("den.toml", text)], replace=True)
    (note,) = (one for one in den.office.layout(4, "den", seconds=SECONDS).notes if one.startswith("Walls of"))
    assert note == (
        "Walls of den as you come in from outside: 1 facing you (14' 6\"), 2 on your right (12' 3 1/2\"), 3 that you come in "
        "through (14' 6\"), 4 on your left (12' 3 1/2\")."
    )
    assert den.office.take_off(4, seconds=SECONDS).walls == (note,)


def test_diagonal_rows_are_searched_and_kept(den: Shop) -> None:
    """Planks at 45 degrees: a cut list like any, from a corner, kept with the job; a vent is told by its middle."""
    vent = 'cut_outs = [{ what = "vent", at = ["60 in", "30 in"], size = "4 in x 12 in" }]\nstart_wall = 3'
    _lay(den, PLANK + '\npattern = "diagonal"', vent)
    view = den.office.layout(4, "den", seconds=SECONDS)
    assert "at 45 degrees from the corner of walls 2 and 3 of den (as asked for)" in view.direction
    assert view.first.startswith("Stand in den facing the corner of walls 2 and 3 of den")
    assert "A piece at a wall is cut at 45 degrees: its length is that of its longer edge." in view.notes
    outs = [words for row in view.rows for piece in row.pieces for words in piece.cut_outs]
    assert len(outs) == 1
    assert outs[0].startswith("vent: its middle ")
    assert view.notes[0].startswith("Walls of den ")
    assert den.record().layout_of("gray plank") is not None
    assert den.office.layout(4, "den", seconds=0) == view
    (row,) = den.office.take_off(4, seconds=0).materials
    assert "area, 15 % and one carton" in row.sentence
    anew = den.office.layout(4, "den", row=5, seconds=SECONDS)
    assert anew.rows[0].row == 6
    with pytest.raises(Refused, match="laid at 45 degrees: no row there runs from wall to wall square"):
        den.office.layout(4, "den", row=6, measured="12 ft")


@pytest.mark.parametrize(
    ("material", "sentence"),
    [(OAK, "random lengths"), (TILE, "laid in a grid"), (BONE, "laid in a herringbone")],
)
def test_only_rows_of_equal_planks_are_planned_anew(den: Shop, material: str, sentence: str) -> None:
    """--row has no meaning for what has no rows to plan: one sentence, and nothing is kept."""
    _lay(den, material)
    with pytest.raises(Refused, match=sentence):
        den.office.layout(4, "den", row=3, seconds=SECONDS)
    assert den.record().layouts == ()


def test_lots_are_told_by_tiles_and_by_area(den: Shop) -> None:
    """Eight cartons of 24 tiles carry the den, of which a lot of one does not; boards of random lengths by their cover."""
    _lay(den, TILE)
    den.office.arrived(4, "gray plank", 9, lot="A")
    den.office.arrived(4, "gray plank", 1, lot="B")
    lots = den.office.take_off(4, seconds=SECONDS).materials[0].lots
    assert lots[0].startswith("lot A alone carries all of it: 216 tiles")
    assert lots[1].startswith("lot B alone does not carry it: 24 tiles of ")


def test_what_cannot_be_racked_is_said_and_bought_by_area(den: Shop) -> None:
    """A den narrower than its gaps: why there is no layout, and cartons by area and waste."""
    hook = """corners = [["0", "0"], ["9'", "0"], ["9'", "3 in"], ["3 in", "3 in"], ["3 in", "9'"], ["0", "9'"]]"""
    shallow = JOB.replace(PLANK, f'{OAK}\ngap = "2 in"').replace('length = "14\' 6"\nwidth = "12\' 3 1/2"', hook)
    shallow = shallow.replace('width = "36 in"', 'width = "3 in"').replace('patch = "20 ft2"\n', "")
    den.office.load([den.file("den.toml", shallow)], replace=True)
    (row,) = den.office.take_off(4, seconds=SECONDS).materials
    assert "nothing is left to lay" in row.fault
    assert row.cartons == row.thumb
    with pytest.raises(Refused, match="nothing is left to lay"):
        den.office.layout(4, "den", seconds=SECONDS)
