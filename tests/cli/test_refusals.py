"""Bad input: one clear sentence, exit code 1, nothing changed, never a traceback."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from datetime import date, timedelta
from pathlib import Path

import pytest

from crewjobs.cli.main import main
from tests.services.conftest import JOB, SHOP
from tests.storage.test_faults import plain_user


def refused(ran, *said: str) -> None:
    """Assert that a command said no in plain sentences and nothing else."""
    assert ran.code == 1, ran
    assert ran.out == ""
    assert "Traceback" not in ran.err
    lines = ran.err.splitlines()
    assert all(line.startswith("crewjobs: ") and line.endswith((".", "?")) for line in lines), lines
    for words in said:
        assert words in ran.err, ran.err


ROOM = """
[[room]]
name = "closet"
{outline}
floor = "gray plank"
"""

FILES = {
    "unknown key": (JOB.replace('layers = ["carpet"]', 'lairs = ["carpet"]'), ["den", "lairs", "layers"]),
    "negative outline": (JOB.replace("14' 6\"", "-14' 6\""), ["den", "length", "-14"]),
    "crossing outline": (
        JOB + ROOM.format(outline="corners = [['0', '0'], ['4 ft', '4 ft'], ['4 ft', '0'], ['0', '4 ft']]"),
        ["closet", "cross"],
    ),
    "carton smaller than a plank": (
        JOB.replace('carton = "23.8 ft2"', 'carton = "2 ft2"'),
        ["gray plank", "less than one"],
    ),
    "delivery before its order": (JOB.replace("2026-03-03 10:00", "2026-02-03 10:00"), ["order", "before"]),
    "a date that does not exist": (JOB.replace('"2026-03-03 10:00"', '"2026-02-30 10:00"'), ["2026-02-30"]),
    "a time the clocks skip": (JOB.replace('"2026-03-03 10:00"', '"2026-03-08 02:30"'), ["2026-03-08 02:30"]),
    "control characters": (JOB.replace("Den, Quarry Road", "Den \\u001b[31m red"), ["title", "x1b"]),
    "not TOML": ("title = \n", ["line 1"]),
    "a weight beyond three": ("weight = 4\n" + JOB, ["weight", "between 1 and 3"]),
    "a room named as the house": (JOB.replace('name = "den"', 'name = "House"'), ["room", "whole house"]),
    "a house of a year to come": (JOB.replace("1994", "2094"), ["built in 2094", "not come yet"]),
    "a layer of a year to come": (
        JOB.replace('["carpet"]', '[{ covering = "sheet vinyl", year = 2066 }]'),
        ["den", "layer", "2066"],
    ),
}


@pytest.mark.parametrize("case", FILES)
def test_a_wrong_job_file_names_where_and_changes_nothing(case, run, database, tmp_path):
    """Each fault of a file is named with its place; the database stays byte for byte."""
    text, said = FILES[case]
    file = tmp_path / "wrong.toml"
    file.write_text(text.replace("number = 4", "number = 5"), encoding="utf-8")
    before = database.read_bytes()
    refused(run("--db", database, "load", file), "wrong.toml", *said)
    assert database.read_bytes() == before


COMMANDS = {
    "unknown job": (["job", "99"], "there is no job 99"),
    "why of an unknown job": (["why", "99"], "there is no job 99"),
    "why before a plan": (["why"], "nothing is planned yet: `crewjobs plan` does it"),
    "what if nothing": (["what-if"], "say what is to be supposed, such as"),
    "what if before a plan": (["what-if", "--off", "Birch", "2026-03-03"], "nothing is planned yet: `crewjobs plan`"),
    "what if a job number is none": (["what-if", "--promise", "x", "fri"], "'x' is not a job's number"),
    "what if a crew works no day": (["what-if", "--works", "Birch"], "say the crew and the day"),
    "what if a visit goes nowhere": (["what-if", "--visit", "4", "tue"], "job and day, then crew and day"),
    "what if a crew is like none": (["what-if", "--crew", "Elm"], "write `--crew Elm like Birch from mon`"),
    "what if for too long": (["what-if", "--off", "Birch", "fri", "--seconds", "9999"], "look 0 to 3600 seconds"),
    "when before a plan": (["when", "400", "laminate"], "nothing is planned yet: `crewjobs plan`"),
    "when of no area": (["when", "0", "laminate"], "0 ft2 is no room's floor: it is 10.0 ft² to 10000 ft²"),
    "when of an absurd area": (["when", "40000", "m2", "laminate"], "is no room's floor"),
    "when of a negative area": (["when", "--", "-4", "laminate"], "is not an area"),
    "when of no floor": (["when", "400"], "is not an area and a floor: write such as 400 ft2 click vinyl"),
    "when of an unknown floor": (["when", "400", "marble"], "it is one of click vinyl, glue-down vinyl, laminate"),
    "when of a covering that is none": (["when", "400", "laminate", "--removes", "moss"], "'moss' is not known"),
    "when from a day gone by": (["when", "400", "laminate", "--ready", "2026-02-20"], "has gone by"),
    "when with a crew nobody has": (["when", "400", "laminate", "--crew", "Willow"], "there is no crew 'Willow'"),
    "when with too long a drive": (["when", "400", "laminate", "--drive", "9999"], "minutes of drive"),
    "when in a house to come": (["when", "400", "laminate", "--built", "2199"], "a year lies between 1600"),
    "unknown task": (["tick", "4", "999"], "job 4 has no task 999"),
    "tick without tasks": (["tick", "4"], "say what to tick"),
    "a day that does not exist": (["week", "2026-02-30"], "no such date"),
    "no such crew": (
        ["day-plan", "2026-03-03", "--crew", "Willow"],
        "there is no crew 'Willow': the crews are Birch, Cedar",
    ),
    "a calendar before a plan": (["calendar"], "nothing is planned yet: `crewjobs plan`"),
    "a calendar with --now": (["--now", "2026-03-03 10:00", "calendar"], "only shows"),
    "pin to nobody": (["pin", "4", "1", "Willow", "2026-03-03"], "there is no crew 'Willow'"),
    "nothing to amend": (["amend", "4"], "nothing to change"),
    "a state that is none": (["amend", "4", "--state", "maybe"], "'maybe' is not a state"),
    "unknown material": (["arrived", "4", "3", "--material", "blue"], "no material 'blue'"),
    "recording with --now": (["--now", "2026-03-03 10:00", "tick", "4", "1"], "only shows"),
    "a year out of reach": (["week", "9999-12-31"], "between 1990 and 2199"),
    "a moment out of reach": (["--now", "9999-12-31 23:59", "waiting"], "between 1990 and 2199"),
    "a reason with control characters": (["tick", "4", "1", "--because", "x\x07y"], "the reason 'x\\x07y'"),
    "a lot with control characters": (["arrived", "4", "3", "--lot", "A\x1b[31m"], "the lot's name"),
    "a lot named too long": (["arrived", "4", "3", "--lot", "x" * 5000], "at most 200 characters"),
    "an empty day told": (["told", "4", ""], "the day told is empty"),
    "an empty title": (["amend", "4", "--title", " "], "needs a title"),
    "a moment that is none": (["--now", "soon", "jobs"], "not a moment"),
    "a crew with control characters": (["pin", "4", "1", "\x1b[31m", "2026-03-03"], "no crew '\\x1b[31m': the crews"),
    "a crew that does not begin": (["tick", "4", "1", "--begun", "--crew", "Willow"], "the crews are Birch, Cedar"),
    "a material with control characters": (["arrived", "4", "3", "--material", "\x1b[31m"], "'\\x1b[31m'"),
    "a phase that is none": (["tick", "4", "--phase", "demolish\x1b"], "is no phase: it is one of acclimate"),
    "a place with control characters": (["tick", "4", "--phase", "trim", "--where", "\x1b[31m"], "'\\x1b[31m'"),
    "no changes to print": (["log", "--most", "0"], "1 or more"),
    "a promise taken away by nothing": (["amend", "4", "--promised", ""], "'none' to take it away"),
    "a backup named too long": (["backup", "x" * 5000], "cannot be a file's name"),
    "a backup with control characters": (["backup", "\x1b[31m"], "control characters"),
    "a dump named too long": (["dump", "4", "--out", "x" * 5000], "cannot be written"),
    "a dump with control characters": (["dump", "4", "--out", "\x1b[31m"], "control characters"),
    "a delivery without a count": (["arrived", "4", "gray plank"], "'gray plank' is not a count"),
    "a delivery named twice": (["arrived", "4", "gray plank", "3", "--material", "x"], "say once which material"),
    "goods nobody ordered": (["arrived", "4", "stair nose", "14"], "no material 'stair nose'; it has 'gray plank'"),
    "back-ordered to a day gone by": (["back-ordered", "4", "gray plank", "2026-02-20"], "has gone by"),
    "a lot nobody knows": (["check-lot", "4", "gray plank", "C", "--cartons", "3"], "no lot 'C' of gray plank"),
    "a lot with an escape": (["lots", "4", "gray plank", "\x1b[31m"], "no lot '\\x1b[31m'"),
    "a photo of nothing": (
        ["walk", "4", "before", "--with", "Teo", "--photo", "x.jpg"],
        "name the damage, then its photo",
    ),
    "a photo that is not there": (
        ["walk", "4", "before", "--with", "Teo", "--damage", "hall: dent", "--photo", "\x1b.jpg"],
        "photo '\\x1b.jpg'",
    ),
    "a punch list before the work": (["walk", "4", "before", "--with", "Teo", "--punch", "dent"], "--punch belongs to"),
    "a walk along with nobody": (["walk", "4", "before", "--with", " "], "names who of the house"),
    "a walk after it on hold": (["walk", "4", "after", "--with", "Teo"], "give the reason with --because."),
    "hours of a crew nobody has": (["hours", "Willow", "fri", "--off"], "the crews are Birch, Cedar"),
    "hours that are none": (["hours", "Birch", "tomorrow", "noon\x1b"], "'noon\\x1b' are no hours of a day"),
    "hours and a day off": (["hours", "Birch", "fri", "8-12", "--off"], "exclude each other: give one of them"),
    "usual hours and a day off": (["hours", "Birch", "fri", "--usual", "--off"], "exclude each other"),
    "a reason for no other hours": (["hours", "Birch", "fri", "--because", "snow"], "--because gives the reason of"),
    "hours of a day gone by": (["hours", "Birch", "2026-03-02", "8-12"], "Mon 2 Mar has gone by"),
    "usual hours that are so": (["hours", "Birch", "2199-03-01", "--usual"], "nothing changes"),
    "no fact of money": (["money", "4", "refund", "5"], "one of deposit, asked, received"),
    "an amount that is none": (["money", "4", "deposit", "1,25"], "write 1250, 1,250.00 or $1,250"),
    "a change order without its amount": (["agreed", "4", "new base"], "say the amount"),
    "a change order of no words": (["agreed", "4", " ", "5"], "says what it is for"),
    "a visit made and called off": (["visit", "4", "reading", "--done", "--off"], "not both"),
    "a visit nobody planned": (["visit", "4", "reading", "--off"], "no such reading planned"),
    "a callback of work that goes on": (["visit", "4", "callback"], "a callback belongs to a job that was finished"),
    "a callback before the end": (["callback", "4", "swap a board"], "is a punch list item (`crewjobs walk 4 after"),
    "a callback of nothing known": (["callback", "99", "swap a board"], "there is no job 99"),
    "a measure below zero": (["layout", "4", "den", "--row", "3", "--measured", "-14'"], "'-14'' is not a length"),
    "a task on hold": (["tick", "4", "14"], "give the reason with --because."),
}


@pytest.mark.parametrize("case", COMMANDS)
def test_a_wrong_command_is_one_sentence(case, run, database):
    """Each is refused with what would be right, and nothing is stored."""
    words, said = COMMANDS[case]
    before = database.read_bytes()
    ran = run("--db", database, *words)
    refused(ran, said)
    assert len(ran.err.splitlines()) == 1
    assert database.read_bytes() == before


def test_a_ticked_task_is_not_ticked_again(run, database):
    """The second tick says since when it is done."""
    assert run("--db", database, "tick", "4", "1", "--because", "shown").code == 0
    refused(run("--db", database, "tick", "4", "1"), "is done already, since")


@pytest.mark.parametrize("kind", ["folder", "text file", "missing", "other database"])
def test_what_is_no_database_of_ours_is_left_alone(kind, run, tmp_path):
    """A folder, a text file, nothing at all, somebody else's database: a sentence, and the file stays as it was."""
    path = tmp_path / "thing"
    if kind == "folder":
        path.mkdir()
    elif kind == "text file":
        path.write_text("hello " * 400)
    elif kind == "other database":
        with contextlib.closing(sqlite3.connect(path)) as other:
            other.execute("CREATE TABLE recipe (name)")
            other.commit()
    before = path.read_bytes() if path.is_file() else None
    refused(run("--db", path, "jobs"), "thing")
    assert (path.read_bytes() if path.is_file() else None) == before
    assert path.exists() == (kind != "missing")


def test_a_newer_database_is_refused(run, database):
    """A database from a newer version is left alone."""
    with contextlib.closing(sqlite3.connect(database)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    refused(run("--db", database, "jobs"), "newer")


def test_a_locked_database_says_so_after_a_while(run, database):
    """Another program writes: the tick waits, then says so; nothing is half done."""
    with contextlib.closing(sqlite3.connect(database, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        refused(run("--db", database, "tick", "4", "1"), "another program")
        other.execute("ROLLBACK")
    assert run("--db", database, "tick", "4", "1", "--because", "shown").code == 0


def test_the_demo_never_writes_into_a_real_shop(run, database):
    """`demo --db` on a real database is refused and leaves it as it was."""
    before = database.read_bytes()
    refused(run("demo", "--no-screens", "--db", database), "holds a real shop")
    assert database.read_bytes() == before


def test_wrong_usage_is_code_2(run):
    """An unknown command is wrong usage, not a refusal."""
    assert run("fly").code == 2


@pytest.mark.parametrize("command", ["why", "job"])
def test_what_is_no_number_is_said_in_one_sentence(run, command):
    """A word where a job's number is asked for: one line that says so, no list of options."""
    ran = run(command, "x")
    assert ran.code == 2
    assert ran.err == f"crewjobs: N is a whole number, 'x' is none: `crewjobs {command} --help` shows what is asked.\n"


@pytest.mark.parametrize("folder", ["file in the way"])
def test_pages_that_cannot_be_written_are_refused(folder, run, database, tmp_path: Path):
    """A file where the folder should be: one sentence."""
    run("--db", database, "plan")
    blocked = tmp_path / "taken"
    blocked.write_text("x")
    refused(run("--db", database, "day-plan", "2026-03-03", "--out", blocked / "pages"), "cannot be written")


class FullDisk:
    """A standard output that takes nothing."""

    def write(self, text: str) -> int:
        raise OSError(28, "No space left on device")

    def flush(self) -> None:
        raise OSError(28, "No space left on device")

    def fileno(self) -> int:
        raise OSError(9, "Bad file descriptor")


@pytest.mark.parametrize("output", [FullDisk(), None], ids=["full", "closed"])
def test_an_output_that_takes_nothing_is_a_sentence(output, run, database, monkeypatch):
    """A full disk or a closed standard output: one sentence, and the tick that was made is kept."""
    monkeypatch.setattr("sys.stdout", output)
    assert main(["--db", str(database), "tick", "4", "1", "--because", "shown"]) == 1
    monkeypatch.undo()
    assert "done" in run("--db", database, "job", "4", "--all").out


def test_a_narrow_terminal_cuts_no_line(run, database, monkeypatch):
    """At 40 columns nothing printed is wider than the terminal."""
    monkeypatch.setenv("COLUMNS", "40")
    run("--db", database, "plan")
    for words in (["jobs"], ["job", "4"], ["week"], ["why"], ["why", "4"], ["waiting"], ["templates"], ["log"]):
        lines = run("--db", database, *words).out.splitlines()
        assert max(len(line) for line in lines) <= 40, words


def test_a_refused_first_load_makes_no_database(run, tmp_path):
    """Wrong files, jobs without a shop, or --now: where there was no database there is none after."""
    shop, wrong, good, path = (tmp_path / name for name in ("shop.toml", "wrong.toml", "good.toml", "new.sqlite3"))
    shop.write_text(SHOP, encoding="utf-8")
    wrong.write_text("title = 4\n", encoding="utf-8")
    good.write_text(JOB, encoding="utf-8")
    refused(run("--db", path, "load", shop, wrong), "wrong.toml")
    refused(run("--db", path, "load", good), "there is no shop yet")
    refused(run("--db", path, "--now", "2026-03-03 10:00", "load", shop), "only shows")
    assert not path.exists()
    assert run("--db", path, "load", shop, good).code == 0


def test_a_revision_that_never_was_is_refused(run, database):
    """A database that names a revision without a migration: a sentence, and the file as it was, no backup left."""
    with contextlib.closing(sqlite3.connect(database)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0000'")
        connection.commit()
    before, beside = database.read_bytes(), sorted(database.parent.iterdir())
    refused(run("--db", database, "jobs"), "revision this program never had")
    assert database.read_bytes() == before
    assert sorted(database.parent.iterdir()) == beside


def test_a_demo_whose_folder_cannot_be_made_is_refused(run, tmp_path):
    """A file where the scratch folder should be: one sentence."""
    (tmp_path / "file").write_text("x")
    refused(run("demo", "--no-screens", "--db", tmp_path / "file" / "demo" / "demo.sqlite3"), "cannot be made")


def test_a_demo_without_a_home_to_write_in_says_which_folder_and_why(run, tmp_path, monkeypatch):
    """A folder that may not be entered, or that no folder may be made in: named, with what the system said."""
    said = {"may not be entered (permission denied)": 0o000, "cannot be made: Permission denied": 0o500}
    for words, mode in said.items():
        with plain_user() as folder:
            home = folder / "home"
            home.mkdir(mode=mode)
            monkeypatch.setattr(
                "crewjobs.services.demonstration.demo.scratch_path", lambda home=home: home / "demo" / "demo.sqlite3"
            )
            refused(run("demo", "--no-screens"), words, str(home))


class FullFile(contextlib.AbstractContextManager[FullDisk]):
    """A file on a full disk."""

    def __enter__(self) -> FullDisk:
        return FullDisk()

    def __exit__(self, *_: object) -> None:
        return None


def test_a_dump_on_a_full_disk_leaves_no_file(run, database, tmp_path, monkeypatch):
    """What could not be written whole is not there."""
    target = tmp_path / "den-copy.toml"
    really = Path.open

    def full(self: Path, *words, **options):
        file = really(self, *words, **options)
        if self == target:
            file.close()
            return FullFile()
        return file

    monkeypatch.setattr(Path, "open", full)
    refused(run("--db", database, "dump", "4", "--out", target), "No space left")
    assert not target.exists()


def test_a_name_spelled_with_a_joiner_is_printed_as_it_is(run, database):
    """The invisible joiners of some scripts and signs steer no terminal and are not shown as numbers."""
    title = "👩\u200d🔧 نمی\u200cخواهم"
    assert title in run("--db", database, "amend", "4", "--title", title).out


def test_a_user_whose_name_is_no_text_can_record(run, database, monkeypatch):
    """A log-in name of broken bytes is left out of the change log; the change is made."""
    monkeypatch.setattr("getpass.getuser", lambda: "pia\udcff")
    assert run("--db", database, "amend", "4", "--weight", "2").code == 0
    assert "somebody: job 4: weight 1" in run("--db", database, "log").out


def test_without_a_job_the_waiting_list_says_how_to_load_one(run, database):
    """Where nothing waits because there is no job, that is what is said; with a job it is not."""
    assert "no jobs yet" not in run("--db", database, "waiting").out
    assert run("--db", database, "undo").code == 0
    said = run("--db", database, "waiting")
    assert (said.code, said.err) == (0, "")
    assert "There are no jobs yet" in said.out
    assert "crewjobs load FILE" in said.out


def test_a_week_beyond_the_plan_says_where_the_plan_ends(run, database):
    """A plan's own week says nothing of its end; the week it ends in and those after do, on screen and in JSON."""
    run("--db", database, "plan")
    assert "plan ends" not in run("--db", database, "week").out
    today = json.loads(run("--db", database, "week", "--json").out)["monday"]
    last, after = (date.fromisoformat(today) + timedelta(days=days) for days in (28, 42))
    assert "nothing after that is planned yet" in " ".join(run("--db", database, "week", last).out.split())
    assert "nothing of this week is planned yet" in " ".join(run("--db", database, "week", after).out.split())
    assert json.loads(run("--db", database, "week", after, "--json").out)["ends"].startswith("This plan ends ")


def test_a_job_page_says_where_its_earlier_changes_are(run, database):
    """A job never changed has no change log; of a long one the page shows the latest and says that there are more."""
    assert "Change log" not in run("--db", database, "job", "4").out
    for n in range(13):
        assert run("--db", database, "amend", "4", "--title", f"Den {n}").code == 0
    said = run("--db", database, "job", "4").out
    assert "title Den 11 → Den 12" in said
    assert "earlier ones: `crewjobs log`" in said
