"""`crewjobs export`: the demo shop as tables for a spreadsheet."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import pytest

from crewjobs.cli.job import job_text
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database
from tests.builders import central


@pytest.fixture(scope="module")
def tables(demo_made):
    """Each table's rows by column."""
    office = Office.at(database=demo_made)
    found = {what: office.export(what) for what in ("jobs", "hours", "material")}
    return {what: [dict(zip(table.columns, row, strict=True)) for row in table.rows] for what, table in found.items()}


def test_jobs_say_what_their_pages_say(tables, demo_made):
    """Every job with the end, the labor, the area and the tasks that the job's own page has."""
    office = Office.at(database=demo_made)
    assert [row["job"] for row in tables["jobs"]] == [row.number for row in office.jobs(everything=True)]
    for row in tables["jobs"]:
        page = office.job(row["job"])
        assert (row["title"], row["customer"]) == (page.row.title, page.row.customer)
        assert (row["tasks"], row["tasks done"]) == (page.row.tasks_all, page.row.tasks_done)
        assert row["labor by the book (h)"] == pytest.approx(page.hours)
        assert row["labor left by the book (h)"] == pytest.approx(page.row.hours_left)
        assert row["new floor (ft2)"] == pytest.approx(page.area_ft2)
        finish = page.row.planned_finish
        assert row["planned finish"] == (finish.date().isoformat() if finish else None)
        assert row["late"] == ("yes" if page.row.late else "not planned" if row["job"] in (7, 9) else "no")
        assert row["labor so far (h)"] == pytest.approx(sum(phase.spent for phase in page.phases) + page.spent_rest)


def test_a_promise_that_does_not_hold_is_never_said_to_be_kept(tables, demo_made):
    """What the week says does not hold is late, or not planned to its end: both in the column `late`."""
    lost = {row.job for row in Office.at(database=demo_made).week().promises if not row.holds}
    assert {row["job"] for row in tables["jobs"] if row["late"] != "no"} == lost
    assert len(lost) == 3


def test_a_promise_is_not_said_to_be_kept_while_work_of_earlier_days_is_not_ticked(demo_made):
    """Nothing is ticked since Monday, on Wednesday: what the week cannot tell of, the column `late` does not deny."""
    office = Office(open_database(demo_made), FixedClock(central("2026-03-04", "10:40")), who="tester")
    table = office.export("jobs")
    late = {row["job"]: row["late"] for row in (dict(zip(table.columns, row, strict=True)) for row in table.rows)}
    promises = office.week().promises
    unsure = {row.job for row in promises if row.overdue}
    assert unsure == {row.number for row in office.jobs() if row.unticked and row.promised and not row.late}
    assert {1, 2, 4, 14} <= unsure
    assert {job for job, said in late.items() if said == "not ticked"} == unsure
    assert {job for job, said in late.items() if said != "no"} == {row.job for row in promises if not row.holds}


def test_hours_add_up_to_what_jobs_say(tables):
    """The labor of all rows of a job is its labor so far."""
    for job in tables["jobs"]:
        mine = [row["labor (h)"] or 0 for row in tables["hours"] if row["job"] == job["job"]]
        assert sum(mine) == pytest.approx(job["labor so far (h)"])


def test_a_dry_run_is_a_row_without_hours(tables):
    """The demo has one: no power in the house of job 7."""
    (dry,) = [row for row in tables["hours"] if row["dry run"] == "yes"]
    assert (dry["job"], dry["crew"], dry["labor (h)"]) == (7, "Rowan", None)
    assert "no power" in dry["why it was dry"]


def test_past_jobs_are_read_for_what_is_told_of_them(demo_made):
    """What is left out of a past job's record is what the tables say nothing of; hours come from every job that has some."""
    with open_database(demo_made, create=False).reading() as uow:
        whole, light = uow.ended_jobs(99), uow.past_jobs(without=("links", "layouts"), called_off=True)
        assert light == tuple(replace(record, links=(), layouts=()) for record in whole)
        assert any(record.links for record in whole)
        every = [uow.job(number) for number in uow.job_numbers()]
        on_the_clock = [record for record in every if record.crew_hours or record.dry_runs]
        assert list(uow.jobs_on_the_clock()) == on_the_clock


def test_nothing_more_is_needed_of_a_job_that_is_done(tables):
    """What is needed is what would be bought: of live jobs alone."""
    states = {job["job"]: job["state"] for job in tables["jobs"]}
    for row in (row for row in tables["material"] if row["what"] == "material"):
        assert (row["needed"] is None) == (states[row["job"]] == "closed")


def test_a_job_called_off_has_its_material_in_the_table_and_nothing_left_to_do(demo_file):
    """Its cartons lie in the house, to be fetched; a job nobody bought anything for has no row. No day is planned, none missed."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester")
    before = [row for row in office.export("material").rows if row[0] == 2]
    for job in (2, 8):
        office.edit(job, office.job(job).version, {"state": "called off"})
    after = office.export("material")
    came = after.columns.index("came")
    assert [(row[4:8], row[came]) for row in after.rows if row[0] == 2] == [(row[4:8], row[came]) for row in before]
    assert any(row[came] for row in before)
    jobs = office.export("jobs")
    (off,) = [dict(zip(jobs.columns, row, strict=True)) for row in jobs.rows if row[0] == 2]
    assert (off["planned finish"], off["late"], off["labor left by the book (h)"]) == (None, "no", 0.0)
    assert off["labor left by own pace (h)"] is None
    page = job_text(office.job(2), everything=False)
    assert "left undone" in page
    assert "may start" not in page
    assert not [row for row in after.rows if row[0] == 8]


def test_lots_add_up_to_what_came_of_their_material(tables):
    """Each material's count is that of its lots."""
    rows = tables["material"]
    for one in (row for row in rows if row["what"] == "material"):
        lots = [
            row["came"]
            for row in rows
            if row["what"] == "lot" and (row["job"], row["material"]) == (one["job"], one["material"])
        ]
        assert sum(lots) == one["came"]


def test_days_bound_what_is_told(demo_made):
    """Both days are among them; without days all is told."""
    office = Office.at(database=demo_made)
    rows = office.export("hours", since="2026-02-27", until="2026-02-27").rows
    assert {row[0] for row in rows} == {"2026-02-27"}
    assert len(office.export("jobs", since="2026-03-13", until="2026-03-13").rows) < len(office.export("jobs").rows)
    assert office.export("material", since="2030-01-01").rows == ()


def test_no_entry_note_is_in_any_table(run, database):
    """The small shop's job has one; its phone is told, since the file is the shop's own."""
    for what in ("jobs", "hours", "material"):
        out = run("--db", database, "export", what).out
        assert "4471" not in out
    assert "555-0142" in run("--db", database, "export", "jobs").out


def test_what_is_printed_is_csv_and_what_is_written_is_the_same(run, demo_made, tmp_path):
    """CR LF at each end of a line, as many cells in each; a file that is there is left alone."""
    printed = run("--db", demo_made, "export", "jobs").out
    rows = list(csv.reader(io.StringIO(printed, newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1
    assert printed.count("\r\n") == len(rows)
    file = tmp_path / "jobs.csv"
    ran = run("--db", demo_made, "export", "jobs", "--out", file, "--bom", "--json")
    assert json.loads(ran.out) == {"what": "jobs", "file": str(file), "rows": len(rows) - 1}
    assert file.read_bytes().decode("utf-8") == "\ufeff" + printed
    again = run("--db", demo_made, "export", "jobs", "--out", file)
    assert again.code == 1
    assert "is there already" in again.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--from", "2026-03-05", "--to", "2026-03-01"), "the last day is before the first"),
        (("--from", "someday"), "someday"),
        (("--out", "no/such/folder/jobs.csv"), "cannot be written"),
    ],
)
def test_what_is_wrong_is_said_in_one_sentence(run, demo_made, words, said):
    """Nothing is printed then."""
    ran = run("--db", demo_made, "export", "jobs", *words)
    assert ran.code == 1
    assert said in ran.err
    assert ran.out == ""
