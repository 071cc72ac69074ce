"""The cut list, what is kept, planning anew from a row on, and fixtures on their planks."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH
from crewjobs.engines.laying.cut_list import cut_list, rests
from crewjobs.engines.laying.fixtures import Side, cut_outs, wall_cuts
from crewjobs.engines.laying.floors import Floor
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.geometry import inset
from crewjobs.engines.laying.layouts import pieces_of
from crewjobs.engines.laying.model import Kind, Layout, Offcut
from crewjobs.engines.laying.replanning import moved, offcuts_after, replan
from crewjobs.engines.laying.search import Search
from tests import thorough
from tests.engines.laying.checker import Piece
from tests.engines.laying.given import field, floor, inches, product, rectangle
from tests.engines.laying.instances import judged
from tests.engines.laying.rooms import room


def laid(seed: int = 4, area: float = 140, rounds: int = 2, wall: Wall = Wall.TOP) -> tuple[Floor, Layout]:
    """Return a random room with a layout."""
    made = floor(product(), room(Random(seed), area, "den"), wall=wall)
    return made, Search(made.problem).run(rounds=rounds)


@pytest.mark.parametrize("seed", range(4))
def test_the_cut_list_can_be_followed(seed: int):
    """Cut in its order, every piece comes from a new plank or from the rest kept under its plank's number and row; all of the
    layout's pieces are cut once, and planks are opened in order of their numbers."""
    made, layout = laid(seed)
    kept: dict[tuple[int, int, int], int] = {}
    numbers, opened = [], 0
    for run in cut_list(made, layout):
        assert run.width == made.fields[run.field].rips.widths[run.row]
        for piece in run.pieces:
            numbers.append(piece.number)
            if piece.kept:
                have = kept.pop((piece.plank, run.field, run.row))
            else:
                opened += 1
                assert piece.plank == opened
                have = product().length
            assert piece.length <= have
            if piece.keep is not None:
                assert piece.keep.plank == piece.plank
                assert piece.keep.length == have - piece.length - product().kerf
                kept[piece.plank, piece.keep.field, piece.keep.row] = piece.keep.length
    assert not kept
    assert opened == layout.planks
    assert sorted(numbers) == list(range(len(layout.pieces)))


def test_tight_cuts_are_those_of_planks_with_little_to_spare():
    """A piece is marked exactly if its plank is cut more than once and leaves less than half an inch."""
    made, layout = laid(7)
    used, pieces = Counter[int](), Counter[int]()
    for piece in layout.pieces:
        used[piece.plank] += piece.length + product().kerf
        pieces[piece.plank] += 1
    for run in cut_list(made, layout):
        for piece in run.pieces:
            plank = layout.pieces[piece.number].plank
            spare = product().length + product().kerf - used[plank]
            assert piece.tight == (pieces[plank] > 1 and spare < INCH // 2)


def test_rests_and_pieces_make_up_the_planks():
    """Pieces, cuts and rests together are the planks opened."""
    made, layout = laid(3)
    total = sum(piece.length for piece in layout.pieces) + sum(rest.length for rest in rests(made, layout))
    cuts = layout.planks * product().length - total
    assert 0 <= cuts <= len(layout.pieces) * product().kerf


def on_the_floor(made: Floor) -> list[Piece]:
    """Return the pieces that lie already, each from a plank of its own, for the judge."""
    found = []
    for number, run in enumerate(made.problem.runs):
        if run.laid is not None:
            for kind, left, right in pieces_of(made.problem.product, run, run.laid):
                whole = right - left == made.problem.product.length
                name = "full" if whole else kind.value
                found.append(Piece(number, run.row, name, left / INCH, right / INCH, 10**6 + len(found), run.field))
    return found


@given(seed=st.integers(0, 10**5), rows=st.integers(0, 9), right=st.sampled_from([-0.5, 0, 0.5]))
@settings(max_examples=thorough.examples(10, 4), deadline=None)
def test_planning_anew_keeps_what_is_laid(seed: int, rows: int, right: float):
    """From any row on, with a wall half an inch off, rows laid stay as they are, and the whole floor is right by the judge with
    the offcuts at hand."""
    made, layout = laid(seed, area=70, rounds=0)
    rows = min(rows, len(made.fields[0].rips.widths) - 1)
    field = moved(made.fields[0], rows, right=inches(right))
    again = replan(made, layout, {0: rows}, fields={0: field}).floor
    new = Search(again.problem).run(rounds=1)
    for run, start in zip(again.problem.runs, new.starts, strict=True):
        if run.row < rows:
            assert run.laid == start
    there = on_the_floor(again)
    faults = judged(again, new, there)
    said = f"{new.planks} planks are said"
    assert [
        fault for fault in faults if not fault.startswith(said) and not _at_the_moved_wall(fault, rows, right)
    ] == []


def _at_the_moved_wall(fault: str, rows: int, right: float) -> bool:
    """Rows laid before the wall was measured anew end where it was thought to be."""
    return bool(rows and right and "not covered" in fault)


def test_planning_anew_without_a_change_takes_no_more_planks():
    """Laid up to a row and planned anew with the walls as they were, the floor takes no more planks than the plan said."""
    made, layout = laid(5, rounds=6)
    rows = len(made.fields[0].rips.widths) // 2
    again = replan(made, layout, {0: rows})
    new = Search(again.floor.problem, begin=again.starts).run(rounds=2)
    opened = {piece.plank for piece in layout.pieces if made.problem.runs[piece.run].row < rows}
    assert new.planks + len(opened) <= layout.planks


def test_offcuts_at_hand_are_the_other_halves():
    """What is at hand after some rows has the factory end the cut piece did not take, and the length that is left."""
    made, layout = laid(6)
    rows = len(made.fields[0].rips.widths) // 2
    done = [piece for piece in layout.pieces if made.problem.runs[piece.run].row < rows]
    numbers = {layout.pieces[piece.number].plank: piece.plank for run in cut_list(made, layout) for piece in run.pieces}
    of: dict[int, list] = {}
    for piece in done:
        of.setdefault(numbers[piece.plank], []).append(piece)
    at_hand = offcuts_after(made, layout, {0: rows})
    assert at_hand
    for one in at_hand:
        cut = of[int(one.label.removeprefix("plank "))]
        assert one.length == product().length - sum(piece.length + product().kerf for piece in cut)
        assert (Kind.START if one.starts else Kind.END) not in {piece.kind for piece in cut}


def test_an_offcut_given_is_used():
    """A start of just the length at hand opens one plank less than without it."""
    made = floor(product(), rectangle(80, 7.5))
    alone = Search(made.problem).run(rounds=4)
    offcut = Offcut(label="from the hall", length=inches(40), starts=True)
    again = replan(made, alone, {}, offcuts=[offcut])
    with_it = Search(again.floor.problem).run(rounds=4)
    assert with_it.planks == alone.planks - 1
    assert judged(again.floor, with_it) == []
    assert any(piece.offcut == "from the hall" for run in cut_list(again.floor, with_it) for piece in run.pieces)


def test_a_last_row_that_turned_out_narrow_is_told():
    """With the far wall 5 in nearer the last row of a full plank is 2 in, which is under the limit and said."""
    made = floor(product(), rectangle(100, 70.5))
    layout = Search(made.problem).run(rounds=0)
    again = replan(made, layout, {0: 3}, fields={0: moved(made.fields[0], 3, far=inches(-5))})
    assert again.narrow == inches(2)
    assert replan(made, layout, {0: 3}).narrow is None


@pytest.mark.parametrize(
    ("rows", "far", "match"), [(11, 0, "cannot be laid"), (9, -40, "beyond the far wall"), (10, 0, "nothing left")]
)
def test_planning_anew_of_what_cannot_be_is_refused(rows: int, far: float, match: str):
    """More rows than there are, a wall behind rows laid, or a floor that is done: one sentence."""
    made = floor(product(), rectangle(100, 70.5))
    layout = Search(made.problem).run(rounds=0)
    with pytest.raises(Refused, match=match):
        replan(made, layout, {0: rows}, fields={0: moved(made.fields[0], rows, far=inches(far))})


@pytest.mark.parametrize("wall", list(Wall))
def test_a_point_lies_on_the_piece_it_lies_on(wall: Wall):
    """A point in the room is found on one piece, and measured from that piece's sides it is the same point again."""
    made, layout = laid(9, wall=wall)
    rows = made.fields[0]
    for number in range(0, len(layout.pieces), 7):
        piece = layout.pieces[number]
        low, _ = rows.row_at(made.problem.runs[piece.run].row)
        point = rows.frame.back((piece.left + INCH, low + 2 * INCH))
        (found,) = cut_outs(made, layout, 0, point)
        assert found.piece == number
        assert (found.from_left, found.from_near) == (INCH, 2 * INCH)
        assert found.from_left + found.from_right == piece.length
        assert found.inside


def test_a_vent_across_two_rows_is_two_notches():
    """A vent over a row's edge is cut out of both rows, open to each other, and both parts make up its area."""
    made = floor(product(), rectangle(100, 70.5))
    layout = Search(made.problem).run(rounds=0)
    one, other = (inches(30), inches(12)), (inches(34), inches(22))
    parts = cut_outs(made, layout, 0, one, other)
    assert sum(part.width * part.depth for part in parts) == inches(4) * inches(10)
    assert {part.row for part in parts} == {1, 2, 3}
    for part in parts:
        assert (Side.FAR in part.open) == (part.row < 3)
        assert (Side.NEAR in part.open) == (part.row > 1)


@pytest.mark.parametrize("seed", range(3))
def test_wall_cuts_are_what_lies_beyond_the_floor(seed: int):
    """Notches take from the pieces' rectangles exactly what is not floor, in a room with jogs and a doorway."""
    made, layout = laid(seed)
    rows = made.fields[0]
    floor_area = inset(rows.field, product().gap, rows.frame).area
    pieces = sum(piece.length * made.fields[0].rips.widths[made.problem.runs[piece.run].row] for piece in layout.pieces)
    cuts = wall_cuts(made, layout)
    assert not any(cut.slanted for cut in cuts)
    assert pieces - sum(cut.width * cut.depth for cut in cuts) == pytest.approx(floor_area, rel=1e-6)
    assert all(cut.open for cut in cuts)


def test_slanted_walls_are_told():
    """Along a slanted wall every row's last piece is cut on a slant."""
    made = floor(product(), field([(0, 0), (100, 0), (170, 70), (0, 70)]))
    layout = Search(made.problem).run(rounds=0)
    cuts = wall_cuts(made, layout)
    assert {cut.row for cut in cuts if cut.slanted} == set(range(len(made.fields[0].rips.widths)))


def test_a_fixture_outside_is_refused():
    """A point where no plank lies is refused in one sentence with the room."""
    made, layout = laid(2)
    with pytest.raises(Refused, match="den"):
        cut_outs(made, layout, 0, (inches(-40), inches(5)))
