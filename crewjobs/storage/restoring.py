"""A backup put back in the place of a database, and whether a database is whole as a file."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.storage import schema
from crewjobs.storage.backup import backup, copy_into
from crewjobs.storage.faults import refusal
from crewjobs.storage.paths import check_name, make_folder, shown

MOST_FAULTS = 20
"""So many faults of a file are told."""
_DAMAGE: Final = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
_BESIDE: Final = ("-journal", "-wal", "-shm")
"""What SQLite keeps beside a database's file, by the endings of their names."""


def restore(copy: Path, path: Path, sound: Callable[[Path], None]) -> Path | None:
    """Put a backup in the place of a database; return where what stood there is kept, None where nothing did.

    The backup is looked through first and stays as it is. What is put back is a copy of it, made near the database: `sound`
    brings that up to date and refuses what cannot be worked with, before anything is changed. What stood there is copied
    beside it before; a damaged file, of which no copy can be made by the database, is kept as it is. All is written at
    once: another program sees the one or the other, and where it is refused, what stood there stands there.

    Raises:
        Refused: the backup is none of crewjobs, is damaged, empty, of a newer version or the database itself, or one of
            the two cannot be read or written.
    """
    check_name(copy)
    if not copy.exists():
        raise Refused(f"there is no file {shown(copy)}: name the backup to put back.")
    if not copy.is_file():
        what = "a folder: name the backup in it" if copy.is_dir() else "no plain file: name the backup to put back"
        raise Refused(f"{shown(copy)} is {what}.")
    if path.exists() and copy.samefile(path):
        raise Refused(f"{shown(copy)} is the database itself: name a backup of it.")
    faults = _backup_looked_through(copy)
    if faults:
        raise Refused(
            f"{shown(copy)} is damaged and was not put back: choose an older backup ({in_one_line(faults[0])})."
        )
    try:
        return _put_in_place(copy, path, sound)
    except OSError as error:
        raise Refused(f"{shown(path)} was not put back: its folder cannot be written to ({error.strerror}).") from None


def _put_in_place(copy: Path, path: Path, sound: Callable[[Path], None]) -> Path | None:
    near = next(folder for folder in path.absolute().parents if folder.is_dir())
    with TemporaryDirectory(prefix=".crewjobs-restore-", dir=near, ignore_cleanup_errors=True) as folder:
        ready = Path(folder) / copy.name
        os.close(os.open(ready, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        copy_into(copy, ready, named=path)
        sound(ready)
        if not path.exists():
            try:
                make_folder(path.parent)
                backup(ready, path)
            except Refused:
                _remove_folders(path, near)
                raise
            return None
        try:
            kept = backup(path, suffix="before-restore")
        except Refused:
            if not _damaged(path):
                raise
            return _put_aside(ready, path)
        try:
            copy_into(ready, path)
        except Refused:
            if not _damaged(path):  # all is as it was: nothing is left of what was begun
                with contextlib.suppress(OSError):
                    kept.unlink()
            raise
        return kept


def _remove_folders(path: Path, near: Path) -> None:
    """Take away the empty folders made for a file, up to the one that was there."""
    with contextlib.suppress(OSError):
        for folder in path.absolute().parents:
            if folder == near:
                return
            folder.rmdir()


def _damaged(path: Path) -> bool:
    """Return whether a file is no whole database as it is, whatever else may hinder: no room, no permission, another program.

    Raises:
        Refused: it cannot be read now for another cause.
    """
    try:
        with contextlib.closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True)) as connection:
            connection.execute("PRAGMA schema_version").fetchone()
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error as error:
        if error.sqlite_errorcode & 0xFF in _DAMAGE:
            return True
        told = refusal(error, path)
        assert told is not None
        raise told from None
    return False


def _put_aside(ready: Path, path: Path) -> Path:
    """Rename a file that no copy can be made of, with what belongs to it, and put a whole one in its place: both or neither."""
    numbers = (path.with_name(f"{path.name}.damaged{f'-{n}' if n > 1 else ''}") for n in range(1, 1000))
    aside = next(one for one in numbers if not one.exists())
    moved: list[tuple[Path, Path]] = []
    try:
        for ending in ("", *_BESIDE):  # a journal of the damaged file would be played into the whole one
            old, new = (one.with_name(one.name + ending) for one in (path, aside))
            if old.exists():
                old.rename(new)
                moved.append((old, new))
        ready.rename(path)
    except OSError:
        for old, new in reversed(moved):
            new.rename(old)
        raise
    return aside


def _backup_looked_through(copy: Path) -> tuple[str, ...]:
    """Return what is wrong with a backup as a file.

    Raises:
        Refused: it cannot be read, is empty, or is none of crewjobs or of a newer version; another one is to be named.
    """
    try:
        return _looked_through(copy, "name a backup of one of crewjobs")[1]
    except sqlite3.Error as error:
        code = error.sqlite_errorcode & 0xFF
        if code in _DAMAGE:
            what = "is not a database" if code == sqlite3.SQLITE_NOTADB else "is damaged"
            raise Refused(f"{shown(copy)} {what} and was not put back: name another backup.") from None
        if code in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
            raise Refused(
                f"{shown(copy)} cannot be read: see to its permissions and its folder's, or name another backup."
            ) from None
        told = refusal(error, copy)
        assert told is not None
        raise told from None


def look_through(path: Path) -> tuple[str, tuple[str, ...]]:
    """Return a database's revision and what is wrong with it as a file: pages, indexes, and rows that refer to none.

    Raises:
        Refused: it cannot be opened, is empty, or is none of crewjobs or of a newer version.
    """
    try:
        return _looked_through(path, "choose the right file with --db")
    except sqlite3.Error as error:
        told = refusal(error, path)
        assert told is not None
        raise told from None


def _looked_through(path: Path, otherwise: str) -> tuple[str, tuple[str, ...]]:
    with contextlib.closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        revision = schema.revision_of(connection, path, otherwise)
        if revision is None:
            raise Refused(f"{shown(path)} is empty.")
        return revision, tuple(_faults(connection))[:MOST_FAULTS]


def in_one_line(fault: str) -> str:
    """Return what is wrong with a file in one line, without the heading that SQLite puts before it."""
    return next((line for line in fault.splitlines() if line and not line.startswith("***")), fault).rstrip(".")


def _faults(connection: sqlite3.Connection) -> list[str]:
    try:
        said = [str(row[0]) for row in connection.execute(f"PRAGMA integrity_check({MOST_FAULTS})")]
    except sqlite3.DatabaseError as error:
        return [str(error)]
    if said != ["ok"]:
        return said
    return [
        f"row {row} of {table} refers to a row of {parent} that is not there"
        for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check")
    ]
