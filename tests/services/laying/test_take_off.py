"""What a job takes: layouts found once and kept, cut lists that fill their rows, cartons, sticks and what else is bought."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from math import ceil

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services.laying.layout_rows import LayoutView
from crewjobs.services.laying.sheet_rows import SheetView
from tests.services.conftest import JOB, Shop, kept, load_den

SECONDS = 0.5
DEN = 14 * 12 + 6 - 0.5, 12 * 12 + 3.5 - 0.5
"""The den within its gap of 1/4 in, in inches."""
den = kept(load_den)


def _hold_together(view: LayoutView, length: float, depth: float) -> None:
    """See that every row is filled, all rows together are the depth, and no plank gives more than it has."""
    planks: dict[int, list[float]] = defaultdict(list)
    for row in view.rows:
        assert sum(piece.length_in for piece in row.pieces) == pytest.approx(length, abs=0.01)
        for piece in row.pieces:
            planks[piece.plank].append(piece.length_in)
    assert sum(float(_inches(row.width)) for row in view.rows) == pytest.approx(depth, abs=0.05)
    assert [row.row for row in view.rows] == [*range(1, len(view.rows) + 1)]
    assert len(planks) == view.planks
    for cut in planks.values():
        assert sum(cut) + 0.125 * (len(cut) - 1) <= 48 + 1e-3


def _inches(text: str) -> Fraction:
    """Return a width under a foot such as ``6 3/8"`` in inches."""
    return sum((Fraction(part) for part in text.rstrip('"').split()), Fraction(0))


def test_the_cut_list_fills_the_room(den: Shop) -> None:
    """A den of 14' 6 by 12' 3 1/2: rows of its length within the gap, its depth in all, planks of 48 in cut with a kerf."""
    view = den.office.layout(4, "den", seconds=SECONDS)
    _hold_together(view, *DEN)
    assert view.rooms == ("den",)
    assert view.planks_of_all == view.planks >= view.bound_of_all >= ceil(DEN[0] * DEN[1] / (48 * 7))


def test_what_is_kept_for_a_row_is_what_that_row_takes(den: Shop) -> None:
    """Every rest that is kept is named by plank and row, and there, later, a piece of that plank lies, no longer than the rest."""
    view = den.office.layout(4, "den", seconds=SECONDS)
    later = {(piece.plank, row.row): piece for row in view.rows for piece in row.pieces if piece.kept}
    kept_for = []
    for row in view.rows:
        for piece in row.pieces:
            if piece.keep:
                words = piece.keep.split(", mark it ")[1].split(" (")[0]
                plank, to = words.split(" and row ")
                found = later[int(plank), int(to)]
                assert int(to) >= row.row
                assert found.plank == piece.plank
                kept_for.append((int(plank), int(to)))
    assert sorted(kept_for) == sorted(later)


def test_a_layout_is_kept_until_the_room_changes_and_undone(den: Shop) -> None:
    """Found once, it is a change; asked again it is the same without one; undo takes it back; another size finds another."""
    first = den.office.layout(4, "den", seconds=SECONDS)
    version = den.record().version
    assert den.record().layout_of("gray plank") is not None
    assert den.office.layout(4, "den", seconds=0) == first
    assert den.office.take_off(4, seconds=0).materials[0].planks == first.planks_of_all
    assert den.record().version == version
    assert "layout" in den.office.undo().sentence
    assert den.record().layout_of("gray plank") is None
    den.office.layout(4, "den", seconds=SECONDS)
    den.office.load([den.file("den.toml", JOB.replace("14' 6", "16' 2"))], replace=True)
    _hold_together(den.office.layout(4, "den", seconds=SECONDS), 16 * 12 + 2 - 0.5, DEN[1])


def test_cartons_are_whole_with_a_reserve_and_one_stays(den: Shop) -> None:
    """Planks laid, two in a hundred more, in cartons of ten, one more to stay; the rule of thumb is told beside it."""
    row = den.office.take_off(4, seconds=SECONDS).materials[0]
    assert row.cartons == ceil((row.planks + ceil(row.planks * 0.02)) / 10) + 1
    assert row.left_planks == row.cartons * 10 - row.planks
    assert row.thumb == ceil(row.area_ft2 * 1.1 / 23.8) + 1
    bare = den.office.take_off(4, reserve=0, kept=0, seconds=SECONDS).materials[0]
    assert bare.cartons == ceil(row.planks / 10)
    with pytest.raises(Refused, match="a reserve is 0 to 100 percent"):
        den.office.take_off(4, reserve=120)


def test_a_lot_is_told_by_what_it_carries(den: Shop) -> None:
    """Eight cartons of lot A carry the den alone, one of lot B does not, and it is said how many planks there are."""
    den.office.arrived(4, "gray plank", 8, lot="A")
    den.office.arrived(4, "gray plank", 1, lot="B")
    row = den.office.take_off(4, seconds=SECONDS).materials[0]
    assert f"lot A alone carries all of it: 80 planks, {80 - row.planks} more than are laid" in row.lots
    assert f"lot B alone does not carry it: 10 planks of {row.planks}" in row.lots


CLOSET = """
[[room]]
name = "closet"
length = "6 ft"
width = "3 ft"
floor = "gray plank"
trim = "new base"

[[opening]]
between = ["den", "closet"]
width = "30 in"
door = false
transition = "continuous"
walls = [2, 4]
offsets = ["4 ft", "3 in"]
"""


def _with(shop: Shop, more: str, *changes: tuple[str, str]) -> None:
    text = JOB.replace("[[opening]]", more.strip() + "\n\n[[opening]]", 1)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    shop.office.load([shop.file("den.toml", text)], replace=True)


def test_rooms_whose_floor_runs_on_are_one_layout(den: Shop) -> None:
    """A closet joined at the den's far wall: one field of both, asked for by either name, and nothing had to be assumed of it."""
    _with(den, CLOSET)
    view = den.office.layout(4, "closet", seconds=SECONDS)
    assert view.rooms == ("den", "closet")
    assert view.rows == den.office.layout(4, "den", seconds=0).rows
    assert view.taken_as == (
        "the floor in the doorways of den / outside is left out: it is not said in which walls they are",
    )
    goods = {row.name: row for row in den.office.take_off(4, seconds=0).goods}
    assert goods["base"].sentence.startswith("base: 1 stick of 16' for 15' 6\"")


def test_the_flange_is_on_its_plank(den: Shop) -> None:
    """Rows along the first wall: the flange's middle, 60 in along and 30 in across, is told from an end of the piece it is in."""
    where = 'width = "12\' 3 1/2"'
    _with(
        den, "",
        (where, where + '\nstart_wall = 1\nrows = "along"\ncut_outs = [{ what = "flange", at = ["60 in", "30 in"], size = "4 in x 4 in" }]'),
    )  # fmt: skip
    view = den.office.layout(4, "den", seconds=SECONDS)
    told = [(row, piece) for row in view.rows for piece in row.pieces if piece.cut_outs]
    assert told
    for row, piece in told:
        before = 0.25 + sum(float(_inches(one.width)) for one in view.rows if one.row < row.row)
        assert before < 32
        assert before + float(_inches(row.width)) > 28
        left = 0.25 + sum(one.length_in for one in row.pieces[: row.pieces.index(piece)])
        assert left < 62
        assert left + piece.length_in > 58
        words = piece.cut_outs[0]
        near = min(58 - left, left + piece.length_in - 62)
        end = "left" if 58 - left <= left + piece.length_in - 62 else "right"
        assert words.startswith("flange: ")
        assert f"from its {end} end" in words
        told_at = words.split(", ")[1].removesuffix(f" from its {end} end")
        feet, _, inches = (
            told_at.rpartition("' ")
            if "' " in told_at
            else ("0", "", told_at.removesuffix("'") if told_at.endswith('"') else told_at)
        )
        assert float(feet) * 12 + float(_inches(inches)) == pytest.approx(max(0.0, near), abs=0.05)


def test_what_cannot_be_laid_out_is_said_and_bought_by_area(den: Shop) -> None:
    """Joints half a plank apart and no piece under half a plank: one sentence why not, and the cartons by area and a tenth."""
    plank = 'plank = "7 in x 48 in"'
    _with(den, "", (plank, f'{plank}\nstagger = "24 in"\nshortest = "24 in"'))
    view = den.office.take_off(4, seconds=SECONDS)
    (row,) = view.materials
    assert row.fault
    assert (row.planks, row.cartons) == (0, row.thumb)
    with pytest.raises(Refused):
        den.office.layout(4, "den")


@pytest.mark.parametrize(
    ("room", "sentence"),
    [("attic", "attic"), ("hall", "gets no new floor")],
)
def test_only_new_floors_are_laid_out(den: Shop, room: str, sentence: str) -> None:
    """A room that is not there, one without a new floor: a sentence each, and nothing is kept."""
    hall = '[[room]]\nname = "hall"\nlength = "9 ft"\nwidth = "4 ft"\n'
    bath = '[[room]]\nname = "bath"\nlength = "8 ft"\nwidth = "5 ft"\nfloor = "white sheet"\n'
    sheet = '[[material]]\nname = "white sheet"\nkind = "sheet vinyl"\nroll = "6 ft"\n'
    _with(den, f"{hall}\n{bath}\n{sheet}")
    with pytest.raises(Refused, match=sentence):
        den.office.layout(4, room, seconds=SECONDS)
    assert den.record().layouts == ()
    rows = {row.material: row for row in den.office.take_off(4, seconds=SECONDS).materials}
    assert rows["white sheet"].unit == "running ft"
    assert "off a 6' roll" in rows["white sheet"].sentence


def test_the_rest_is_planned_anew_from_the_row_laid(den: Shop) -> None:
    """The wall turned out half an inch farther after row 7: rows from 8 on are that much longer, and rests at hand are used.

    It is kept: asked again it is the same; undo brings back the layout as it was.
    """
    first = den.office.layout(4, "den", seconds=SECONDS)
    lays = DEN[0] if "14' 6" in first.direction else DEN[1]
    feet, inches = divmod(lays + 0.5, 12)
    anew = den.office.layout(4, "den", row=7, measured=f"{int(feet)}' {inches + 0.5:g}", seconds=SECONDS)
    assert [row.row for row in anew.rows] == [*range(8, len(first.rows) + 1)]
    for row in anew.rows:
        assert sum(piece.length_in for piece in row.pieces) == pytest.approx(lays + 0.5, abs=0.01)
    assert den.office.layout(4, "den", seconds=0) == anew
    more = den.office.layout(4, "den", row=10, to_wall=f"{_to_wall(first, 10) - 1:g} in", seconds=SECONDS)
    assert more.rows[0].row == 11
    wide = sum(float(_inches(row.width)) for row in more.rows)
    assert wide == pytest.approx(_to_wall(first, 10) - 1 - 0.25, abs=0.05)
    with pytest.raises(Refused, match="row 10 lies"):
        den.office.layout(4, "den", row=9)
    with pytest.raises(Refused, match="measure again"):
        den.office.layout(4, "den", row=12, measured="30 ft")
    with pytest.raises(Refused, match=r"there is no row|is its last"):
        den.office.layout(4, "den", row=len(first.rows), measured="14 ft")
    den.office.undo()
    den.office.undo()
    assert den.office.layout(4, "den", seconds=0) == first


def _to_wall(view: LayoutView, row: int) -> float:
    """Return how far a row's far edge is from the wall opposite, in inches."""
    return sum(float(_inches(one.width)) for one in view.rows if one.row > row) + 0.25


SHEETS = """
[[room]]
name = "kitchen"
corners = [["0", "0"], ["20 ft", "0"], ["20 ft", "9 ft"], ["14 ft", "9 ft"], ["14 ft", "16 ft"], ["0", "16 ft"]]
floor = "white sheet"

[[room]]
name = "bath"
length = "8 ft"
width = "5 ft"
floor = "white sheet"

[[material]]
name = "white sheet"
kind = "sheet vinyl"
roll = "12 ft"
repeat = "18 in"
"""


def test_drops_are_told_in_the_order_they_come_off_the_roll(den: Shop) -> None:
    """Drops of 16 ft 6 in, eleven repeats of 18 in: the second begins where the first ends, beside it the strip for the shorter leg
    and the bath, and a lead hears that three feet more would save seam. Worked by hand: 20 ft 6 in and 14 ft 6 in would be 36 ft."""
    _with(den, SHEETS)
    view = den.office.layout(4, "kitchen")
    assert isinstance(view, SheetView)
    assert [(drop.length_in / 12, drop.at_in / 12) for drop in view.drops] == [(16.5, 0), (9.5, 16.5), (16.5, 16.5)]
    assert view.seams == ("a seam 16' long, 2' 3\" from wall 6", "a seam 9' long, 14' 3\" from wall 6")
    assert (view.feet, view.bound_feet, view.proved, view.rooms) == (33, 33, True, ("kitchen",))
    assert "3 running ft more would save 11' of seam: 36 in all, 14' of seam." in view.notes
    assert "Cut off the same roll: bath." in view.notes
    (bath,) = den.office.layout(4, "bath").drops  # type: ignore[union-attr]
    assert (bath.number, bath.at_in / 12) == (4, 27)
    row = next(row for row in den.office.take_off(4, seconds=SECONDS).materials if row.material == "white sheet")
    assert (row.cartons, sum(words.startswith("drop ") for words in row.fields)) == (33, 4)
    assert den.record().layout_of("white sheet") is None  # nothing of it is kept: it is found anew in no time


def test_a_roll_nobody_makes_is_one_sentence(den: Shop) -> None:
    """A roll of 10 in is a slip: it is refused where the job is loaded."""
    with pytest.raises(Refused, match="material 'white sheet': a roll 10\" wide: it is 2' at least and 17' at most"):
        _with(den, SHEETS.replace('roll = "12 ft"\nrepeat = "18 in"', 'roll = "10 in"'))
    assert [room.name for room in den.record().job.rooms] == ["den"]


def test_two_lots_are_told_by_the_floors_they_carry_together(den: Shop) -> None:
    """A den and a study of one product: neither lot carries both, one of seven cartons the den, one of four the study."""
    study = '[[room]]\nname = "study"\nlength = "9 ft"\nwidth = "8 ft"\nfloor = "gray plank"\n'
    _with(den, study, ("cartons = 9", "cartons = 20"))
    den.office.arrived(4, "gray plank", 9, lot="A")
    den.office.arrived(4, "gray plank", 4, lot="B")
    row = den.office.take_off(4, seconds=SECONDS).materials[0]
    assert any(
        words.startswith("lot A alone does not carry it: 90 planks of") and "it carries den (" in words
        for words in row.lots
    )
    assert any(
        words.startswith("lot B alone does not carry it: 40 planks of") and "it carries study (" in words
        for words in row.lots
    )
    assert "no floor needs two lots: lot A into den and lot B into study" in row.lots


def test_an_order_without_a_day_is_not_placed_yet(den: Shop) -> None:
    """Nine cartons with a day are ordered; without one they are on the order only."""
    assert "; ordered are 9 cartons" in den.office.take_off(4, seconds=SECONDS).materials[0].sentence
    _with(den, "", ("ordered = 2026-02-16\n", ""), ('due = "2026-03-03 10:00"\n', ""))
    assert (
        "; on the order, not placed yet, are 9 cartons" in den.office.take_off(4, seconds=SECONDS).materials[0].sentence
    )


def test_goods_on_order_stand_beside_what_is_needed(den: Shop) -> None:
    """Two sticks of base are ordered; the den's walls are 53 ft 7 in less a door of 3 ft: four sticks of 16 ft."""
    ordered = JOB.replace('floor = "gray plank"\n', 'floor = "gray plank"\ntrim = "new base"\n', 1)
    ordered += '\n[[order]]\ngoods = "base"\ncount = 2\nsupplier = "north yard"\nordered = 2026-02-16\ndue = "2026-03-03 10:00"\n'
    den.office.load([den.file("den.toml", ordered)], replace=True)
    (base,) = [line for line in den.office.take_off(4, seconds=0).goods if line.name == "base"]
    assert base.count == 4
    assert base.sentence.endswith("; on the order are 2, 2 short")
