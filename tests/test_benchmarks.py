"""The benchmarks' command lines: whatever they are given they end in a sentence or in figures, never in a traceback."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.objective import PlanCost
from crewjobs.engines.scheduling.model import Problem
from tests.benchmarks import rcpsp, week
from tests.benchmarks.week_weeks import weeks

PUBLISHED = Path(__file__).parent / "data/psplib"


def _run(monkeypatch: pytest.MonkeyPatch, main: Callable[[], None], *words: str) -> None:
    monkeypatch.setattr(sys, "argv", ["benchmark", *words])
    main()


def _refused(monkeypatch, capsys, main, *words: str) -> str:
    """Run a command line that must be refused; return its one sentence."""
    with pytest.raises(SystemExit) as ended:
        _run(monkeypatch, main, *words)
    said = capsys.readouterr().err or str(ended.value.code)
    assert isinstance(ended.value.code, str) or ended.value.code in (1, 2)
    assert said.strip().count("\n") == 0
    assert "Traceback" not in said
    return said


WEEK_REFUSES = [
    *[(option, value) for option in ("--jobs", "--crews", "--weeks", "--instances", "--workers") for value in "0x"],
    ("--jobs", "-1"), ("--seed", "-5"), ("--seed", "99999999999"), ("--seconds", "-1"), ("--seconds", "nan"),
    ("--seconds", "inf"), ("--weeks", "1"),
]  # fmt: skip


@pytest.mark.parametrize(("option", "value"), WEEK_REFUSES)
def test_weeks_refuse_what_cannot_be(monkeypatch, capsys, option: str, value: str) -> None:
    """A number that cannot be is refused in one sentence which names the option, before anything is planned."""
    assert option in _refused(monkeypatch, capsys, week.main, "--replan", option, value)


RCPSP_REFUSES = [
    ("--limit", "0"), ("--seed", "-5"), ("--seed", "99999999999"), ("--seconds", "-1"), ("--seconds", "nan"),
    ("--workers", "-3"), ("--workers", "0"), ("--peer", "nobody"),
]  # fmt: skip


@pytest.mark.parametrize(("option", "value"), RCPSP_REFUSES)
def test_networks_refuse_what_cannot_be(monkeypatch, capsys, option: str, value: str) -> None:
    """A number that cannot be is refused in one sentence which names the option, before a file is read."""
    assert option in _refused(monkeypatch, capsys, rcpsp.main, str(PUBLISHED), "--set", "j30", option, value)


@pytest.mark.parametrize("name", ["x.sm", "j301_1.sm"])
def test_a_folder_that_is_named_like_a_file_is_no_file(monkeypatch, capsys, tmp_path: Path, name: str) -> None:
    """A folder called like an instance is passed over, and a file that is no zip is named."""
    (tmp_path / name).mkdir()
    assert str(tmp_path) in _refused(monkeypatch, capsys, rcpsp.main, str(tmp_path), "--set", "j30")
    (tmp_path / "j30.zip").write_bytes((PUBLISHED / "j30.zip").read_bytes()[:-4000])
    assert str(tmp_path) in _refused(monkeypatch, capsys, rcpsp.main, str(tmp_path), "--set", "j30")


def test_a_list_that_is_a_folder_is_refused(monkeypatch, capsys, tmp_path: Path) -> None:
    """Where best_known.csv is no file that is said."""
    (tmp_path / "j30.zip").write_bytes((PUBLISHED / "j30.zip").read_bytes())
    (tmp_path / "best_known.csv").mkdir()
    assert "best_known.csv" in _refused(monkeypatch, capsys, rcpsp.main, str(tmp_path), "--set", "j30")


@pytest.mark.parametrize(
    ("jobs", "crews", "count", "seed"),
    [(3, 3, 4, 1), (2, 3, 4, 1), (2, 3, 4, 3), (4, 3, 4, 2), (4, 3, 4, 3), (6, 3, 4, 2), (2, 12, 2, 1), (1, 3, 1, 1)],
)
def test_every_house_fits_alone(jobs: int, crews: int, count: int, seed: int) -> None:
    """Few houses for many crews are no larger than can be done: each is planned whole if it is the only one."""
    made = weeks(jobs, crews, count, seed)
    assert len(made.jobs) == jobs
    for record in made.jobs:
        alone = plan_week(replace(made, jobs=(record,)))
        assert not alone.left_out
        assert alone.placements


def test_weeks_print_the_products_tuple_beside_each_sum(monkeypatch, capsys) -> None:
    """Every side has its sum and the product's own tuple, and what each finds when it searches by that tuple."""
    _run(monkeypatch, week.main, "--jobs", "2", "--seconds", "0.2", "--json")
    (row,) = json.loads(capsys.readouterr().out)["instances"]
    for name in ("first", "crewjobs", "solver alone", "solver alone, no drives"):
        assert row[name]["sum"] > 0
        assert len(row[name]["cost"]) == len(PlanCost._fields)
    mine, *theirs = (row[f"{week.OWN}{name}"]["cost"] for name in ("crewjobs", "solver alone", "solver, no drives"))
    assert row["product takes"] == (
        "either" if mine == min(theirs) else "crewjobs" if mine < min(theirs) else "solver alone"
    )
    _run(monkeypatch, week.main, "--jobs", "2", "--seconds", "0.2")
    said = capsys.readouterr().out
    assert "the benchmark's own weights" in said
    assert said.count("tuple (") == 7


def _rows(*theirs: int | None) -> list[dict[str, Any]]:
    """Return figures of instances in which the peer has these slots late, or no plan in time."""
    sums = {"first": {"sum": 10}, "crewjobs": {"sum": 8, "late_slots": 6}}
    alone = {"solver alone": {"sum": 10}, "solver alone, no drives": {"sum": 9}}
    again = {"seconds": 0.1, "moved": 4, "late_slots": 30}
    return [
        {
            "first seconds": 0.1,
            **sums,
            **(alone if slots else {side: {"sum": 10} for side in alone}),
            "cost over the solver's": 0.9,
            "cost over the first plan's": 0.8,
            "product takes": "crewjobs",
            "peer": {"late_slots": slots},
            "crewjobs for lateness alone": {"late_slots": 3},
            "replan": {
                way: {**again, "moved": n} for n, way in ((20, "right shift"), (4, "repaired"), (5, "proposed"))
            },
        }
        for slots in theirs
    ]


def test_a_summary_counts_what_is_in_its_ratios() -> None:
    """Instances, rivals that found nothing better, peers without a plan in time; these are in no ratio to the peer.

    The repair's lateness stands beside what it moved.
    """
    args = argparse.Namespace(jobs=12, crews=3, weeks=4, seconds=10.0, peer="pyjobshop", replan=True)
    found = {name: value for name, (value, _) in week.summary(_rows(24, None, 24), args).items()}
    assert found["instances"] == 3
    assert found["solver alone no better than the first plan"] == 1
    assert found["peer with no plan in time"] == 1
    assert found["lateness over the peer's"] == 12 / 48
    assert found["repair: moved over the right shift's"] == 4 / 20
    assert (found["repaired: blocks moved"], found["repaired: slots late by weight"]) == (12, 90)


@pytest.mark.parametrize("other", [{"jobs": 60}, {"crews": 8}, {"weeks": 2}, {"seconds": 2.0}])
def test_nothing_is_expected_of_what_was_not_measured(other: dict[str, float]) -> None:
    """Costs and lateness are expected of twelve jobs, three crews, four weeks and the seconds they were measured with."""
    terms: dict[str, Any] = {"jobs": 12, "crews": 3, "weeks": 4, "seconds": 10.0, "peer": "pyjobshop", "replan": True}

    def bounds(terms: dict[str, Any]) -> set[str]:
        figures = week.summary(_rows(24), argparse.Namespace(**terms))
        return {name for name, (_, most) in figures.items() if most is not None and not name.startswith("first plan")}

    whole = bounds(terms)
    assert {"cost over the solver's, mean", "lateness over the peer's", "repair, seconds, mean"} < whole
    assert bounds({**terms, **other}) == (
        {name for name in whole if name.startswith("repair")} if "seconds" in other else set()
    )
    assert rcpsp.expected("j60", 10.0)
    assert rcpsp.expected("j60", 5.0) == rcpsp.expected("j90", 10.0) == {}


@pytest.mark.parametrize(
    ("answer", "status"),
    [("proven", "optimal"), ("found", "feasible"), ("nothing", "unknown")],
)
def test_an_instance_has_a_status(monkeypatch, capsys, answer: str, status: str) -> None:
    """Proven is optimal, a schedule without proof feasible, none unknown: in the data and in the text."""
    real = rcpsp.ours

    def ours(problem: Problem, seconds: float, workers: int, seed: int) -> rcpsp.Answer:
        schedule, bound, _ = real(problem, seconds, workers, seed)
        return None if answer == "nothing" else schedule, bound, answer == "proven"

    monkeypatch.setattr(rcpsp, "ours", ours)
    words = (str(PUBLISHED), "--set", "j30", "--limit", "1", "--seconds", "1")
    _run(monkeypatch, rcpsp.main, *words, "--json")
    figures = json.loads(capsys.readouterr().out)
    (row,) = figures["instances"]
    one = row["crewjobs"]
    assert one["status"] == status
    assert one["proven"] is (answer == "proven")
    assert one["seconds"] >= 0
    assert (
        (one["makespan"] is None)
        is (figures["summary"]["crewjobs"]["mean_gap_percent"] is None)
        is (answer == "nothing")
    )
    assert one["makespan"] is None or one["makespan"] >= one["bound"]
    _run(monkeypatch, rcpsp.main, *words)
    assert status in capsys.readouterr().out.splitlines()[0]
