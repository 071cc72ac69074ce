"""Commands run in this process, with what they print and how they end."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from crewjobs.cli.main import main
from tests.services.conftest import JOB, SHOP


@dataclass
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str


@pytest.fixture
def run(capsys):
    """Run a command line."""

    def run_command(*words: object) -> Ran:
        try:
            code = main([str(word) for word in words])
        except SystemExit as ended:  # argparse ends the process itself
            code = int(ended.code or 0)
        printed = capsys.readouterr()
        return Ran(code, printed.out, printed.err)

    return run_command


@pytest.fixture
def database(tmp_path: Path, run) -> Path:
    """A database with the shop and job 4."""
    path = tmp_path / "shop.sqlite3"
    (tmp_path / "shop.toml").write_text(SHOP, encoding="utf-8")
    (tmp_path / "den.toml").write_text(JOB, encoding="utf-8")
    loaded = run("--db", path, "load", tmp_path / "shop.toml", tmp_path / "den.toml")
    assert loaded.code == 0, loaded.err
    return path
