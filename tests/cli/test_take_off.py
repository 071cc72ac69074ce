"""`crewjobs take-off` and `layout`: text and JSON, and bad input in one sentence."""

from __future__ import annotations

import json

import pytest


def test_take_off_lists_what_to_buy_and_keeps_the_layout(run, demo_file):
    """The demo's kitchen: cartons, plywood by the sheet, shoe by the stick; a second time the same without looking again."""
    first = run("--db", demo_file, "take-off", "3", "--seconds", "0.5")
    assert first.code == 0
    text = " ".join(first.out.split())
    assert "cartons gravel plank (click vinyl)" in text
    assert "plywood underlayment: 8 sheets (32 ft² a sheet) for 229 ft²: kitchen and dinette" in text
    assert "stick 1: " in text
    assert run("--db", demo_file, "take-off", "3", "--seconds", "0").out == first.out
    data = json.loads(run("--db", demo_file, "take-off", "3", "--seconds", "0", "--json").out)
    (row,) = data["materials"]
    assert row["planks"] >= row["bound"] > 0
    assert row["cartons"] * 7 == row["planks"] + row["left_planks"]


def test_layout_prints_every_row_no_wider_than_the_terminal(run, demo_file, monkeypatch):
    """At 60 columns every line fits; JSON has the rows of living and hall, which are one floor."""
    monkeypatch.setenv("COLUMNS", "60")
    out = run("--db", demo_file, "layout", "1", "hall", "--seconds", "0.5").out
    assert max(map(len, out.splitlines())) <= 60
    data = json.loads(run("--db", demo_file, "layout", "1", "living", "--seconds", "0", "--json").out)
    assert data["rooms"] == ["living", "hall"]
    assert f"row {max(row['row'] for row in data['rows']):>2}" in out


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["layout", "1", "attic"], "attic"),
        (["layout", "99", "hall"], "99"),
        (["layout", "1", "hall", "--measured", "18'"], "--measured and --to-wall go with --row"),
        (["layout", "1", "hall", "--row", "99"], "there is no row"),
        (["layout", "1", "hall", "--row", "3", "--measured", "long"], "long"),
        (["take-off", "99"], "99"),
        (["take-off", "1", "--reserve", "500"], "a reserve is 0 to 100 percent"),
        (["take-off", "1", "--seconds", "-1"], "seconds"),
    ],
)
def test_bad_input_is_one_sentence(run, demo_file, words, sentence):
    """Exit code 1 or 2, a sentence that says what is wrong, and nothing on standard output."""
    ran = run(
        "--db", demo_file, *words, *([] if "--seconds" in words else ["--seconds", "0.3"] if words[1] == "1" else [])
    )
    assert ran.code in (1, 2)
    assert sentence in ran.err
    assert "Traceback" not in ran.err
    assert not ran.out
