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


def test_sheet_goods_are_told_drop_by_drop(run, demo_file, tmp_path):
    """The demo's laundry corner, 13 ft 2 in by 9 ft 8 in off a roll of 12 ft: one drop of 13 ft 8 in, the feet of the take-off, drawn."""
    picture = tmp_path / "corner.svg"
    out = run("--db", demo_file, "layout", "8", "laundry corner", "--svg", str(picture)).out
    assert 'drop 1: 13\' 8" long, 10\' 2" wide, from 0" to 13\' 8" of the roll: laundry corner' in " ".join(out.split())
    assert "14 running ft off the roll in all. No way compared takes fewer." in " ".join(out.split())
    assert "<svg" in picture.read_text(encoding="utf-8")
    data = json.loads(run("--db", demo_file, "layout", "8", "laundry corner", "--json").out)
    assert [(drop["length_in"], drop["width_in"], drop["at_in"]) for drop in data["drops"]] == [(164, 122, 0)]
    rows = json.loads(run("--db", demo_file, "take-off", "8", "--seconds", "0.3", "--json").out)["materials"]
    (sheet,) = [row for row in rows if row["unit"] == "running ft"]
    assert (sheet["cartons"], sheet["planks"], sheet["proved"]) == (data["feet"], 1, True)


def test_the_list_has_supplies_and_what_is_left_no_wider_than_the_terminal(run, demo_file, monkeypatch):
    """The demo's stair job at 80 columns: supplies with their rule, cartons left, noses that were not measured; JSON has them too."""
    monkeypatch.setenv("COLUMNS", "80")
    out = run("--db", demo_file, "take-off", "5", "--seconds", "0.3").out
    assert max(map(len, out.splitlines())) <= 80
    text = " ".join(out.split())
    assert "cleats: 3 boxes (one every 9 in of every board, 1000 in a box; common practice, no source)" in text
    assert "13 risers and 12 treads of planks, and 1 edge of floor or landing that only has a nose" in text
    assert "Left over, if all goes by this: mill oak: about " in text
    data = json.loads(run("--db", demo_file, "take-off", "5", "--seconds", "0", "--json").out)
    assert {"name", "count", "unit", "rule", "standing"} <= {*data["supplies"][0]}
    assert data["left"]


def test_sticks_come_as_long_as_is_said(run, demo_file):
    """Base by the 12 ft stick for the basement's 105 ft 10 in: eight corners of two rooms, and a scarf joint in each wall longer than a stick."""
    out = " ".join(run("--db", demo_file, "take-off", "8", "--base-stick", "12'", "--seconds", "0.3").out.split())
    assert "sticks of 12' for 105' 10\"" in out
    assert "8 inside corners and 5 scarf joints" in out


OTHERS = """
number = 40
[customer]
name = "Odalys Brandt"
[site]
address = "14 Mill Lane, Marrow Bend"
[[room]]
name = "study"
length = "14' 6"
width = "11' 3"
floor = "oak strip"
[[room]]
name = "bath"
corners = [["0", "0"], ["9' 4", "0"], ["9' 4", "5' 2"], ["6'", "5' 2"], ["6'", "8' 1"], ["0", "8' 1"]]
floor = "slate tile"
[[room]]
name = "entry"
length = "7' 3"
width = "6' 2"
floor = "brick oak"
[[material]]
name = "oak strip"
kind = "solid wood"
plank = "3 1/4 in"
lengths = { "1' 6" = 10, "2' 6" = 20, "4'" = 30, "6'" = 40 }
carton = "22 ft2"
[[material]]
name = "slate tile"
kind = "glue-down vinyl"
plank = "12 in x 12 in"
carton = "24 ft2"
pattern = "grid"
[[material]]
name = "brick oak"
kind = "engineered wood"
plank = "3 in x 18 in"
carton = "20 ft2"
pattern = "herringbone"
"""


def test_floors_of_other_kinds_are_taken_off_and_laid_out(run, demo_file, tmp_path, monkeypatch):
    """Random lengths, a grid, a herringbone, from a job file: text no wider than the terminal, JSON, and a picture each."""
    monkeypatch.setenv("COLUMNS", "70")
    file = tmp_path / "others.toml"
    file.write_text(OTHERS, encoding="utf-8")
    assert run("--db", demo_file, "load", str(file)).code == 0
    out = run("--db", demo_file, "take-off", "40").out
    assert max(map(len, out.splitlines())) <= 70
    data = {
        one["material"]: one for one in json.loads(run("--db", demo_file, "take-off", "40", "--json").out)["materials"]
    }
    assert {name: one["way"] for name, one in data.items()} == {
        "oak strip": "random lengths",
        "slate tile": "tiles",
        "brick oak": "herringbone",
    }
    assert sum(one["count"] for one in data["oak strip"]["boards"]) == data["oak strip"]["planks"]
    for room, material in (("study", "oak strip"), ("bath", "slate tile"), ("entry", "brick oak")):
        picture = tmp_path / f"{room}.svg"
        laid = run("--db", demo_file, "layout", "40", room, "--svg", str(picture))
        assert laid.code == 0
        assert max(map(len, laid.out.splitlines())) <= 70
        assert picture.read_text(encoding="utf-8").startswith("<svg")
        view = json.loads(run("--db", demo_file, "layout", "40", room, "--json").out)
        assert view["planks_of_all"] == data[material]["planks"]
    refused = run("--db", demo_file, "layout", "40", "bath", "--row", "2")
    assert refused.code == 1
    assert "laid in a grid" in refused.err


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["layout", "8", "laundry corner", "--row", "3"], "which has no rows"),
        (["take-off", "1", "--base-stick", "1 ft"], "sticks of base 1' long: they are 2' to 24'"),
        (["take-off", "1", "--shoe-stick", "long"], "long"),
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
