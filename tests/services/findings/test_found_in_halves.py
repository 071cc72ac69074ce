"""What is found in a room that is worked in sections, or on the way there: its work has a place before the floor that waits for it."""

from __future__ import annotations

from crewjobs.services.office import Office

JOB = 1
"""In the demo: its living room is laid in two halves, the second torn out when the first is laid."""
ROT = "rot in living: cut out and replace soft wood"


def test_agreed_work_comes_before_the_half_that_waits_for_it(demo_file):
    """It waits for what is torn out of the half in hand; the other half is not, until the floor of this one lies."""
    Office.at(database=demo_file, pretend="2026-03-02 06:30").plan()
    office = Office.at(database=demo_file, pretend="2026-03-03 10:40")
    office.found(JOB, "living", "rot", area="12 ft2")
    assert not any(row.planned for row in office.job(JOB).tasks if row.title.startswith("cut out"))
    then = office.agreed(JOB, ROT, by="Odalys Brandt").then
    assert any("has a finish again" in one for one in then)
    rows = {(row.title.partition(" ")[0], row.where): row for row in office.job(JOB).tasks}
    work = rows["cut", "living"]
    assert work.planned
    waits = {link.before for link in _links(office) if link.after == work.number}
    assert rows["Carpet,", "living, window half"].number in waits
    assert rows["Carpet,", "living, door half"].number not in waits


def test_with_the_first_half_laid_it_waits_for_the_second(demo_file):
    """Found when the first half lies, it is of the second."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    first = [row.number for row in office.job(JOB).tasks if row.where == "living, window half"]
    office.tick(JOB, first, because="laid on Sunday")
    office.found(JOB, "living", "rot", area="12 ft2")
    rows = {(row.title.partition(" ")[0], row.where): row for row in office.job(JOB).tasks}
    waits = {link.before for link in _links(office) if link.after == rows["cut", "living"].number}
    assert rows["Carpet,", "living, door half"].number in waits


def _links(office):
    with office._database.reading() as uow:
        return uow.job(JOB).links


def test_behind_the_only_way_in_it_comes_first(demo_file):
    """One comes to the living room only through the hall, whose own carpet comes out last: the hall is mended before all of it."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    office.found(JOB, "hall", "rot", area="6 ft2")
    rows = {(row.title.partition(" ")[0], row.where): row for row in office.job(JOB).tasks}
    assert "rot found in hall" in rows["Furniture", "living, window half"].hold
    then = office.agreed(JOB, "rot in hall: cut out and replace soft wood", by="Odalys Brandt").then
    assert any("Protection down; cut out and replace soft wood from no place to" in one for one in then)
    rows = {(row.title.partition(" ")[0], row.where): row for row in office.job(JOB).tasks}
    assert all(row.planned for row in rows.values() if row.state == "open")
