"""A clock set back: nothing is written for a moment long over, and what a wrong clock wrote is taken back."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from crewjobs.services.office import Office
from tests.services.conftest import Shop


def test_by_a_clock_set_back_nothing_is_planned_or_recorded(shop: Shop) -> None:
    """The plan in force stays, and so does the job: one sentence with both moments and what would be right."""
    shop.office.plan()
    planned, record = shop.office.week(), shop.record()
    shop.clock.set("1999-01-01", "08:00")
    said = r"it is Fri 1 Jan 1999 08:00 by this clock, but the last record is of Mon 2 Mar 2026 06:30: set the clock"
    for written in (shop.office.plan, lambda: shop.office.tick(4, [1], because="told by phone")):
        with pytest.raises(Refused, match=said):
            written()
    shop.clock.set("2026-03-02", "06:30")
    assert shop.office.week() == planned
    assert shop.record() == record


def test_two_machines_differ_and_what_was_earlier_is_recorded(shop: Shop) -> None:
    """A day less is no clock set back; a moment that is typed may lie before any record."""
    shop.office.plan()
    shop.clock.set("2026-03-01", "06:30")
    assert shop.office.tick(4, [1], because="told by phone").change
    shop.clock.set("2026-03-02", "06:30")
    assert shop.office.tick(4, [2], at="2026-02-20 10:00", because="told by phone").change


def test_what_a_clock_in_the_future_wrote_is_taken_back_by_one_that_is_right(shop: Shop) -> None:
    """Undo is refused by no clock, and then nothing stands that lies ahead."""
    shop.clock.set("2031-03-02", "06:30")
    shop.office.tick(4, [1], because="told by phone")
    shop.clock.set("2026-03-02", "06:30")
    with pytest.raises(Refused, match="taken back with `crewjobs undo`"):
        shop.office.tick(4, [2], because="told by phone")
    shop.office.undo()
    assert shop.office.tick(4, [2], because="told by phone").change


@pytest.fixture
def found(demo_file: Path) -> Path:
    """The demo's Monday after rot was found at 10:40 where a crew is about to lay."""
    assert 14 in planned(Office.at(database=demo_file, pretend="2026-03-02 10:35"), BEHIND)
    Office.at(database=demo_file, pretend="2026-03-02 10:40").found(14, "back bedroom", "rot")
    return demo_file


def planned(office: Office, task: int) -> set[int]:
    """Return the jobs whose task of a number is in this week's visits."""
    return {visit.job for day in office.week().days for visit in day.visits if task in visit.tasks}


BEHIND = 14
"""The task that lays the floor that the rot is under."""


@pytest.mark.parametrize("does", ["plan", "improve", "follow", "how far"])
def test_by_a_clock_some_minutes_behind_what_was_found_holds_work_in_every_plan(found: Path, does: str) -> None:
    """Two machines differ: what one recorded at 10:40 the other plans by, though its clock says 10:35."""
    office = Office.at(database=found, pretend="2026-03-02 10:35")
    if does == "plan":
        said = "The last record is of Mon 2 Mar 10:40, later than this clock's Mon 2 Mar 10:35: planned from there on."
        assert said in office.plan().then
    elif does == "improve":
        office.improve(rounds=2)
        assert not office.proposal_waits() or all(
            move.job != 14 or move.now is None for move in office.proposal().moves
        )
    elif does == "follow":
        assert office.tick(11, [6]).change
    else:
        assert office.how_far(11, 6, "50 %").change
    assert 14 not in planned(office, BEHIND)


def test_by_a_clock_some_minutes_behind_nothing_that_was_found_to_hold_is_supposed_or_offered(found: Path) -> None:
    """Neither what-if nor an offer has work that a finding holds, though by this clock it is found in five minutes."""
    office = Office.at(database=found, pretend="2026-03-02 10:35")
    view = office.what_if(WhatIfAsked(promises=((14, "2026-03-20"),)))
    assert [row.then for row in view.jobs if row.job == 14] == [None]
    offers = office.offers("Hazel")
    assert offers
    assert 14 not in {offer.job for offer in offers}


def test_what_was_done_before_it_was_found_is_still_recorded_as_done_then(found: Path) -> None:
    """Only the plan begins at the last record: a moment that is typed stays what it is, before the finding too."""
    office = Office.at(database=found, pretend="2026-03-02 10:35")
    done = office.tick(14, [BEHIND], at="2026-03-02 10:20")
    assert done.sentence.endswith("done Mon 2 Mar 10:20.")
