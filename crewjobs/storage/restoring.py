"""A backup put back in the place of a database, and whether a database is whole as a file."""

from __future__ import annotations

import contextlib
import sqlite3
from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.storage import schema
from crewjobs.storage.backup import backup, copy_into
from crewjobs.storage.faults import refusal
from crewjobs.storage.paths import check_name, make_folder, shown

MOST_FAULTS = 20
"""So many faults of a file are told."""


def restore(copy: Path, path: Path) -> Path | None:
    """Put a backup in the place of a database; return where what stood there is kept, None where nothing did.

    The backup is looked through first and stays as it is. What stood there is copied beside it before; a damaged file, of
    which no copy can be made by the database, is kept as it is. All is written at once: another program sees the one or
    the other.

    Raises:
        Refused: the backup is none of crewjobs, is damaged, empty, of a newer version or the database itself, or one of
            the two cannot be read or written.
    """
    check_name(copy)
    if not copy.exists():
        raise Refused(f"there is no file {shown(copy)}: name the backup to put back.")
    if path.exists() and copy.samefile(path):
        raise Refused(f"{shown(copy)} is the database itself: name a backup of it.")
    _revision, faults = look_through(copy)
    if faults:
        raise Refused(f"{shown(copy)} is damaged and was not put back: choose an older backup ({faults[0]}).")
    if not path.exists():
        make_folder(path.parent)
        backup(copy, path)
        return None
    try:
        kept = backup(path, suffix="before-restore")
    except Refused:
        return _put_aside(copy, path)
    copy_into(copy, path)
    return kept


def _put_aside(copy: Path, path: Path) -> Path:
    """Rename a file that no copy can be made of, unless only somebody else holds it, and write the backup in its place."""
    with contextlib.closing(sqlite3.connect(path)) as connection:
        try:
            connection.execute("PRAGMA schema_version").fetchone()
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        except sqlite3.Error as error:
            if error.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
                told = refusal(error, path)
                assert told is not None
                raise told from None
    numbers = (path.with_name(f"{path.name}.damaged{f'-{n}' if n > 1 else ''}") for n in range(1, 1000))
    aside = next(one for one in numbers if not one.exists())
    path.rename(aside)
    backup(copy, path)
    return aside


def look_through(path: Path) -> tuple[str, tuple[str, ...]]:
    """Return a database's revision and what is wrong with it as a file: pages, indexes, and rows that refer to none.

    Raises:
        Refused: it cannot be opened, is empty, or is none of crewjobs or of a newer version.
    """
    try:
        with contextlib.closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
            revision = schema.revision_of(connection, path)
            if revision is None:
                raise Refused(f"{shown(path)} is empty.")
            return revision, tuple(_faults(connection))[:MOST_FAULTS]
    except sqlite3.Error as error:
        told = refusal(error, path)
        assert told is not None
        raise told from None


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
