"""`crewjobs what-if` and `crewjobs when` as text and as JSON."""

from __future__ import annotations

import json
from datetime import datetime

import pytest

from tests.services.conftest import JOB, SHOP, Shop

NOW = ("--now", "2026-03-02 06:30")
"""When the plan was made: these commands only look, so they may be asked at any moment."""


@pytest.fixture
def planned(tmp_path):
    """The shop with job 4 planned on Monday 2 March."""
    shop = Shop(tmp_path)
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    shop.ready()
    shop.office.plan()
    return shop.path


def test_what_if_is_a_sentence_a_table_and_json(run, planned):
    """Text begins with the sentence and shows both finishes; the JSON has both plans by job; nothing is kept."""
    before = planned.read_bytes()
    words = [
        "--db",
        planned,
        *NOW,
        "what-if",
        "--late",
        "4",
        "gray plank",
        "2026-03-12",
        "--off",
        "Maeve",
        "2026-03-03",
    ]
    text = run(*words).out
    assert text.startswith(
        "With gray plank of job 4 due Thu 12 Mar 17:00 and Maeve Ostrow of Cedar out on Tue 3 Mar, job 4 "
    )
    assert "ends without" in text
    assert "BROKEN" in text
    assert "(Nothing was kept.)\n" in text
    assert " ".join(text.splitlines()[-1].split()) == (
        '`crewjobs back-ordered 4 "gray plank" "2026-03-12 17:00"` and `crewjobs away "Maeve Ostrow" 2026-03-03` record it, in this order.'
    )
    found = json.loads(run(*words, "--json").out)
    (row,) = found["jobs"]
    assert (found["lost"], row["job"], row["holds"], row["holds_then"]) == ([4], 4, True, False)
    assert datetime.fromisoformat(row["finish"]) < datetime.fromisoformat(row["then"])
    assert found["rounds"] == 0
    assert planned.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--crew", "Elm", "like", "Birch"], "a crew more, Elm, like Birch,"),
        (["--crew", "Elm", "Birch", "2026-03-04"], "a crew more, Elm, like Birch from Wed 4 Mar,"),
        (["--crew", "Elm", "like", "Birch", "from", "2026-03-04"], "a crew more, Elm, like Birch from Wed 4 Mar,"),
        (["--works", "Birch", "2026-03-07", "8:00-12:00"], "Birch working on Sat 7 Mar 08:00-12:00,"),
        (["--works", "Birch", "2026-03-07", "8:00-12:00,", "13:00-15:00"], "Sat 7 Mar 08:00-12:00, 13:00-15:00,"),
        (["--promise", "4", "2026-03-20", "--without", "4"], "job 4 promised Fri 20 Mar and job 4 called off,"),
        (["--off", "Birch", "2026-03-04", "--rounds", "1"], "Birch off on Wed 4 Mar,"),
    ],
)
def test_what_is_typed_is_what_is_supposed(run, planned, words, said):
    """The forms of each option, short and long, are read as they are meant."""
    ran = run("--db", planned, *NOW, "what-if", *words)
    assert ran.code == 0, ran.err
    assert said in " ".join(ran.out.split())


def test_when_is_sentences_and_json(run, planned):
    """Both answers, what was taken for true, and the same as JSON; nothing is kept."""
    before = planned.read_bytes()
    words = ["--db", planned, *NOW, "when", "400", "ft2", "of", "click", "vinyl", "--empty", "--drive", "35"]
    text = " ".join(run(*words).out.split())
    assert text.startswith("400 ft² of click vinyl: ")
    assert "35 min of drive" in text
    assert "empty, nobody lives there" in text
    found = json.loads(run(*words, "--json").out)
    assert found["asked"] == "400 ft² of click vinyl"
    assert datetime.fromisoformat(found["soonest"]["start"]) < datetime.fromisoformat(found["soonest"]["finish"])
    assert set(found) == {"asked", "assumed", "soonest", "undisturbed", "why_not"}
    assert planned.read_bytes() == before
    assert run("--db", planned, "when", "400", "laminate", "--empty", "--furnished").code == 2


def test_a_visit_of_no_job_is_refused_as_that(run, planned):
    """There is no job 99: it does not lack a visit."""
    ran = run("--db", planned, *NOW, "what-if", "--visit", "99", "tue", "to", "Cedar", "wed")
    assert ran.code == 1
    assert "there is no job 99" in ran.err
