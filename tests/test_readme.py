"""The README says what the program does."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

import pytest

from crewjobs.cli.commands import COMMANDS
from crewjobs.domain.crew import Lead, Sub, Worker
from crewjobs.domain.house import Site
from crewjobs.files.job_tables import OrderTable, WorkTable
from tests.cli.conftest import run as run

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")


def test_the_first_job_of_the_readme_loads_plans_and_prints(run, tmp_path):
    """The two files printed there load as they stand; the job is planned to its end and its page is written."""
    blocks = [re.sub(r"(?m)^   ", "", block) for block in re.findall(r"```toml\n(.*?)```", README, flags=re.DOTALL)]
    files = []
    for name, text in zip(("shop.toml", "quarry-road.toml"), blocks, strict=True):
        (tmp_path / name).write_text(text, encoding="utf-8")
        files.append(tmp_path / name)
    database = tmp_path / "mine.sqlite3"
    assert run("--db", database, "load", *files).code == 0
    assert "14' 6\" × 12' 3 1/2\"" in run("--db", database, "job", "1").out
    assert run("--db", database, "ready", "1", "--asked", "Teo Halloran", "--all").code == 0
    assert run("--db", database, "arrived", "1", "9", "--in-rooms").code == 0
    assert "ACCLIMATING" in run("--db", database, "waiting").out
    assert run("--db", database, "amend", "1", "--promised", "fri").code == 0
    planned = run("--db", database, "plan").out
    assert "1 job planned, none left out" in planned
    assert run("--db", database, "tick", "1", "1", "2").code == 0
    assert run("--db", database, "day-plan", "tomorrow", "--out", tmp_path).code == 0


@pytest.mark.parametrize("name", [name for name, _ in COMMANDS])
def test_every_command_is_in_the_readme(name):
    """A command that exists is described."""
    assert f"`crewjobs {name}" in README


@pytest.mark.parametrize("name", [name for name, _ in COMMANDS])
def test_every_command_offers_json(name, run):
    """Each command's own help names --json, --db and --now."""
    shown = run(name, "--help").out
    assert all(option in shown for option in ("--json", "--db", "--now"))


def test_nothing_is_left_to_fill_in():
    """No placeholder stands in the README."""
    assert re.findall(r"@[A-Z]+@", README) == []


@pytest.mark.parametrize("kind", [Site, OrderTable, WorkTable, Lead, Worker, Sub], ids=lambda kind: kind.__name__)
def test_every_key_of_the_files_is_in_the_readme(kind):
    """What a job file or shop file may say of a site, an order, agreed work, the lead, a person and a sub is named there."""
    spelled = {"area_ft2": "area"}
    keys = [spelled.get(field.name, field.name) for field in fields(kind)]
    assert [key for key in keys if not re.search(rf"`{key}`|\b{key} = ", README)] == []
