"""The benchmark's command line: rows in the files' own terms, and one sentence where a file is none."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from tests.benchmarks import laying
from tests.engines.laying.checker import Piece, Room, Rules, faults

FILES = sorted((Path(__file__).parents[2] / "data/laying").glob("*.json"))


def run(monkeypatch: pytest.MonkeyPatch, *words: str) -> None:
    """Run the command line."""
    monkeypatch.setattr(sys, "argv", ["laying", *words])
    laying.main()


def test_rows_can_be_judged_from_the_file_alone(monkeypatch, capsys, tmp_path: Path):
    """With runs, expectations and witness left out, each row's pieces lie in the file's room by the file's rules, without fault, and
    the planks are the published minimum (tests/data/laying)."""
    bare = []
    for path in FILES:
        data = json.loads(path.read_text(encoding="utf-8"))
        for key in ("runs", "expected", "witness"):
            del data[key]
        bare.append(tmp_path / path.name)
        bare[-1].write_text(json.dumps(data), encoding="utf-8")
    run(monkeypatch, *map(str, bare), "--seconds", "0.5", "--json")
    rows = json.loads(capsys.readouterr().out)
    assert len(rows) == len(FILES)
    for row, path in zip(rows, FILES, strict=True):
        data = json.loads(path.read_text(encoding="utf-8"))
        given, said = data["product"], data["rules"]
        rules = Rules(
            length=given["plank_length"],
            width=given["plank_width"],
            kerf=given["kerf"],
            gap=said["expansion_gap"],
            min_piece=said["min_piece_length"],
            stagger=said["min_stagger_adjacent_rows"],
            second_row=said["min_offset_rows_n_and_n_plus_2"],
        )
        room = Room(data["room"]["outline"], data["room"]["holes"], row["row_widths"][0])
        assert row["row_widths"][0][0] == said["first_row_rip"]
        assert faults(room, rules, [Piece(**piece) for piece in row["pieces"]], row["planks"]) == []
        assert row["planks"] == data["expected"]["min_planks"]
        assert (row["name"], row["status"]) == (data["name"], "proved")
        assert row["bound"] == row["planks"]


def test_rooms_are_generated_with_the_rule_of_thumb_beside(monkeypatch, capsys):
    """Made rooms print a line each with the rule of thumb's planks, and how many reached the bound."""
    run(monkeypatch, "--generate", "2", "--seed", "3", "--seconds", "0")
    said = capsys.readouterr().out
    assert said.count("rule of thumb ") >= 2
    assert "at most one over" in said
    assert "within 2 %" in said


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"format": "other/1"}, "format"),
        ({"room": {"outline": [[0, 0], [90, 60], [90, 0], [0, 60]]}}, "crosses or touches itself"),
        ({"room": {}}, "missing"),
        ({"rules": {}}, "missing"),
    ],
)
def test_files_that_are_none_end_in_a_sentence(monkeypatch, tmp_path: Path, change: dict, match: str):
    """A wrong format, an outline that crosses itself, a missing room or rule: one sentence with the file or room, no traceback."""
    data = json.loads(FILES[0].read_text(encoding="utf-8")) | change
    path = tmp_path / "wrong.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    with pytest.raises(SystemExit, match=match) as ended:
        run(monkeypatch, str(path))
    assert str(ended.value.code).count("\n") == 0


@pytest.mark.parametrize("words", [("--generate", "0"), ("--plank", "48"), ("--seconds", "-1"), ()])
def test_command_lines_that_are_none_end_in_a_sentence(monkeypatch, capsys, words: tuple[str, ...]):
    """Numbers that cannot be, or nothing to do, are refused in one sentence with status 2."""
    with pytest.raises(SystemExit) as ended:
        run(monkeypatch, *words)
    assert ended.value.code == 2
    assert capsys.readouterr().err.strip().count("\n") == 0


def test_a_plank_wider_than_long_is_refused(monkeypatch):
    """A product that is none is refused in one sentence."""
    with pytest.raises(SystemExit, match="width above zero"):
        run(monkeypatch, "--generate", "1", "--plank", "5x48")
