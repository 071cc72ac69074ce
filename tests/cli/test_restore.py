"""A backup is put back whole, what stood there is kept, and a file that is not whole is told."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.storage import restoring
from tests.storage.test_faults import plain_user


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


def test_a_copy_of_a_damaged_database_is_no_backup(shop: Path, run) -> None:
    """It would put nothing back: refused, and no file is left that looks like one."""
    damaged(shop)
    copy = shop.with_name("copy.sqlite3")
    ran = run("--db", shop, "backup", copy)
    assert (ran.code, ran.out) == (1, "")
    assert "is damaged, and so would be a copy of it" in " ".join(ran.err.split())
    assert "***" not in ran.err
    assert not copy.exists()


HURT = {
    "UPDATE job SET blocked = '[oops'": "cannot be read: Expecting value",
    "UPDATE task SET quantity = 'many'": "quantity of task is 'many', which is no number",
    "UPDATE site SET drive_min = 'far'": "drive_min of site is 'far', which is no number",
}


@pytest.mark.parametrize("command", ["jobs", "week", "waiting", "plan", "backup", "job 1", "dump 1", "export jobs"])
@pytest.mark.parametrize("hurt", HURT)
def test_a_record_that_cannot_be_read_is_told_in_one_sentence(shop: Path, run, command: str, hurt: str) -> None:
    """As another program or a bad disk may leave one: no traceback, and no backup that would put nothing back."""
    with closing(sqlite3.connect(shop)) as connection:
        connection.execute(hurt)
        connection.commit()
    copy = shop.with_name("copy.sqlite3")
    ran = run("--db", shop, *command.split(), *([copy] if command == "backup" else []))
    assert (ran.code, ran.out) == (1, "")
    told = " ".join(ran.err.split())
    assert "cannot be read" in told
    assert "crewjobs restore" in told
    assert not copy.exists()
    checked = run("--db", shop, "check")
    assert checked.code == 1
    assert HURT[hurt] in " ".join(checked.out.split())


def test_rows_that_refer_to_none_are_told(shop: Path, run) -> None:
    """As somebody with another program may leave them."""
    with closing(sqlite3.connect(shop)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("UPDATE plan_block SET plan = 999 WHERE position = 1")
        connection.commit()
    ran = run("--db", shop, "check")
    assert ran.code == 1
    assert "plan_block refers to a row of plan that is not there" in " ".join(ran.out.split())


def standing(folder: Path) -> dict[str, bytes]:
    """Every file in a folder, hidden ones too, with its bytes."""
    return {str(one.relative_to(folder)): one.read_bytes() if one.is_file() else b"" for one in folder.rglob("*")}


def failing(monkeypatch: pytest.MonkeyPatch, where: object, name: str, at: int, error: Exception) -> list[int]:
    """Let a function fail when it is called for the `at`-th time (to open a file: to make it); return where its calls are counted."""
    real, calls = getattr(where, name), [0]

    def call(*words, **named):
        counted = name != "open" or bool(words[1] & os.O_CREAT)
        calls[0] += counted
        if counted and calls[0] == at:
            raise error
        return real(*words, **named)

    monkeypatch.setattr(where, name, call)
    return calls


@pytest.fixture
def copy(shop: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A backup in a folder of its own, older than what stands in the shop's database."""
    copy = tmp_path_factory.mktemp("backups") / "copy.sqlite3"
    shutil.copy(shop, copy)
    with closing(sqlite3.connect(shop)) as connection:
        connection.execute("UPDATE shop SET name = 'Changed since'")
        connection.commit()
    return copy


@pytest.mark.parametrize(
    ("before", "number"),
    [("whole", errno.ENOSPC), ("whole", errno.EACCES), ("damaged", errno.EIO), ("none", errno.EROFS)],
)
def test_a_fault_of_the_disk_at_any_step_changes_nothing(
    shop: Path, copy: Path, run, monkeypatch: pytest.MonkeyPatch, before: str, number: int
) -> None:
    """Whichever of a file's making, writing and renaming fails, what stood there stands there, and nothing beside it."""
    if before == "damaged":
        shop.write_bytes(b"no database " * 1000)
    elif before == "none":
        shop.unlink()
    asked = shop if before != "none" else shop.with_name("new") / "deep" / "shop.sqlite3"
    stood = standing(shop.parent)
    disk = OSError(number, os.strerror(number))
    no_room = Refused("it has no room left.")
    failed = 0
    for where, name, error in (
        (tempfile, "mkdtemp", disk),
        (os, "open", disk),
        (Path, "rename", disk),
        (restoring, "copy_into", no_room),
        (restoring, "backup", no_room),
    ):
        for at in range(1, 9):
            with monkeypatch.context() as patch:
                calls = failing(patch, where, name, at, error)
                ran = run("--db", asked, "restore", copy)
            if calls[0] < at:  # it went through: all calls of this one have failed once
                assert ran.code == 0
                break
            if before == "damaged" and ran.code == 0:  # it was its copy that failed, which cannot be made anyway
                assert shop.with_name(f"{shop.name}.damaged").read_bytes() == stood[shop.name]
                _clear(shop.parent, stood)
                continue
            failed += 1
            assert ran.code == 1, (name, at)
            assert ran.err.startswith("crewjobs: ")
            assert standing(shop.parent) == stood, (name, at)
        _clear(shop.parent, stood)
    assert failed >= 4


def _clear(folder: Path, stood: dict[str, bytes]) -> None:
    """Put a folder back to what stood in it."""
    for one in sorted(folder.rglob("*"), reverse=True):
        one.rmdir() if one.is_dir() else one.unlink()
    for name, held in stood.items():
        (folder / name).write_bytes(held)


def test_a_disk_that_fills_while_it_is_written_over_loses_nothing(
    shop: Path, copy: Path, run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No file may grow past a part of the database, as on a full disk: told, and every byte is as it was."""
    resource = pytest.importorskip("resource")
    stood = standing(shop.parent)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    for most in (0, 4096, shop.stat().st_size // 2):
        for command in (("restore", copy), ("backup", shop.with_name("out.sqlite3"))):
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
            try:
                ran = run("--db", shop, *command)
            finally:
                resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
            assert ran.code == 1
            assert standing(shop.parent) == stood


def test_a_folder_that_may_only_be_read_is_told(shop: Path, run) -> None:
    """As another user's, or a disk that is mounted to be read: a sentence."""
    held = shop.read_bytes()
    with plain_user() as folder:
        here, copy = folder / "here" / "shop.sqlite3", folder / "copy.sqlite3"
        here.parent.mkdir()
        here.write_bytes(held)
        copy.write_bytes(held)
        here.parent.chmod(0o500)
        ran = run("--db", here, "restore", copy)
        stood = standing(here.parent)
    assert ran.code == 1
    assert "its folder cannot be written to" in " ".join(ran.err.split())
    assert stood == {"shop.sqlite3": held}


def test_what_check_calls_broken_is_not_put_back(shop: Path, copy: Path, run) -> None:
    """Its file is whole and its records are not: refused with the first thing check finds, and nothing is changed."""
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("DELETE FROM room")
        connection.commit()
    stood, held = standing(shop.parent), copy.read_bytes()
    assert run("--db", copy, "check").code == 1
    ran = run("--db", shop, "restore", copy)
    assert (ran.code, ran.out) == (1, "")
    said = " ".join(ran.err.split())
    assert "something is wrong with it; choose another backup (job 1 cannot be read" in said
    assert "there is no room 'living'" in said
    assert standing(shop.parent) == stood
    assert copy.read_bytes() == held


def test_what_is_wrong_with_the_backup_is_said_of_the_backup(shop: Path, copy: Path, run, tmp_path: Path) -> None:
    """Another backup is to be named: not another database, and nobody goes back from a backup to a backup."""
    torn = tmp_path / "torn.sqlite3"
    torn.write_bytes(copy.read_bytes()[:100_000])
    text = tmp_path / "text.sqlite3"
    text.write_text("a letter\n" * 100, encoding="utf-8")
    other = tmp_path / "other.sqlite3"
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE songs (name TEXT)")
    for file, words in (
        (torn, "is damaged and was not put back: name another backup."),
        (text, "is not a database and was not put back: name another backup."),
        (other, "is a database of another program: name a backup of one of crewjobs."),
        (tmp_path, "is a folder: name the backup in it."),
    ):
        ran = run("--db", shop, "restore", file)
        assert ran.code == 1
        assert words in " ".join(ran.err.split())
        assert "--db" not in ran.err
