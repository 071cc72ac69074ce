"""All floors of a job as they are laid: kept ones, those that are only computed, drops of sheet goods, and what is missing."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services.known import LAYING
from crewjobs.services.page_layouts import layouts_on
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
