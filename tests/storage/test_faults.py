"""Whatever is wrong with the file, one sentence says it and nothing is changed."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import sys
import tempfile
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.storage import database as database_module
from crewjobs.storage import default_path, faults, open_database, schema
from tests.builders import task
from tests.storage.actions import NOW, add, change, house, job, log, shop, tick, title

backup_module = sys.modules["crewjobs.storage.backup"]  # the package's name of it is the function


def refused(call):
    """Return the one sentence a call is refused with."""
    with pytest.raises(Refused) as caught:
        call()
    [sentence] = caught.value.sentences
    assert "\n" not in sentence
    assert sentence.endswith(".")
    return sentence


@contextmanager
def plain_user():
    """Be a user whom permissions bind, with a folder of their own; the superuser passes every one."""
    folder = Path(tempfile.mkdtemp())
    superuser = hasattr(os, "geteuid") and os.geteuid() == 0
    try:
        if superuser:
            os.chown(folder, 65534, 65534)
            os.seteuid(65534)
        yield folder
    finally:
        if superuser:
            os.seteuid(0)
        for path in (folder, *folder.rglob("*")):
            path.chmod(0o700)
        shutil.rmtree(folder)


@pytest.fixture
def quick(monkeypatch):
    """Wait for another program for a moment only."""
    for module in (database_module, backup_module, faults):
        monkeypatch.setattr(module, "BUSY_SECONDS", 0.05)


def test_the_persons_own_file_lies_in_the_platforms_data_folder():
    """Without --db the file is the person's own."""
    assert default_path().name == "crewjobs.sqlite3"
    assert "crewjobs" in default_path().parent.name


def test_file_and_folder_are_made_for_the_owner_only(tmp_path):
    """Nobody else reads phones and entry notes, whatever the process's own mask."""
    old = os.umask(0)
    try:
        database = open_database(tmp_path / "new" / "shop.sqlite3")
        copy = database.backup()
    finally:
        os.umask(old)
    assert [stat.S_IMODE(path.stat().st_mode) for path in (database.path.parent, database.path, copy)] == [
        0o700,
        0o600,
        0o600,
    ]


def test_a_file_that_is_not_there_is_not_made_for_reading(tmp_path):
    """A mistyped --db makes no file."""
    path = tmp_path / "no" / "shop.sqlite3"
    assert "there is no database" in refused(lambda: open_database(path, create=False))
    assert not path.parent.exists()


def test_an_empty_file_is_filled_only_when_making_is_asked(tmp_path):
    """A file left empty by a killed program is no error for the next `load`."""
    path = tmp_path / "shop.sqlite3"
    path.touch()
    assert "is empty" in refused(lambda: open_database(path, create=False))
    add(open_database(path))
    assert job(open_database(path, create=False)) == house()


def test_a_file_that_is_no_database_is_left_alone(tmp_path):
    """Another file is never written to."""
    path = tmp_path / "letter.txt"
    path.write_text("Dear customer, " * 100)
    assert "is not a database" in refused(lambda: open_database(path))
    assert path.read_text() == "Dear customer, " * 100


def test_a_database_of_another_program_is_left_alone(tmp_path):
    """Another program's tables are never touched."""
    path = tmp_path / "other.sqlite3"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE songs (name TEXT)")
    before = path.read_bytes()
    assert "database of another program" in refused(lambda: open_database(path))
    assert path.read_bytes() == before


def test_a_folder_is_not_opened(tmp_path):
    """A folder in the place of the file is named as one."""
    assert "is a folder: name a file in it" in refused(lambda: open_database(tmp_path))


def test_a_file_in_the_place_of_the_folder_is_named(tmp_path):
    """A path through a file is refused."""
    (tmp_path / "file").touch()
    assert "file" in refused(lambda: open_database(tmp_path / "file" / "shop.sqlite3"))


@pytest.mark.parametrize("name", ["a\x1b[31m.sqlite3", "a\nb.sqlite3", "a\0b.sqlite3", "a\x7f.sqlite3"])
def test_a_path_with_control_characters_is_refused_and_shown_without_them(tmp_path, name):
    """Escape sequences in a path reach neither the disk nor the terminal."""
    sentence = refused(lambda: open_database(tmp_path / name))
    assert "control characters" in sentence
    assert sentence.isprintable()
    assert list(tmp_path.iterdir()) == []


def test_a_path_too_long_is_refused(tmp_path):
    """A name the system cannot hold is refused in a sentence."""
    assert refused(lambda: open_database(tmp_path / ("a" * 5000)))


def test_a_device_is_not_opened():
    """What is no plain file is refused."""
    assert "no plain file" in refused(lambda: open_database(Path(os.devnull)))


def test_a_database_of_a_newer_version_is_left_alone(database):
    """What a newer program wrote is neither read nor changed by this one."""
    with closing(sqlite3.connect(database.path, isolation_level=None)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9000'")
    before = database.path.read_bytes()
    sentence = refused(lambda: open_database(database.path))
    assert "newer version" in sentence
    assert "9000" in sentence
    assert schema.HEAD in sentence
    assert database.path.read_bytes() == before


def test_a_locked_database_names_the_time_waited(database, quick):
    """While another program writes, a write waits and then says for how long."""
    with database.unit_of_work(), pytest.raises(Refused, match=r"in use by another program: waited 0\.05 s"):
        add(database)
    assert log(database) == []


def test_an_exclusively_locked_database_cannot_be_opened(database, quick):
    """Opening and reading wait and refuse too."""
    with closing(sqlite3.connect(database.path, isolation_level=None)) as connection:
        connection.execute("BEGIN EXCLUSIVE")
        for call in (lambda: open_database(database.path), lambda: log(database), lambda: database.backup()):
            assert "in use by another program" in refused(call)
    assert [path.name for path in database.path.parent.iterdir()] == [database.path.name]


def test_a_reader_in_the_way_of_a_commit_costs_nothing_but_the_commit(database, quick):
    """A commit that cannot get past a reader is refused whole, and works when repeated."""
    with database.reading() as reader:
        assert reader.job_numbers() == ()
        assert "in use by another program" in refused(lambda: add(database))
    assert log(database) == []
    add(database)
    assert len(log(database)) == 1


def test_a_full_database_loses_nothing_it_had(database, monkeypatch):
    """When there is no room the change is refused whole and what was there stays readable."""
    add(database)
    connect = database_module._connect

    def small(path):
        connection = connect(path)
        connection.execute(f"PRAGMA max_page_count = {connection.execute('PRAGMA page_count').fetchone()[0]}")
        return connection

    monkeypatch.setattr(database_module, "_connect", small)
    assert "no room left" in refused(lambda: add(database, house(2), "x" * 100_000))
    monkeypatch.undo()
    assert (log(database), job(database)) == ([(1, "added", None)], house())


def test_a_file_that_may_only_be_read_is_read_and_not_written():
    """Looking works on a read-only copy; recording is refused."""
    with plain_user() as folder:
        database = open_database(folder / "shop.sqlite3")
        add(database)
        database.path.chmod(0o400)
        assert job(open_database(database.path)) == house()
        assert "may only be read" in refused(lambda: change(database, title("blue")))
        assert job(database) == house()


def test_a_folder_that_may_only_be_read_is_named():
    """Where no journal can be written nothing is recorded, and no new file is made."""
    with plain_user() as folder:
        database = open_database(folder / "shop.sqlite3")
        add(database)
        folder.chmod(0o500)
        assert job(open_database(database.path)) == house()
        assert "make the file and its folder writable" in refused(lambda: change(database, title("blue")))
        sentence = refused(lambda: open_database(folder / "new.sqlite3"))
        assert f"the folder '{folder}' may only be read (permission denied)" in sentence
        assert "cannot be written" in refused(database.backup)
        assert job(database) == house()


def test_a_file_nobody_may_open_is_named():
    """No permission at all is one sentence."""
    with plain_user() as folder:
        database = open_database(folder / "shop.sqlite3")
        database.path.chmod(0)
        assert "may not be opened" in refused(lambda: open_database(database.path))


@pytest.mark.parametrize("create", [False, True])
def test_a_folder_nobody_may_enter_is_named(create):
    """A locked folder on the way is the cause that is said, whether or not the file is there."""
    with plain_user() as folder:
        locked = folder / "locked"
        locked.mkdir()
        locked.chmod(0)
        for path in (locked / "shop.sqlite3", locked / "deeper" / "shop.sqlite3"):
            sentence = refused(lambda path=path: open_database(path, create=create))
            assert f"the folder '{locked}' may not be entered (permission denied)" in sentence


def test_a_folder_that_cannot_be_made_is_named_with_what_the_system_said():
    """Where no folder may be made, the sentence names the first that was refused, and nothing is left."""
    with plain_user() as folder:
        folder.chmod(0o500)
        sentence = refused(lambda: open_database(folder / "new" / "deep" / "shop.sqlite3"))
        assert f"the folder '{folder / 'new'}' cannot be made: Permission denied" in sentence
        assert list(folder.iterdir()) == []


def test_a_way_through_a_folder_that_is_not_there_makes_none(tmp_path):
    """`missing/../shop.sqlite3` is `shop.sqlite3`: made, found again, and no folder beside it."""
    path = tmp_path / "missing" / ".." / "shop.sqlite3"
    add(open_database(path))
    assert [made.name for made in tmp_path.iterdir()] == ["shop.sqlite3"]
    assert job(open_database(path, create=False)) == house()


def test_a_damaged_file_is_named(database):
    """A file with a page overwritten is refused, not misread."""
    add(database)
    with database.path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xff" * 4096 * 30)
    assert "is damaged" in refused(lambda: job(open_database(database.path)))


def test_the_demo_does_not_write_into_a_real_shops_file(database):
    """A file with a real shop is never opened as a demo; a demo's file says that it is one."""
    demo = open_database(database.path.with_name("demo.sqlite3"), demo=True)
    for opened in (database, demo):
        with opened.unit_of_work() as uow:
            uow.save_shop(shop("North"))
            uow.commit("shop", at=NOW)
    assert "holds a real shop" in refused(lambda: open_database(database.path, demo=True))
    assert [open_database(path).is_demo() for path in (database.path, demo.path)] == [False, True]


@pytest.mark.parametrize(
    ("edit", "sentence"),
    [
        (lambda b: replace(b, tasks=(task(1), replace(task(2), quantity=-1))), "quantity is no less than 0"),
        (lambda b: replace(b, tasks=(replace(task(1), least_people=3),), links=()), "needs 1 person or more"),
        (lambda b: replace(b, tasks=(replace(task(1), started_at=NOW.replace(year=2027), done_at=NOW),), links=()), "done after"),
        (lambda b: replace(b, links=(replace(b.links[0], wait_min=-1),)), "wait is no less than 0"),
        (lambda b: replace(b, links=(replace(b.links[0], after=99),)), "what it stands on is gone"),
        (lambda b: replace(b, tasks=(*b.tasks, replace(task(1), number=9))), "refused it"),
        (lambda b: replace(b, tasks=(replace(task(1), quantity=float("nan")),), links=()), "refused it"),
        (lambda b: replace(b, tasks=(replace(task(1), stage=2**70),), links=()), "too large"),
        (lambda b: title("half of a pair: \ud800")(b), "character that is none"),
    ],
)  # fmt: skip
def test_what_the_database_cannot_hold_is_refused_in_a_sentence(database, edit, sentence):
    """Rules of the database and values it has no place for are said in words; nothing of the change is kept."""
    add(database)
    assert sentence in refused(lambda: change(database, edit))
    assert job(database) == house()


def test_a_job_number_is_taken_once(database):
    """A second job of a number is refused and names the first."""
    add(database)
    assert "there is a job 1 already ('Ferry Lane 4')" in refused(lambda: add(database))


def test_an_unknown_job_is_refused(database):
    """Reading and saving a job that is not there say so."""
    assert refused(lambda: job(database, 99)) == "there is no job 99: `crewjobs jobs` lists them."


def test_a_backup_is_whole_and_overwrites_nothing(database):
    """The copy opens by itself and holds what the database held; a file that is there stays."""
    add(database)
    copies = [database.backup() for _ in range(2)]
    change(database, tick(1))
    assert [path.name for path in copies] == ["shop.sqlite3.backup", "shop.sqlite3.backup-2"]
    assert [job(open_database(path)) for path in copies] == [house(), house()]
    assert "is there already" in refused(lambda: database.backup(copies[0]))
    assert "cannot be written" in refused(lambda: database.backup(database.path.parent / "no" / "x"))


def test_a_file_taken_away_while_it_is_used_is_said_to_be_gone(tmp_path):
    """A program that goes on after its file was moved away says so and makes no new one."""
    database = open_database(tmp_path / "shop.sqlite3")
    add(database)
    database.path.rename(tmp_path / "elsewhere.sqlite3")
    assert "is not there any more" in refused(lambda: change(database, title("blue")))
    assert not database.path.exists()
