"""All floors of a job as they are laid: kept ones, those that are only computed, drops of sheet goods, and what is missing."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.engines.laying.model import Problem, Run
from crewjobs.engines.laying.search import Search
from crewjobs.services.jobs.known import LAYING
from crewjobs.services.laying.layout_view import sure_words
from crewjobs.services.pages.page_layouts import layouts_on
from tests.engines.laying.given import inches, product
from tests.moved_house import JOB
from tests.services.conftest import SHOP, Shop, kept

TILES = JOB.replace('kind = "click vinyl"\nplank = "7 in x 48 in"\ncarton = "23.6 ft2"', 'kind = "click vinyl"\nplank = "12 in x 24 in"\npattern = "grid"\ncarton = "24 ft2"')  # fmt: skip


def load_house(shop: Shop) -> None:
    """The invented house: living and hall in planks, the study in sheet vinyl."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("house.toml", JOB)])


house = kept(load_house)


def test_every_floor_is_shown_once(house: Shop) -> None:
    """Before: the planks are missing, the sheet is told drop by drop. Found with one call, undone with one."""
    before = house.office.layouts(21)
    assert before.missing == ("harbor plank: not laid out yet.",)
    assert [(one.rooms, one.way) for one in before.floors] == [(("study",), "drops")]
    told: list[str] = []
    done = house.office.lay_out(21, seconds=0.3, watch=told.append)
    assert "harbor plank" in done.sentence
    assert told
    assert told[-1].startswith("harbor plank: ")
    after = house.office.layouts(21)
    assert after.missing == ()
    assert [one.rooms for one in after.floors] == [("living",), ("hall",), ("study",)]
    assert all(one.drawn_rows for one in after.floors[:2])
    house.office.undo()
    assert house.office.layouts(21).missing == before.missing


def test_a_room_measured_again_is_laid_out_anew(house: Shop) -> None:
    """The hall is narrower than was said: the layout kept is of another room, and that is said."""
    house.office.lay_out(21, seconds=0.3)
    house.office.load([house.file("house.toml", JOB.replace('width = "4\' 8"', 'width = "4\' 2"'))], replace=True)
    (sentence,) = house.office.layouts(21).missing
    assert "changed since" in sentence


def test_grids_need_no_looking_for(house: Shop) -> None:
    """Tiles are set out at once; there is nothing to look for, and that is one sentence."""
    house.office.load([house.file("house.toml", TILES)], replace=True)
    view = house.office.layouts(21)
    assert {one.way for one in view.floors} == {"tiles", "drops"}
    assert view.missing == ()
    with pytest.raises(Refused, match="nothing to look for"):
        house.office.lay_out(21)


def test_the_page_has_drops_and_lines_to_snap(house: Shop) -> None:
    """The day the sheet is cut has its drops; the day tiles are set has the lines, and no rows."""
    record = house.record(21)
    cut = [task for task in record.tasks if task.key.template in LAYING and task.key.scope.name == "study"]
    (page,) = layouts_on(record, cut, "us")
    assert any("drop 1" in sentence for sentence in page.sentences)
    house.office.load([house.file("house.toml", TILES)], replace=True)
    record = house.record(21)
    laid = [task for task in record.tasks if task.key.template in LAYING and task.key.scope.name == "hall"]
    (page,) = layouts_on(record, laid, "us")
    assert page.rows == ()
    assert any("snap that line" in sentence for sentence in page.sentences)


def test_a_part_worked_before_the_one_its_rows_go_on_from_is_said(house: Shop) -> None:
    """Three sections, the middle one last: the pieces of the door's part go on from the middle's, and no order of work changes that."""
    middle_last = (
        JOB.replace('["living: window half"], ["living: door half", "hall"]', '["living: window half"], ["living: door half"], ["living: middle", "hall"]')
        .replace('{ name = "window half", length = "9\' 3" }', '{ name = "window half", length = "6\'" }, { name = "middle", length = "6\'" }')
        .replace("[[room]]\nname = \"hall\"", "rows = \"along\"\n[[room]]\nname = \"hall\"", 1)
    )  # fmt: skip
    house.office.load([house.file("three.toml", middle_last)], replace=True)
    view = house.office.layout(21, "living", seconds=0.3)
    (said,) = [note for note in view.notes if "is worked before" in note]
    assert said.startswith("Living, door half is worked before living, middle")
    in_order = middle_last.replace('["living: door half"], ["living: middle", "hall"]', '["living: middle"], ["living: door half", "hall"]')  # fmt: skip
    house.office.load([house.file("three.toml", in_order)], replace=True)
    assert not any("is worked before" in note for note in house.office.layout(21, "living", seconds=0.3).notes)


def test_rows_shorter_than_a_plank_are_said_to_be_in_one_piece() -> None:
    """Four rows just under 12 ft from planks of 16 ft: three could carry them with joints, four do with none. Where the material alone asks for four nothing is said."""
    plank = product(192, 7)

    def said(length: float) -> str:
        problem = Problem(
            product=plank, runs=tuple(Run(field=0, row=row, left=0, right=inches(length)) for row in range(4))
        )
        layout = Search(problem).run(rounds=1)
        assert layout.planks == 4
        return sure_words(layout, problem)

    assert said(143) == "No layout of these rows takes fewer, rows shorter than a plank in one piece."
    assert said(185) == "No layout of these rows takes fewer."
