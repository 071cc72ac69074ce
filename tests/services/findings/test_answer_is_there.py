"""Somebody who was asked about what was found has been there: that settles nothing, the way on does; and no day is lost by it."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import OnHold
from crewjobs.domain.waits import WaitState
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.findings.hanging import ALL_HANGS, PART_HANGS
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database

TOILET_OUT = 11
"""In job 2 of the demo."""
SHUTOFF = "shutoff weeps"


@pytest.fixture
def office(demo_file) -> Office:
    """Return the demo, its plan following what is recorded."""
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)


def test_a_plumber_who_was_there_leaves_the_way_on_to_be_taken(office):
    """The answer names what is held still and the command; the tick says the same; once the way on is taken it opens."""
    office.found(2, "bath", SHUTOFF)
    said = office.came(2, "plumber").then
    assert not any("no longer holds" in one for one in said)
    (held,) = (one for one in said if one.startswith("Shutoff weeps found in bath still holds "))
    assert f"task {TOILET_OUT} 'Toilet out" in held
    assert held.endswith(": a way on is to be taken now.")
    assert any(f'`crewjobs found 2 bath "{SHUTOFF}" --way repaired` with --by' in one for one in said)
    with pytest.raises(OnHold, match="no way on is taken"):
        office.tick(2, [TOILET_OUT])
    assert [row.job for row in office.waiting() if row.state is WaitState.TO_DECIDE] == [2]
    office.way_on(2, "bath", SHUTOFF, "repaired", by="Ohm")
    assert "no way on" not in next(row.hold for row in office.job(2).tasks if row.number == TOILET_OUT)


@pytest.mark.parametrize("promised", ["", "2026-03-03 09:00"])
def test_the_days_keep_their_if_once_he_was_there(office, promised):
    """As they had it while he was awaited; without a day of his there was none before."""
    office.found(2, "bath", SHUTOFF)
    if promised:
        office.promised(2, "plumber", promised)
    assert bool(office.notice(2).days) is bool(promised)
    office.came(2, "plumber")
    notice = office.notice(2)
    assert {day.hangs for day in notice.days} == {ALL_HANGS, PART_HANGS}
    assert not notice.no_day
    office.way_on(2, "bath", SHUTOFF, "repaired", by="Ohm")
    assert {day.hangs for day in office.notice(2).days} == {""}


def test_of_several_that_are_asked_the_others_are_named(office):
    """The sample is taken, and its laboratory is still to answer: only then a way on is taken."""
    office.found(1, "hall", "suspect asbestos")
    said = office.came(1, "inspector").then
    assert any(one.endswith(": the laboratory is still to answer.") for one in said)
    assert not any(one.startswith("A way on") for one in said)
    said = office.came(1, "laboratory").then
    assert len([one for one in said if one.startswith("A way on: ")]) == 3
    assert {day.hangs for day in office.notice(1).days} == {ALL_HANGS}


def test_what_nobody_was_asked_about_has_no_day_for_what_else_came(office):
    """Rot is for the customer to agree to: what the painter was asked for says nothing of it."""
    office.found(2, "bath", "rot", area="4 ft2")
    held = next(row.number for row in office.job(2).tasks if row.title.startswith("Spread glue"))
    office.ask(2, "painter", "second coat", holds=[held])
    office.came(2, "painter")
    assert "no way on is taken" in " ".join(office.job(2).not_planned)
