"""`crewjobs why` as text and as JSON."""

from __future__ import annotations

import json
from datetime import UTC, datetime

from tests.services.conftest import JOB, SHOP


def planks_lie_there(run, database) -> None:
    """The house is ready and the planks of job 4 are in its rooms since now."""
    assert run("--db", database, "ready", "4", "--asked", "Teo Halloran", "--all").code == 0
    assert run("--db", database, "arrived", "4", "9", "--in-rooms").code == 0


def test_why_of_a_job_is_sentences_and_json(run, database, monkeypatch):
    """The text says the chain and the promise; the JSON has each step with its kind and times, in order of time."""
    monkeypatch.setattr("crewjobs.services.clock.SystemClock.now", lambda _: datetime(2026, 3, 2, 12, 30, tzinfo=UTC))
    planks_lie_there(run, database)
    assert run("--db", database, "plan").code == 0
    text = run("--db", database, "why", "4").out
    assert text.startswith("Job 4 ends ")
    assert "gray plank acclimates" in text
    assert "Promised " in text
    found = json.loads(run("--db", database, "why", "4", "--json").out)
    job = found["job"]
    assert job["job"] == 4
    assert job["promised"] == "2026-03-13"
    assert job["steps"][-1]["kind"] == "work"
    assert datetime.fromisoformat(job["steps"][-1]["until"]) == datetime.fromisoformat(job["finish"])
    untils = [datetime.fromisoformat(step["until"]) for step in job["steps"] if step["until"] is not None]
    assert untils == sorted(untils)
    assert set(found) == {
        "plan_number", "stale", "job", "late", "late_sum", "late_groups", "saves", "clashes", "order", "note",
    }  # fmt: skip


def test_the_week_points_to_why_where_a_promise_does_not_hold(run, database):
    """One short line under Promises, only where one is needed."""
    planks_lie_there(run, database)
    run("--db", database, "amend", "4", "--promised", "2199-01-01")
    run("--db", database, "plan")
    assert "crewjobs why" not in run("--db", database, "week").out
    assert run("--db", database, "why").out == "Every promise holds in this plan.\n"
    run("--db", database, "amend", "4", "--promised", "2026-02-20")
    run("--db", database, "plan")
    assert "`crewjobs why` says which promises clash" in run("--db", database, "week").out


def test_a_way_out_is_taken_by_its_command(run, tmp_path, monkeypatch):
    """The command that the answer names proposes that very way, in a process of its own; JSON carries its parts."""
    monkeypatch.setattr("crewjobs.services.clock.SystemClock.now", lambda _: datetime(2026, 3, 2, 12, 30, tzinfo=UTC))
    database, shop = tmp_path / "dens.sqlite3", tmp_path / "birch.toml"
    shop.write_text(SHOP[: SHOP.index('[[crew]]\nname = "Cedar"')], encoding="utf-8")
    files = [shop]
    for number in (4, 5, 6):
        den = JOB.replace("number = 4", f"number = {number}").replace("2026-03-13", "2026-03-06")
        files.append(tmp_path / f"{number}.toml")
        files[-1].write_text(den.replace("9 Quarry", f"{number}9 Quarry"), encoding="utf-8")
    assert run("--db", database, "load", *files).code == 0
    run("--db", database, "plan")
    found = json.loads(run("--db", database, "why", "--json").out)
    ways = [way for clash in found["clashes"] for way in clash["ways"]]
    for way in ways:
        assert {"name", "command", "wins", "crew", "day", "hours", "records"} <= set(way)
        assert all({"days_late", "held", "days_later"} <= set(slip) for slip in way["slips"])
    first = next(way for way in ways if way["name"])
    taken = run("--db", database, *first["command"].split()[1:])
    assert taken.code == 0
    assert first["sentence"] in " ".join(taken.out.split())
    assert "Plan 2, proposed" in run("--db", database, "proposal", "--seconds", "0").out
