"""`crewjobs rates`, `odds` and `promise` as text and as JSON."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest

from tests.cli.test_refusals import refused


@pytest.fixture
def planned(run, database, monkeypatch):
    """Job 4 planned on Monday 2 March 2026."""
    monkeypatch.setattr("crewjobs.services.clock.SystemClock.now", lambda _: datetime(2026, 3, 2, 12, 30, tzinfo=UTC))
    assert run("--db", database, "ready", "4", "--asked", "Teo Halloran", "--all").code == 0
    assert run("--db", database, "plan", "--seconds", "0").code == 0
    return database


def test_rates_without_hours(run, database):
    """The book stands, in text and in JSON."""
    assert "the book's rates stand" in run("--db", database, "rates").out
    found = json.loads(run("--db", database, "rates", "--json").out)
    assert set(found) == {"jobs", "days", "note", "crews", "ask", "conditions", "apart"}
    assert [crew["crew"] for crew in found["crews"]] == ["Birch", "Cedar"]


def test_a_job_without_hours_is_told_by_what_is_left(run, database):
    """By the book and by each crew's pace, phase by phase; the phases of the book add up to all of it."""
    text = " ".join(run("--db", database, "rates", "--job", "4").out.split())
    assert text.startswith("Job 4: Den, Quarry Road Left: 23 tasks, 20.6 h of one person by the book.")
    assert "(no hours of it are known yet)" in text
    found = json.loads(run("--db", database, "rates", "--job", "4", "--json").out)
    assert found["against"] is None
    ahead = found["ahead"]
    assert sum(phase["book_min"] for phase in ahead["phases"]) == pytest.approx(ahead["book_min"])
    for crew in ahead["crews"]:
        assert crew["low_min"] < crew["likely_min"] < crew["high_min"]
        assert crew["low_min"] < ahead["book_min"] < crew["high_min"], "nothing is known of it but the book"


def test_odds_say_chance_days_and_what_they_stand_on(run, planned):
    """Text at 80 columns and JSON; odds of one job are those among all."""
    text = run("--db", planned, "odds").out
    assert text.startswith("Odds of plan 1, from 10000 samples")
    for words in ("promised Fri 13 Mar, holds with a chance of", "likely done", "what moves it most", "no source"):
        assert words in " ".join(text.split())
    found = json.loads(run("--db", planned, "odds", "--json").out)
    assert set(found) == {"plan_number", "stale", "samples", "error", "rows", "taken"}
    assert found["rows"] == json.loads(run("--db", planned, "odds", "4", "--json").out)["rows"]
    assert {"job", "promised", "planned", "chance", "error", "likely", "by_80", "by_95", "drivers"} <= set(
        found["rows"][0]
    )


def test_the_week_says_the_chances_where_asked(run, planned):
    """Beside each promise the chance that `odds` says; without being asked, none and nothing slower."""
    row = json.loads(run("--db", planned, "odds", "--json").out)["rows"][0]
    (promise,) = json.loads(run("--db", planned, "week", "2026-03-09", "--odds", "--json").out)["promises"]
    assert promise["chance"] == row["chance"]
    assert ", odds " in " ".join(run("--db", planned, "week", "2026-03-09", "--odds").out.split())
    assert ", odds " not in run("--db", planned, "week", "2026-03-09").out


def test_a_narrow_terminal_cuts_no_line(run, planned, monkeypatch):
    """At 40 columns every line of odds and of a promise is at most that long."""
    monkeypatch.setenv("COLUMNS", "40")
    for words in (["odds"], ["promise", "4"], ["rates"], ["week", "2026-03-09", "--odds"]):
        lines = run("--db", planned, *words).out.splitlines()
        assert max(len(line) for line in lines) <= 40, words


def test_promise_says_the_day_and_the_command(run, planned):
    """The command it names promises that very day."""
    found = json.loads(run("--db", planned, "promise", "4", "--odds", "90", "--json").out)
    assert f"crewjobs amend 4 --promised {found['day']}" in " ".join(run("--db", planned, "promise", "4").out.split())
    assert run("--db", planned, "amend", "4", "--promised", found["day"]).code == 0
    row = json.loads(run("--db", planned, "odds", "4", "--json").out)["rows"][0]
    assert row["promised"] == found["day"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["rates", "Willow"], "there is no crew 'Willow': the crews are Birch, Cedar"),
        (["rates", "Birch", "--job", "4"], "give a crew or --job, not both"),
        (["rates", "--job", "99"], "there is no job 99"),
        (["odds"], "nothing is planned yet: `crewjobs plan`"),
        (["odds", "99"], "there is no job 99"),
        (["promise", "4"], "nothing is planned yet: `crewjobs plan`"),
        (["promise", "4", "--odds", "100"], "odds of 100 %: a promise is asked for with 50 to 99"),
        (["promise", "4", "--odds", "nan"], "a promise is asked for with 50 to 99"),
        (["promise", "99"], "there is no job 99"),
    ],
)
def test_bad_input_is_one_sentence_and_changes_nothing(words, said, run, database):
    """Exit code 1, the database byte for byte as it was."""
    before = database.read_bytes()
    refused(run("--db", database, *words), said)
    assert database.read_bytes() == before


def test_a_rate_is_pinned_by_hand_and_let_go(run, database):
    """One sentence each, the pin in the rates of its crew; nothing else needs to be known."""
    said = run("--db", database, "rates", "birch", "--pin", "haul-out", "1.2x")
    assert said.code == 0
    assert said.out.startswith("Birch: ")
    assert "1.20 × the book's time; its own hours tell nothing of it yet" in " ".join(said.out.split())
    shown = " ".join(run("--db", database, "rates").out.split())
    assert "pinned to" in shown
    assert run("--db", database, "rates", "Birch", "--unpin", "haul-out").code == 0
    assert "pinned" not in run("--db", database, "rates").out


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--pin", "haul-out", "1.2x"], "whose rate?"),
        (["Birch", "--unpin", "haul-out"], "is not pinned"),
        (["Birch", "--pin", "haul-out", "nan"], "'nan' is no rate"),
        (["Birch", "--job", "4", "--pin", "haul-out", "1x"], "give a crew or --job, not both"),
    ],
)
def test_a_pin_that_cannot_be_is_refused(run, database, words, sentence):
    """One sentence, and the file is as it was."""
    before = database.read_bytes()
    ran = run("--db", database, "rates", *words)
    refused(ran)
    assert sentence in " ".join(ran.err.split())
    assert database.read_bytes() == before
