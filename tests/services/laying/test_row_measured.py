"""A wall measured anew is the wall of that row: rooms with set-back walls, and rooms joined through an opening."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services.laying.layout_rows import LayoutView
from tests.services.conftest import JOB, Shop, kept, load_den

den = kept(load_den)
ELL = JOB.replace(
    'length = "14\' 6"\nwidth = "12\' 3 1/2"',
    'corners = [["0", "0"], ["12\'", "0"], ["12\'", "6\'"], ["16\'", "6\'"], ["16\'", "13\'"], ["0", "13\'"]]\nrows = "along"\nstart_wall = 1',
)
JOINED = JOB.replace('length = "14\' 6"\nwidth = "12\' 3 1/2"', 'length = "20\'"\nwidth = "16\'"\nrows = "along"\nstart_wall = 1').replace(
    "[[opening]]",
    """[[room]]
name = "hall"
length = "14'"
width = "3' 6"
floor = "gray plank"
[[opening]]
between = ["den", "hall"]
width = "60 in"
door = false
transition = "continuous"
walls = [3, 1]
offsets = ["5'", "4'"]
[[opening]]""",
    1,
)  # fmt: skip


def _lengths(view: LayoutView) -> dict[int, float]:
    found: dict[int, float] = {}
    for row in view.rows:
        found[row.row] = found.get(row.row, 0.0) + sum(piece.length_in for piece in row.pieces)
    return {row: round(length, 2) for row, length in found.items()}


def test_the_wall_of_that_row_moves_and_no_other(den: Shop) -> None:
    """An L, 12 ft wide at first, 16 ft further on: an inch more at row 4 is an inch more in rows 4 to 10 alone."""
    den.office.load([den.file("den.toml", ELL)], replace=True)
    before = _lengths(den.office.layout(4, "den", seconds=0.3))
    after = _lengths(den.office.layout(4, "den", row=3, measured="12' 1", seconds=0.3))
    assert before[4] == 144 - 0.5
    for row, length in after.items():
        wide = before[row] > 150
        assert length == pytest.approx(before[row] + (0 if wide else 1), abs=0.01)


def test_joined_rooms_keep_their_own_walls(den: Shop) -> None:
    """The hall behind the den is not longer because the den is; measured again and again nothing adds up."""
    den.office.load([den.file("den.toml", JOINED)], replace=True)
    before = _lengths(den.office.layout(4, "den", seconds=0.3))
    for row in (3, 9, 15):
        view = den.office.layout(4, "den", row=row, measured="20' 1/4", seconds=0.3)
        lengths = _lengths(view)
        for number, length in lengths.items():
            inside = before[number] == 240 - 0.5
            assert length == pytest.approx(before[number] + (0.25 if inside else 0), abs=0.01)
    far = den.office.layout(4, "den", row=18, to_wall=f"{192 - 0.25 - _depth(view, 18):g} in", seconds=0.3)
    assert _lengths(far)[19] == pytest.approx(239.75)
    with pytest.raises(Refused, match="measure again"):
        den.office.layout(4, "den", row=20, to_wall="12 ft")


def test_plank_numbers_go_on(den: Shop) -> None:
    """Planned anew twice: a new plank never has a number that was written on one before, and what is at hand keeps its own."""
    first = den.office.layout(4, "den", seconds=0.3)
    opened = {piece.plank for row in first.rows if row.row <= 5 for piece in row.pieces if not piece.kept}
    second = den.office.layout(4, "den", row=5, measured="14' 6 1/4", seconds=0.3)
    new = {piece.plank for row in second.rows for piece in row.pieces if not piece.kept and piece.plank}
    assert min(new) == max(opened) + 1
    used = {piece.offcut for row in second.rows for piece in row.pieces if piece.offcut}
    assert {int(label.removeprefix("plank ")) for label in used} <= opened
    then = {
        piece.plank for row in second.rows if row.row <= 10 for piece in row.pieces if not piece.kept and piece.plank
    }
    third = den.office.layout(4, "den", row=10, measured="14' 6 1/2", seconds=0.3)
    newest = {piece.plank for row in third.rows for piece in row.pieces if not piece.kept and piece.plank}
    assert min(newest) == max(then) + 1


def _depth(view: LayoutView, rows: int) -> float:
    """How deep so many whole rows of 7 in lie; the first rows of the den are whole."""
    assert all(row.width == '7"' for row in view.rows if row.row <= rows)
    return 7.0 * rows


STEPPED = JOB.replace(
    'length = "14\' 6"\nwidth = "12\' 3 1/2"',
    'corners = [["0", "0"], ["16\'", "0"], ["16\'", "9\'"], ["10\'", "9\'"], ["10\'", "14\' 3"], ["0", "14\' 3"]]\nrows = "along"\nstart_wall = 1',
)


def test_beside_a_jog_the_outer_wall_moves(den: Shop) -> None:
    """The row of which a part lies before the jog ends at the outer wall: an inch more there, and none in the rows beyond it.

    107 3/4 in from the first wall's gap to the jog's: in 171 in, ripped or not, one row lies on that line.
    """
    den.office.load([den.file("den.toml", STEPPED)], replace=True)
    before = _lengths(den.office.layout(4, "den", seconds=0.3))
    jog = max(row for row, length in before.items() if length > 150)
    after = _lengths(den.office.layout(4, "den", row=jog - 1, measured="16' 1", seconds=0.3))
    assert after[jog] == pytest.approx(before[jog] + 1, abs=0.01)
    for row in (row for row in after if row > jog):
        assert after[row] == pytest.approx(before[row], abs=0.01)


def test_what_lies_counts_in_the_take_off(den: Shop) -> None:
    """Planned anew with nothing changed, the floor takes what it took: planks opened already, and those still to be opened."""
    (whole,) = den.office.take_off(4, seconds=0.3).materials
    view = den.office.layout(4, "den", row=7, seconds=0.3)
    (rest,) = den.office.take_off(4, seconds=0.3).materials
    assert rest.planks >= whole.planks >= rest.bound
    assert "opened already" in rest.sentence
    assert "Row 7 and those before it lie." in view.notes


HALVES = JOB.replace(
    "furniture = [", 'sections = [{ name = "window half", length = "7 ft" }, { name = "door half" }]\nfurniture = ['
)


def test_rows_that_run_through_both_halves_are_not_planned_anew(den: Shop) -> None:
    """Of a floor worked in halves it is not known what lies of row 9 in each: refused in a sentence, nothing kept."""
    text = HALVES.replace('width = "12\' 3 1/2"\n', 'width = "12\' 3 1/2"\nrows = "along"\n')
    den.office.load([den.file("den.toml", text)], replace=True)
    den.office.layout(4, "den", seconds=0.3)
    before = den.record()
    with pytest.raises(Refused, match="worked in parts, and rows 1 to 9 run through 2 of them"):
        den.office.layout(4, "den", row=9, seconds=0.3)
    assert den.record() == before


def test_a_measure_beyond_the_next_room_is_said_as_one(den: Shop) -> None:
    """A wall moved past the doorway behind it: the measure is named, not the outline's corners."""
    den.office.load([den.file("den.toml", JOINED)], replace=True)
    den.office.layout(4, "den", seconds=0.3)
    with pytest.raises(Refused, match="would put that wall beyond a doorway or another wall"):
        den.office.layout(4, "den", row=18, to_wall=f"{192 - 0.25 - 126 + 5.5:g} in", seconds=0.3)


def test_a_last_row_that_becomes_a_sliver_has_ways_out(den: Shop) -> None:
    """147 in are 21 rows of 7 in; half an inch more leaves a strip of half an inch: begun anew, 147 1/2 - 20 x 7 halves to 3 3/4 in."""
    view = den.office.layout(4, "den", row=15, to_wall="42 3/4 in", seconds=0.3)
    assert view.direction.endswith("laid already")
    (said,) = [note for note in view.notes if "last row comes out" in note]
    assert 'cover 3/4"' in said
    assert 'begin with a first row of 3 3/4", which leaves 3 3/4" for the last' in said
    assert not any(word.startswith("Tight") and " 15" in word for word in view.notes)


SLANTED = JOB.replace(
    'length = "14\' 6"\nwidth = "12\' 3 1/2"',
    'corners = [["0", "0"], ["16\'", "0"], ["16\'", "9\'"], ["0", "9\' 4"]]\nrows = "along"\nstart_wall = 1',
)


@pytest.mark.parametrize(
    ("job", "said"),
    [(STEPPED, "goes to wall 5 of den (10')."), (SLANTED, 'goes to wall 3 of den (16\' 1/32"), to the middle of it.'), (JOB, "")],
)  # fmt: skip
def test_where_the_tape_goes_is_said_where_it_is_not_plain(den: Shop, job: str, said: str) -> None:
    """Two walls across from the first row, or one at a slant; measured so, nothing moves: 110 in - 1/4 - 3 rows of 7 in."""
    den.office.load([den.file("den.toml", job)], replace=True)
    view = den.office.layout(4, "den", seconds=0.3)
    found = [note for note in view.notes if "--to-wall" in note]
    assert len(found) == bool(said)
    assert all(note.endswith(said) for note in found)
    if job is SLANTED:
        rows = len({row.row for row in view.rows})
        again = den.office.layout(4, "den", row=3, to_wall=f"{110 - 0.25 - 21:g} in", seconds=0.3)
        assert max(row.row for row in again.rows) == rows
        assert not any("measured:" in note for note in again.notes)


FIXTURES = JOB.replace(
    'floor = "gray plank"\n',
    'floor = "gray plank"\nrows = "along"\nstart_wall = 1\ncut_outs = [{ what = "flange", at = ["2\' 6", "1\' 4"], size = "4 in x 4 in" }]\n',
    1,
)


def test_what_was_cut_out_of_rows_that_lie_is_no_fault(den: Shop) -> None:
    """The flange is in rows 2 and 3; with seven rows down nothing is said of it, before it is told on its planks."""
    den.office.load([den.file("den.toml", FIXTURES)], replace=True)
    before = den.office.layout(4, "den", seconds=0.3)
    assert any("flange" in words for row in before.rows for piece in row.pieces for words in piece.cut_outs)
    after = den.office.layout(4, "den", row=7, measured="14' 6 1/4", seconds=0.3)
    assert not any("flange" in note.casefold() for note in after.notes)
    assert "row 7 lies" in den.office.changes(limit=1)[0].what


def test_looking_again_keeps_easier_cuts_at_the_same_planks(den: Shop) -> None:
    """Never a worse one: planks first, then stair steps, then what is to spare."""
    first = den.office.layout(4, "den", seconds=0)
    again = den.office.layout(4, "den", again=True, seconds=1.5)
    assert again.planks_of_all <= first.planks_of_all
    steps = [sum("stair step" in note for note in view.notes) for view in (first, again)]
    assert (again.planks_of_all, steps[1]) <= (first.planks_of_all, steps[0])
    assert again.bound_of_all >= first.bound_of_all
