"""`crewjobs calendar` says where it wrote what, and what is other than before."""

from __future__ import annotations

import json

from tests.calendars import read


def test_it_says_what_it_wrote_and_what_has_changed(run, demo_file, tmp_path):
    """New at first, as written before the second time; a job with nothing to come is named; --json has the same figures."""
    words = ("--db", demo_file, "calendar", "--out", tmp_path / "out")
    first = run(*words)
    assert first.code == 0
    events = len(read((tmp_path / "out" / "crew-birch.ics").read_bytes()))
    assert f"crew-birch.ics (Birch): {events} events, {events} new." in first.out
    assert "Nothing to come, no file: job 9." in first.out
    again = run(*words).out
    assert f"crew-birch.ics (Birch): {events} events, as written before." in again
    assert "Wrote" in first.out
    assert "Replaced" not in first.out
    assert "Replaced" in again
    assert "Wrote" not in again
    told = json.loads(run(*words, "--json").out)
    assert told["change"] is None
    birch, *_, last = told["calendars"]
    assert (birch["name"], birch["events"], birch["new"]) == ("Birch", events, 0)
    assert last["file"]
    assert [row["name"] for row in told["calendars"] if row["file"] is None] == ["job 9"]


def test_one_calendar_goes_into_the_file_that_is_named(run, demo_file, tmp_path):
    """A job's alone, under a name of one's own."""
    file = tmp_path / "for the customer.ics"
    assert run("--db", demo_file, "calendar", "--job", 4, "--out", file).code == 0
    assert read(file.read_bytes())
    assert not list(tmp_path.glob("crew-*"))
