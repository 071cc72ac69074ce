from __future__ import annotations

import json
import shutil
import sys
import zipfile
from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from tests.benchmarks import rcpsp
from tests.benchmarks.psplib import instances, read_sm

DATA = Path(__file__).parents[2] / "data/psplib"


@pytest.fixture(scope="module")
def text():
    with zipfile.ZipFile(DATA / "j30.zip") as opened:
        return opened.read(opened.namelist()[0]).decode()


def test_a_file_is_read_as_it_stands(text):
    """32 jobs with the dummies, four pools, as many links as its successors; duration and units by hand of one row."""
    problem = read_sm(text, "x.sm")
    assert (len(problem.activities), len(problem.pools)) == (32, 4)
    rows = text.split("REQUESTS/DURATIONS:")[1].splitlines()[3:]
    second = [int(word) for word in rows[1].split()]
    assert problem.activities[1].modes[0].table.ends[0] == second[2]
    assert [units for _, units in problem.activities[1].uses] == second[3:]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("PRECEDENCE RELATIONS:", "PRECEDENCE:", "PRECEDENCE RELATIONS is missing"),
        ("RESOURCEAVAILABILITIES:", "*", "RESOURCEAVAILABILITIES is missing"),
        ("REQUESTS/DURATIONS:", "REQUESTS/DURATIONS:\n*\n*\n*", "REQUESTS/DURATIONS has no rows"),
        ("\n  2      1 ", "\n  2      x ", "whole numbers are needed"),
        ("\n  2      1 ", "\n  7      1 ", "numbered 1 to 32"),
        ("\n  2      1 ", "\n  2      2 ", "needs one mode"),
    ],
)
def test_a_bad_file_is_refused_in_one_sentence(text, old, new, words):
    """A damaged file is named with what is wrong in it and what would be right."""
    assert old in text
    with pytest.raises(Refused, match=words) as refused:
        read_sm(text.replace(old, new), "x.sm")
    assert str(refused.value).startswith("x.sm: ")
    assert "\n" not in str(refused.value)


def test_a_draw_takes_every_setting_before_a_second_of_any(tmp_path):
    """Thirty instances of thirty settings are all drawn, equal for equal seeds, from a zip, a folder, or files."""
    names = [one.name for one in instances(DATA, "j30", 30, 4)]
    assert len({name.split("_")[0] for name in names}) == 30
    shutil.copy(DATA / "best_known.csv", tmp_path)
    with zipfile.ZipFile(DATA / "j30.zip") as opened:
        opened.extractall(tmp_path)
    assert [one.name for one in instances(tmp_path, "j30", 30, 4)] == names
    assert [one.name for one in instances(DATA / "j30.zip", "j30", 5, 4)] == names[:5]
    assert [one.name for one in instances(DATA, "j30", 30, 5)] != names


@pytest.mark.parametrize("damage", ["no files", "no known", "no column", "no zip"])
def test_a_source_without_what_is_needed_is_refused(tmp_path, damage):
    """An empty folder, a missing or wrong list, and a file that is no zip are named, each in one sentence."""
    for name in ("j30.zip", "best_known.csv"):
        shutil.copy(DATA / name, tmp_path)
    if damage in ("no files", "no zip"):
        (tmp_path / "j30.zip").unlink() if damage == "no files" else (tmp_path / "j30.zip").write_text("x")
    elif damage == "no known":
        (tmp_path / "best_known.csv").unlink()
    else:
        (tmp_path / "best_known.csv").write_text("instance\nj301_1\n")
    with pytest.raises(Refused) as refused:
        instances(tmp_path, "j30", 5, 1)
    assert str(tmp_path) in str(refused.value)


def test_the_benchmark_prints_one_object(monkeypatch, capsys):
    """``--json`` prints one object whose rows and summary agree."""
    monkeypatch.setattr(sys, "argv", ["rcpsp", str(DATA), "--set", "j30", "--limit", "2", "--seconds", "5", "--json"])
    rcpsp.main()
    figures = json.loads(capsys.readouterr().out)
    rows = [row["crewjobs"] for row in figures["instances"]]
    assert len(rows) == 2
    assert figures["summary"]["crewjobs"]["mean_gap_percent"] == sum(row["gap_percent"] for row in rows) / 2


def test_the_benchmark_refuses_without_a_traceback(monkeypatch, tmp_path):
    """A folder without instances ends it with one sentence and a status that is not 0."""
    monkeypatch.setattr(sys, "argv", ["rcpsp", str(tmp_path), "--set", "j30"])
    with pytest.raises(SystemExit, match=r"no \.sm files of j30"):
        rcpsp.main()
