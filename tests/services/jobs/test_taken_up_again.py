"""A job that was called off, of which everybody was told, is booked again: nothing that was said before counts any more."""

from __future__ import annotations

from crewjobs.domain.waits import WaitState
from crewjobs.services.office import Office

JOB = 2
"""In the demo its customer was told a finish, and its bath is not begun."""


def test_who_was_called_off_is_to_be_asked_anew(demo_file):
    """Also by the next job of the house in which it holds something."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    office.found(15, "hall", "live wire")
    office.promised(15, "electrician", "wed 9:00")
    off(office, 15)
    office.callback(13, "board squeaks", where="hall")
    (row,) = (row for row in office.waiting() if row.what.startswith("electrician"))
    assert row.state is WaitState.TO_ASK
    assert row.ready_at is None


def test_the_customer_is_told_that_it_is_on_again(demo_file):
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    office.ask(JOB, "plumber", "toilet reset")
    office.promised(JOB, "plumber", "thu 9:00")
    off(office, JOB)
    office.edit(JOB, office.job(JOB).version, {"state": "booked"})
    (row,) = (row for row in office.waiting() if row.job == JOB and row.state is WaitState.TO_TELL)
    assert row.what.startswith("finish has a day again")
    assert row.whom == "Kwame Ferrant"
    (asked,) = (row for row in office.waiting() if row.what.startswith("plumber: toilet reset"))
    assert asked.ready_at is None


def test_undone_it_is_as_it_was_promised(demo_file):
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    office.found(JOB, "bath", "live wire")
    office.promised(JOB, "electrician", "tue 10:00")
    before = [line for line in office.job(JOB).site_lines if "electrician" in line.casefold()]
    off(office, JOB)
    office.undo()
    office.undo()
    assert [line for line in office.job(JOB).site_lines if "electrician" in line.casefold()] == before


def off(office: Office, job: int) -> None:
    """Call a job off and tell everybody."""
    office.edit(job, office.job(job).version, {"state": "called off"})
    office.told(job)
