"""`crewjobs import`: a list of jobs and customers, shown first, then all of it or nothing."""

from __future__ import annotations

import csv
import io
import json
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.files.csv_text import write_csv
from crewjobs.services.office import Office
from tests import thorough
from tests.services.conftest import JOB

LIST = """Client;Street;Town;What;Tel;Status;Start;Finish by;Floor (ft2)
Ida Marsh;14 Fennel Way;Marrow Bend;"Kitchen, click";+1 555 0190;sold;3/16/2026;3/20/2026;220
Zoë Pérez;2 Gull Street;Marrow Bend;Hall;555-0191;estimate sent;3/5/2026;;90
zoë  pérez;2 Gull street;Marrow Bend;hall;;new;;;
Old Job;9 Far Road;Marrow Bend;Den;;completed;;;
Teo Halloran;9 Quarry Road;Marrow Bend;Den, Quarry Road;;booked;;;
"""
"""The last one is the small shop's job 4."""
NAMES = (
    'Marsh, Ida "Spike"',
    "مكتبة الأرضيات، صالة",
    "山田 木材店 玄関",
    "=SUM(A1)",
    "-2 stairs; @home",
    "'=quoted",
    "x" * 200,
)


@pytest.fixture
def listed(tmp_path):
    """Write a list and return its path."""

    def write(text: str | bytes, name: str = "list.csv") -> Path:
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return write


def shown(run, database, *words):
    return json.loads(run("--db", database, "import", *words, "--json").out)


def test_a_list_is_shown_before_anything_is_kept(run, database, listed):
    """Each column with what it is taken as, each row with what it would become."""
    view = shown(run, database, listed(LIST))
    assert (view["delimiter"], view["encoding"], view["kept"], view["new"]) == ("semicolons", "UTF-8", False, 2)
    taken = {one["column"]: one["taken_as"] for one in view["columns"]}
    assert taken["Street"] == taken["Town"] == "address"
    assert [row["becomes"] for row in view["rows"]] == [
        "new job",
        "new job",
        "twice in the list",
        "left out",
        "there already",
    ]
    assert view["rows"][0]["address"] == "14 Fennel Way, Marrow Bend"
    assert view["rows"][0]["promised"] == "2026-03-20"
    assert view["rows"][4]["job"] == 4
    assert any("Floor (ft2)" in note and "walls" in note for note in view["notes"])
    assert run("--db", database, "export", "jobs").out.count("\r\n") == 2  # the heading and job 4


def test_what_is_kept_is_one_change_that_can_be_undone_and_does_not_double(run, database, listed):
    """Numbers go on from the last; the same file again has nothing new; undo takes all of them back."""
    path = listed(LIST)
    kept = run("--db", database, "import", path, "--keep")
    assert "Imported 2 jobs from list.csv (jobs 5 to 6)" in kept.out
    again = run("--db", database, "import", path, "--keep")
    assert again.code == 1
    assert "nothing in it is new" in again.err
    job = run("--db", database, "job", 5).out
    assert all(word in job for word in ("Kitchen, click", "booked", "14 Fennel Way, Marrow Bend"))
    assert run("--db", database, "undo").code == 0
    assert run("--db", database, "job", 5).code == 1
    assert shown(run, database, path)["new"] == 2


def test_columns_are_mapped_once(run, database, listed):
    """The next list with the same heading is read as this one; another one is not."""
    text = "Who;Where;Remark\nIda Marsh;14 Fennel Way;Kitchen\n"
    words = ("--map", "Who=customer", "--map", "Where=address", "--map", "Remark=title")
    faults = shown(run, database, listed(text))["faults"]
    assert len(faults) == 2
    assert all("say which one is the" in fault["sentence"] for fault in faults)
    assert run("--db", database, "import", listed(text), *words, "--keep").code == 0
    view = shown(run, database, listed("WHO;Where;Remark\nTeo Lind;15 Fennel Way;Den\n"))
    assert (view["kept"], view["new"], view["rows"][0]["title"]) == (True, 1, "Den")
    assert not shown(run, database, listed("Who;Where\nTeo Lind;15 Fennel Way\n"))["kept"]


def test_all_faults_are_named_at_once_and_nothing_is_kept(run, database, listed):
    """Line, column, what is wrong and what would be right."""
    text = (
        "Client,Address,State,Promised,Year built,Start\n"
        ",1 A Street,booked,,,\n"
        "Ida,,booked,,,\n"
        "Teo,2 A Street,blue,2026-02-30,,\n"
        "Una,3 A Street,booked,2026-03-01,,2026-03-05\n"
        f"{'x' * 201},4 A Street,booked,,2999,,more\n"
    )
    view = shown(run, database, listed(text.replace(",,more", ",")))
    places = [(fault["line"], fault["column"]) for fault in view["faults"]]
    assert places == [
        (2, "Client"),
        (3, "Address"),
        (4, "State"),
        (4, "Promised"),
        (5, ""),
        (6, "Client"),
        (6, "Year built"),
    ]
    ran = run("--db", database, "import", listed(text.replace(",,more", ",")), "--keep")
    assert ran.code == 1
    assert ran.err.count("list.csv: line") == 7
    assert len(Office.at(database=database).jobs(everything=True)) == 1
    beyond = run("--db", database, "import", listed(text), "--keep")
    assert "line 6: it has more cells" in beyond.err


def test_a_row_with_too_many_cells_hides_no_fault_of_others(run, database, listed):
    """Nor does one fault of a row hide its year, which stands at its column."""
    text = "customer,address,year built,drive minutes\nAda,1 Road,19,x\nBo,2 Road,1990,10,9\nCy,3 Road,2030,5\nDi,4 Road,1980,12\n"
    view = shown(run, database, listed(text))
    said = [(one["line"], one["column"], one["sentence"][:26]) for one in view["faults"]]
    assert said == [
        (2, "drive minutes", "'x' is not a whole number:"),
        (2, "year built", "the house was built in 19:"),
        (3, "", "it has more cells than the"),
        (4, "year built", "the house was built in 203"),
    ]
    assert [row["becomes"] for row in view["rows"]] == ["wrong", "wrong", "wrong", "new job"]


def test_days_that_can_be_read_two_ways_are_told(run, database, listed):
    """With slashes the month first, unless it is said otherwise."""
    path = listed("Client,Address,Promised\nIda,1 A Street,3/4/2027\n")
    view = shown(run, database, path)
    assert view["rows"][0]["promised"] == "2027-03-04"
    assert "'3/4/2027' is read as 2027-03-04" in view["notes"][0]
    assert shown(run, database, path, "--dates", "day-first")["rows"][0]["promised"] == "2027-04-03"


def test_a_job_without_rooms_is_said_to_wait_for_them(run, database, listed):
    """The waiting list names it, no command ends in an error of the program."""
    assert run("--db", database, "import", listed(LIST), "--keep").code == 0
    assert "no rooms yet" in run("--db", database, "waiting").out
    for words in (
        ("job", 5),
        ("week",),
        ("take-off", 5),
        ("heights", 5),
        ("dump", 5),
        ("plan", "--seconds", 0),
        ("jobs",),
    ):
        assert run("--db", database, *words).code == 0, words
    page = run("--db", database, "job", 5).out
    assert "This job has no tasks yet" in page
    assert "Every task is done" not in page
    for words in (("moves", 5), ("layout", 5, "den"), ("odds", 5), ("promise", 5), ("rates", "--job", 5)):
        ran = run("--db", database, *words)
        assert (ran.code, ran.err.count("\n")) == (1, 1), words


def test_rooms_come_in_by_the_file_that_dump_writes(run, database, listed, tmp_path):
    """As the answer to an import says."""
    run("--db", database, "import", listed(LIST), "--keep")
    file = tmp_path / "job-5.toml"
    assert run("--db", database, "dump", 5, "--out", file).code == 0
    room = JOB[JOB.index("[[room]]") :]
    file.write_text(file.read_text(encoding="utf-8") + "\n" + room, encoding="utf-8")
    ran = run("--db", database, "load", file, "--replace")
    assert ran.code == 0, ran.err
    assert len(Office.at(database=database).job(5).tasks) > 0


def test_what_is_exported_comes_in_as_it_was(run, database, listed, tmp_path):
    """Commas, quotes, Arabic, CJK, formulas, 200 characters: in and out of a shop, into it again, nothing is new."""
    rows = [(name, f"5 {name}"[:200], name, "booked") for name in NAMES]
    assert (
        run(
            "--db", database, "import", listed(write_csv(["customer", "address", "title", "state"], rows)), "--keep"
        ).code
        == 0
    )
    out = tmp_path / "jobs.csv"
    assert run("--db", database, "export", "jobs", "--out", out).code == 0
    assert len(list(csv.DictReader(io.StringIO(out.read_bytes().decode(), newline="")))) == 1 + len(NAMES)
    kept = [(row.customer, row.address, row.title) for row in Office.at(database=database).jobs() if row.number > 4]
    assert kept == [row[:3] for row in rows]
    assert {row["becomes"] for row in shown(run, database, out)["rows"]} == {"there already"}


def test_a_line_break_in_a_cell_becomes_a_blank(run, database, listed):
    """Names are of one line."""
    assert (
        run("--db", database, "import", listed('customer,address\n"Ida\nMarsh","5 Mill\r\nLane"\n'), "--keep").code == 0
    )
    row = Office.at(database=database).job(5).row
    assert (row.customer, row.address) == ("Ida Marsh", "5 Mill Lane")


CELL = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ("Ida", "5 Mill Lane", "booked", "done", "3/4/2026", "2026-02-30", "=1", "", "1987", 'a"b', "x" * 201)
    ),
)


@settings(
    max_examples=thorough.examples(150, 25),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    heading=st.lists(
        st.sampled_from(("Client", "Address", "What", "Status", "Due", "Year built", "Drive", "Remark")),
        min_size=1,
        unique=True,
    ),
    rows=st.lists(st.lists(CELL, min_size=1, max_size=9), min_size=1, max_size=4),
    sign=st.sampled_from((",", ";", "\t")),
)
def test_any_list_is_a_clear_refusal_or_a_change(tmp_path_factory, small_office, heading, rows, sign):
    """What is shown and what is kept agree: as many jobs as were told, or none and a sentence; undone after, nothing is left."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=sign).writerows([heading, *rows])
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(out.getvalue().encode("utf-8", "replace"))
    before = len(small_office.jobs(everything=True))
    new = None
    with suppress(Refused):
        view = small_office.look_at_list(path)
        new = 0 if view.faults else view.new
    try:
        small_office.import_list(path)
    except Refused as fault:
        sentences = fault.sentences
        assert not new
        assert [one for one in sentences if not one.endswith((".", "?")) or "\n" in one] == []
    else:
        assert new
        assert len(small_office.jobs(everything=True)) == before + new
        assert small_office.look_at_list(path).new == 0
        small_office.undo()
    assert len(small_office.jobs(everything=True)) == before


@pytest.fixture
def small_office(database):
    """The small shop's services."""
    return Office.at(database=database)


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        ("Mar 13, 2026", ()),
        ("March 13 2026", ()),
        ("13 March 2026", ()),
        ("Fri, 13 Mar 2026", ()),
        ("13-Mar-2026", ()),
        ("46094", ("--dates", "serial")),
    ],
)
def test_a_day_with_its_month_in_words_or_as_a_number_is_read(cell, words, run, database, listed):
    """46094 is 13 March 2026: 2026-01-01 is 46023 (a spreadsheet's own), and 71 days more."""
    path = listed(f'customer,address,promised\nIda Marsh,14 Fennel Way,"{cell}"\n')
    assert shown(run, database, path, *words)["rows"][0]["promised"] == "2026-03-13"


def test_a_number_for_a_day_says_what_to_do(run, database, listed):
    """It is not guessed: a column of numbers may be anything."""
    ran = run("--db", database, "import", listed("customer,address,promised\nIda Marsh,14 Fennel Way,46094\n"))
    assert ran.code == 1
    assert "2026-03-13" in ran.out
    assert "--dates serial" in ran.out


@pytest.mark.parametrize(
    "text", ["customer,address,promised\nIda,14 Fennel Way,soon\n", "address,what\n14 Fennel Way,Hall\n"]
)
def test_a_look_at_a_faulty_list_ends_with_1_as_keeping_it_does(text, run, database, listed):
    """A script sees it without reading."""
    path = listed(text)
    assert run("--db", database, "import", path).code == 1
    assert run("--db", database, "import", path, "--json").code == 1
    assert run("--db", database, "import", path, "--keep").code == 1


def test_a_promised_day_gone_by_is_noted(run, database, listed):
    """It is taken: a list may be old; but it may be a slip."""
    path = listed("customer,address,promised\nIda Marsh,14 Fennel Way,1999-01-01\n")
    seen = shown(run, database, path)
    assert seen["rows"][0]["promised"] == "1999-01-01"
    assert "Promised for a day that has gone by: line 2 (1999-01-01)." in seen["notes"]


def test_a_promise_of_a_job_without_rooms_is_told_as_one_not_kept(run, demo_file, listed):
    """Planning takes it in and says what it lacks; week and why name its promise as they do others without a finish."""
    path = listed("Client,Address,Promised\nIda,1 A Street,2026-03-06\n")
    at = ("--db", demo_file, "--now", "2026-03-02 06:30")
    assert run(*at, "import", path, "--state", "booked", "--keep").code == 0
    assert "Plan again to take it in" in run(*at, "week").out
    assert "Job 22: no rooms yet" in run(*at, "plan", "--seconds", 0).out
    week = json.loads(run(*at, "week", "--json").out)
    assert week["stale"] == ""
    assert [(one["job"], one["why"]) for one in week["left_out"] if one["job"] == 22] == [
        (22, "no rooms yet, so no tasks")
    ]
    assert [(one["job"], one["finish"], one["holds"]) for one in week["promises"] if one["job"] == 22] == [
        (22, None, False)
    ]
    assert "DOES NOT HOLD" in run(*at, "week").out
    assert "No finish, no rooms yet, so no tasks: job 22 Ida: promised Fri 6 Mar" in " ".join(
        run(*at, "why").out.split()
    )
    assert [row["holds"] for row in json.loads(run(*at, "waiting", "--json").out)["waiting"] if row["job"] == 22] == [
        "the whole job"
    ]
