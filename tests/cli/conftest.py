"""Commands run in this process, with what they print and how they end."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from crewjobs.cli.commands import COMMANDS
from crewjobs.cli.main import main
from tests.cli.json_checked import checked
from tests.services.conftest import JOB, SHOP

COMMANDS_BY_NAME = dict(COMMANDS)


@dataclass
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str


@pytest.fixture
def run(capsys):
    """Run a command line; what it prints with --json is as its schema says."""

    def run_command(*words: object) -> Ran:
        try:
            code = main([str(word) for word in words])
        except SystemExit as ended:  # argparse ends the process itself
            code = int(ended.code or 0)
        printed = capsys.readouterr()
        command = next((name for name in map(str, words) if name in COMMANDS_BY_NAME), "")
        if code == 0 and "--json" in words and command:
            checked(command, printed.out)
        return Ran(code, printed.out, printed.err)

    return run_command


@pytest.fixture(scope="session")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the shop and job 4 as files and in a database, loaded once by the command."""
    folder = tmp_path_factory.mktemp("loaded")
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    (folder / "den.toml").write_text(JOB, encoding="utf-8")
    words = ["--db", folder / "shop.sqlite3", "load", folder / "shop.toml", folder / "den.toml"]
    assert main([str(word) for word in words]) == 0
    with closing(sqlite3.connect(folder / "shop.sqlite3")) as connection:
        # Loaded by the system's clock; what is recorded by one of that Monday is not recorded by one set back.
        connection.execute("UPDATE change SET at = '2026-03-02T12:00:00.000000Z'")
        connection.commit()
    return folder


@pytest.fixture
def database(tmp_path: Path, loaded: Path) -> Path:
    """A database with the shop and job 4."""
    shutil.copytree(loaded, tmp_path, dirs_exist_ok=True)
    return tmp_path / "shop.sqlite3"
