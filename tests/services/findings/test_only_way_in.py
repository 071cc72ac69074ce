"""Nobody is sent into a house of which all lies behind a place that is shut: what is of the house as a whole waits, too."""

from __future__ import annotations

import re
from datetime import date

import pytest

from crewjobs.domain.errors import OnHold
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.findings.hanging import ALL_HANGS
from crewjobs.services.findings.kept_out import NOBODY_GOES_IN
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database

PROTECTION = 5
"""In jobs 1 and 2 of the demo, and in job 6."""
OVER = 6
"""In job 1 of the demo: furniture onto the other half of the living room, which lies behind the hall."""
SOFT = "rot in {}: cut out and replace soft wood"


@pytest.fixture
def office(demo_file) -> Office:
    """Return the demo, its plan following what is recorded."""
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)


@pytest.mark.parametrize(
    ("job", "place", "kind"),
    [
        (1, "hall", "suspect asbestos"),
        (1, "hall", "live wire"),
        (1, "hall", "rot"),
        (1, "house", "live wire"),
        (2, "back hall", "live wire"),
        (6, "landing", "suspect asbestos"),
    ],
)
def test_the_protection_waits_where_the_only_way_in_is_shut(office, job, place, kind):
    """No day without its if, nothing offered to a crew, no tick without a reason."""
    office.found(job, place, kind)
    assert {day.hangs for day in office.notice(job).days} <= {ALL_HANGS}
    with pytest.raises(OnHold, match=f"found in {place}"):
        office.tick(job, [PROTECTION])
    assert job not in {one.job for one in office.offers("Rowan", at="2026-03-02 08:00")}
    (protection,) = (row for row in office.job(job).tasks if row.number == PROTECTION)
    assert f"found in {place}" in protection.hold


def test_with_a_day_promised_everything_has_its_if(office):
    """The crew's page says it at the task itself."""
    office.found(1, "hall", "suspect asbestos")
    days = office.notice(1).days
    assert days
    assert {day.hangs for day in days} == {ALL_HANGS}
    page = _text(office.day_plan_text(days[0].day, "Birch"))
    assert re.search(r"Protection down: .{,90} ON HOLD: Suspect asbestos found in hall", page)


def test_another_way_in_or_a_way_on_opens_it(office, tmp_path):
    """A door of the living room's own; else the laboratory's answer."""
    office.found(1, "hall", "suspect asbestos")
    door = '\n[[opening]]\nbetween = ["living: window half", "outside"]\nwidth = "3 ft"\ndoor = false\n'
    file = tmp_path / "one.toml"
    file.write_text(office.dump(1) + door)
    office.load([file], replace=True)
    assert not _held(office, 1, PROTECTION)
    office.undo()
    assert _held(office, 1, PROTECTION)
    clear = {"laboratory": "Bay Analysis", "sampled": "2026-03-02", "sample": "K-1"}
    office.way_on(1, "hall", "suspect asbestos", "proven clear", **clear)
    office.tick(1, [PROTECTION])


def test_with_a_room_left_it_goes_on_and_says_where_not(office):
    """The living room is behind nothing: only there nobody goes in."""
    office.found(1, "living", "suspect asbestos")
    assert not _held(office, 1, PROTECTION)
    pages = [_text(office.day_plan_text(date(2026, 3, day), crew)) for day in (3, 4) for crew in ("Birch", "Cedar")]
    (page,) = (page for page in pages if "Protection down" in page)
    assert f"not in living: {NOBODY_GOES_IN}" in page


def test_two_places_that_leave_nothing_hold_it_together(office):
    """Neither of them alone, and no more once one of them is settled."""
    office.found(2, "bath", "live wire")
    assert not _held(office, 2, PROTECTION)
    office.found(2, "back hall", "live wire")
    assert _held(office, 2, PROTECTION)
    office.way_on(2, "back hall", "live wire", "made by the trade", by="Ohm")
    assert not _held(office, 2, PROTECTION)


def test_soft_wood_on_the_only_way_holds_what_is_behind_also_after_the_yes(office):
    """What its own work needs in that place is open from the customer's yes on; nothing behind it is before a way on."""
    office.found(1, "hall", "rot", area="6 ft2")
    assert _held(office, 1, PROTECTION)
    assert _held(office, 1, OVER)
    office.agreed(1, SOFT.format("hall"), by="Odalys")
    assert not _held(office, 1, PROTECTION)
    with pytest.raises(OnHold, match="rot found in hall"):
        office.tick(1, [PROTECTION, OVER])
    office.tick(1, [PROTECTION])
    with pytest.raises(OnHold, match="rot found in hall"):
        office.tick(1, [OVER])


def test_the_floor_over_the_soft_wood_comes_out_first_where_it_waits_for_nothing_behind(office, tmp_path):
    """The hall is worked first: that its protection is held until the yes too does not put the work before the carpet."""
    file = tmp_path / "one.toml"
    stages = 'stages = [["hall"], ["living: window half"], ["living: door half"]]'
    file.write_text(re.sub(r"(?m)^stages = .*$", stages, office.dump(1)))
    office.load([file], replace=True)
    office.found(1, "hall", "rot", area="6 ft2")
    office.agreed(1, SOFT.format("hall"), by="Odalys")
    rows = {(row.title.partition(" ")[0], row.where): row for row in office.job(1).tasks}
    work = rows["cut", "hall"].number
    with office._database.reading() as uow:
        before = {link.before for link in uow.job(1).links if link.after == work}
    assert before == {PROTECTION, rows["Carpet,", "hall"].number}


def test_the_crew_that_comes_for_the_soft_wood_is_told_where_nobody_goes_meanwhile(office):
    """To the landing it comes for that; the bedrooms behind it wait until it is replaced."""
    office.found(6, "landing", "rot", area="4 ft2")
    assert not office.notice(6).days
    office.agreed(6, SOFT.format("landing"), by="Pia")
    day = office.notice(6).days[0].day
    page = _text(office.day_plan_text(day, "Birch"))
    assert "Landing: cut out and replace soft wood" in page
    assert page.count(f"not in corner bedroom, east bedroom and small bedroom: {NOBODY_GOES_IN}") == 2
    assert "not in corner bedroom, east bedroom, landing" not in page


@pytest.mark.parametrize("kind", ["carry-in", "walk-through"])
def test_a_small_visit_reads_it_at_every_line_that_leads_in(office, kind):
    """Whoever goes there to carry in or to walk through; what is counted before that is counted outside."""
    office.plan_visit(6, kind, at="2026-03-06 11:00")
    held = f"ON HOLD: {NOBODY_GOES_IN}"
    assert held not in _text(office.day_plan_text(date(2026, 3, 6), "Adela Whitcomb"))
    office.found(6, "landing", "suspect asbestos")
    page = _text(office.day_plan_text(date(2026, 3, 6), "Adela Whitcomb"))
    lead_in = {"carry-in": "lay them flat in the rooms they are for", "walk-through": "Direction of the rows, drawn"}
    assert re.search(rf"{lead_in[kind]}.{{,14}} {held}", page)
    counted = "Count cartons, one lot, color against the order, before they are carried in; none is opened yet"
    assert f"{counted} ON HOLD" not in page


def _held(office: Office, job: int, number: int) -> bool:
    with office._database.reading() as uow:
        record = uow.job(job)
    taken = {(way.found_at, way.place, way.kind) for way in record.ways_taken}
    return any(number in one.holds for one in record.findings if (one.at, one.place, one.kind) not in taken)


def _text(text: str) -> str:
    return " ".join(text.split())
