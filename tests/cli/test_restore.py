"""A backup is put back whole, what stood there is kept, and a file that is not whole is told."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest


@pytest.fixture
def shop(demo_made: Path, tmp_path: Path) -> Path:
    """A copy of the demo's database."""
    return Path(shutil.copy(demo_made, tmp_path / "shop.sqlite3"))


def dumped(path: Path) -> list[str]:
    """Everything that stands in a database."""
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())


def test_what_was_recorded_since_is_gone_and_kept(shop: Path, run) -> None:
    """Back to the backup, byte for byte of its rows; the records made since are in the file beside."""
    copy = shop.with_name("copy.sqlite3")
    assert run("--db", shop, "backup", copy).code == 0
    before = dumped(shop)
    assert run("--db", shop, "money", 1, "received", 500).code == 0
    since = dumped(shop)
    assert since != before
    ran = run("--db", shop, "restore", copy)
    assert ran.code == 0
    assert dumped(shop) == before == dumped(copy)
    [kept] = shop.parent.glob("shop.sqlite3.before-restore*")
    assert dumped(kept) == since
    assert kept.name in ran.out


def test_a_database_that_is_gone_comes_back(shop: Path, run) -> None:
    """Nothing stood there: nothing is kept."""
    copy = shop.with_name("copy.sqlite3")
    run("--db", shop, "backup", copy)
    shop.unlink()
    assert run("--db", shop, "restore", copy).code == 0
    assert dumped(shop) == dumped(copy)
    assert not list(shop.parent.glob("*.before-restore*"))


def test_what_is_no_backup_changes_nothing(shop: Path, run, tmp_path: Path) -> None:
    """A file of something else, one that is not there, the database itself, a damaged one: one sentence each."""
    before = dumped(shop)
    other = tmp_path / "other.txt"
    other.write_text("a list of jobs\n" * 100, encoding="utf-8")
    hurt = damaged(Path(shutil.copy(shop, tmp_path / "hurt.sqlite3")))
    for file, said in (
        (other, "is not a database"),
        (tmp_path / "none.sqlite3", "there is no file"),
        (shop, "is the database itself"),
        (hurt, "damaged"),
    ):
        ran = run("--db", shop, "restore", file)
        assert (ran.code, ran.out) == (1, "")
        assert said in " ".join(ran.err.split())
    assert dumped(shop) == before
    assert not list(tmp_path.glob("*.before-restore*"))


def damaged(path: Path) -> Path:
    """Zero a page in the midst of a database, one that holds rows."""
    with closing(sqlite3.connect(path)) as connection:
        size = connection.execute("PRAGMA page_size").fetchone()[0]
        page = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'task'").fetchone()[0]
    with path.open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\xff" * size)
    return path


def test_a_damaged_database_is_told_and_replaced(shop: Path, run) -> None:
    """Check says that it is not whole, and how to go on; the damaged file is kept as it is."""
    copy = shop.with_name("copy.sqlite3")
    run("--db", shop, "backup", copy)
    whole = run("--db", shop, "check")
    assert whole.code == 0
    assert "is whole" in whole.out
    damaged(shop)
    ran = run("--db", shop, "check")
    assert ran.code == 1
    assert "crewjobs restore" in " ".join(ran.out.split())
    assert run("--db", shop, "restore", copy).code == 0
    assert run("--db", shop, "check").code == 0
    assert dumped(shop) == dumped(copy)
    assert len(list(shop.parent.glob("shop.sqlite3.*"))) == 1


def test_rows_that_refer_to_none_are_told(shop: Path, run) -> None:
    """As somebody with another program may leave them."""
    with closing(sqlite3.connect(shop)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("UPDATE plan_block SET plan = 999 WHERE position = 1")
        connection.commit()
    ran = run("--db", shop, "check")
    assert ran.code == 1
    assert "plan_block refers to a row of plan that is not there" in " ".join(ran.out.split())
