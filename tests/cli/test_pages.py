"""The commands of pages on paper: printed, written into files, refused in one sentence."""

from __future__ import annotations

import json

import pytest

from tests.cli.test_refusals import refused
from tests.services.conftest import JOB

PAGES = {
    "week-sheet": ["week-sheet"],
    "notice": ["notice", 4],
    "house-ready": ["house-ready", 4],
    "job-record": ["job-record", 4],
    "shopping-list": ["shopping-list", 4],
}


@pytest.mark.parametrize("page", PAGES)
def test_a_page_is_printed_as_text_and_as_json(page, run, database):
    """Without a file it is text; with --json it is an object with its sheet and its paper."""
    text = run("--db", database, *PAGES[page])
    assert (text.code, text.err) == (0, "")
    assert "printed" in text.out
    told = json.loads(run("--db", database, *PAGES[page], "--json", "--paper", "a4").out)
    assert told["paper"] == "a4"
    assert told["sheet"]["name"]


@pytest.mark.parametrize("page", PAGES)
def test_a_page_is_readable_in_forty_columns(page, run, database, monkeypatch):
    """A narrow terminal gets narrow lines."""
    monkeypatch.setenv("COLUMNS", "40")
    assert max(len(line) for line in run("--db", database, *PAGES[page]).out.splitlines()) <= 40


def test_a_page_is_written_where_it_is_asked_for(run, database, tmp_path):
    """Each kind under its own name, or all three into a folder; what was written is said."""
    files = [tmp_path / "n.pdf", tmp_path / "n.html", tmp_path / "n.txt"]
    asked = ["--pdf", files[0], "--html", files[1], "--text", files[2], "--out", tmp_path / "all"]
    ran = run("--db", database, "notice", 4, *asked)
    assert ran.code == 0
    assert ran.out.count("Wrote ") == 6
    assert files[0].read_bytes().startswith(b"%PDF-")
    assert files[1].read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert "As planned today" in files[2].read_text(encoding="utf-8")
    assert {path.name for path in (tmp_path / "all").iterdir()} == {f"notice-job-4.{e}" for e in ("pdf", "txt", "html")}


def test_day_plans_come_for_phones_too(run, database, tmp_path):
    """With --html a file more a page; without it the two there were."""
    run("--db", database, "plan")
    names = [one.name for one in tmp_path.glob("days/*")]
    assert names == []
    run("--db", database, "day-plan", "tomorrow", "--out", tmp_path / "days")
    assert {one.suffix for one in tmp_path.glob("days/*")} == {".pdf", ".txt"}
    run("--db", database, "day-plan", "tomorrow", "--html", "--out", tmp_path / "days")
    assert {one.suffix for one in tmp_path.glob("days/*")} == {".pdf", ".txt", ".html"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["notice", 99], "there is no job 99"),
        (["house-ready", 99], "there is no job 99"),
        (["job-record", 99], "there is no job 99"),
        (["shopping-list", 99], "there is no job 99"),
        (["shopping-list", "--week", "2026-02-30"], "no such date"),
        (["shopping-list", "--crew", "Birch"], "nothing is planned yet"),
        (["week-sheet", "9999-12-31"], "between 1990 and 2199"),
        (["notice", 4, "--pdf", "x", "--html", "x"], "a file of its own"),
        (["notice", 4, "--pdf", "x.txt"], "a page as PDF goes into a file that ends in .pdf"),
        (["notice", 4, "--text", "x.pdf"], "a page as text goes into a file that ends in .txt"),
        (["notice", 4, "--html", "x"], "a page as HTML goes into a file that ends in .html"),
        (["notice", 4, "--html", "x" * 5000], "cannot be a file's name"),
        (["notice", 4, "--out", "a.docx"], "--out ends in .pdf, .html or .txt, or is a folder"),
        (["notice", 4, "--pdf", "nowhere/x.pdf"], "there is no folder 'nowhere'"),
        (["notice", 4, "--out", "nowhere/pages"], "there is no folder 'nowhere'"),
        (["day-plan", "today", "--out", "nowhere/pages"], "there is no folder 'nowhere'"),
        (["notice", 4, "--text", "a\x1b[31m"], "control characters"),
        (["day-plan", "today", "--print", "--html"], "writes no file, --html is for files: choose one"),
        (["day-plan", "today", "--print", "--out", "."], "writes no file, --out is for files: choose one"),
    ],
)
def test_a_page_that_cannot_be_is_one_sentence(words, said, run, database):
    """What, where, what would be right; nothing changes."""
    before = database.read_bytes()
    ran = run("--db", database, *words)
    refused(ran, said)
    assert len(ran.err.splitlines()) == 1
    assert database.read_bytes() == before


def test_a_page_that_stood_there_is_said_to_be_replaced(run, database, tmp_path):
    """The newer sheet wins, so it is written over; the word for it is said."""
    for word in ("Wrote", "Replaced"):
        assert run("--db", database, "notice", 4, "--text", tmp_path / "n.txt").out.startswith(f"{word} ")
        out = run("--db", database, "notice", 4, "--out", tmp_path / "all").out
        assert all(line.startswith(f"{word} ") for line in out.splitlines() if line.endswith((".txt", ".html", ".pdf")))


def test_a_page_into_a_folder_that_is_a_file_is_refused(run, database, tmp_path):
    """The system's reason is said."""
    (tmp_path / "file").write_text("x")
    refused(run("--db", database, "notice", 4, "--pdf", tmp_path / "file" / "n.pdf"), "cannot be written")


def test_a_name_that_ends_as_a_file_is_one_file(run, database, tmp_path):
    """--out with .pdf, .html or .txt writes that page alone; a day's pages, one for each crew, want a folder."""
    for ends, begins in ((".pdf", b"%PDF"), (".html", b"<!"), (".TXT", b"")):
        file = tmp_path / f"week{ends}"
        ran = run("week-sheet", "--out", file, "--db", database)
        assert ran.out.split("\n")[0] == f"Wrote {file}"
        assert file.read_bytes().startswith(begins)
    refused(run("week-sheet", "--out", tmp_path / "a.pdf", "--pdf", tmp_path / "b.pdf", "--db", database), "same page")
    refused(run("day-plan", "2026-03-03", "--out", tmp_path / "c.pdf", "--db", database), "--out names a folder")
    assert sorted(path.name for path in tmp_path.glob("?.pdf")) == []


def test_a_days_pages_that_stood_there_are_said_to_be_replaced(run, database, tmp_path):
    """As other pages are."""
    run("--db", database, "plan")
    for word in ("Wrote", "Replaced"):
        ran = run("day-plan", "tomorrow", "--out", tmp_path / "days", "--db", database)
        assert {line.split()[0] for line in ran.out.splitlines()} == {word}


def test_who_prints_a_customers_page_is_told_what_it_cannot_show(run, database, tmp_path):
    """On standard error, as what is behind; of a page without such letters, and of text and HTML, nothing is said."""
    out = tmp_path / "n"
    assert run("--db", database, "notice", 4, "--out", out).err == ""
    job = tmp_path / "den.toml"
    job.write_text(JOB.replace('name = "Teo Halloran"', 'name = "Teo Halloran 🐕"'), encoding="utf-8")
    assert run("--db", database, "load", "--replace", job).code == 0
    for page in ("notice", "house-ready"):
        told = run("--db", database, page, 4, "--out", out)
        assert told.err.startswith("crewjobs: The PDF has an empty box for 🐕: 1 character ")
        assert "empty box" not in told.out
    assert run("--db", database, "notice", 4, "--html", out / "n.html").err == ""
