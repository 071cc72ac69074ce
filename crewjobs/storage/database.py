"""The database file: where it is, opening it, and transactions on it."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.engine import URL, ExceptionContext
from sqlalchemy.pool import NullPool

from crewjobs.domain.errors import Refused
from crewjobs.storage import schema
from crewjobs.storage.backup import backup, copy_into
from crewjobs.storage.faults import BUSY_SECONDS, refusal
from crewjobs.storage.kept_pace import write_kept
from crewjobs.storage.paths import cannot_open, check_name, make_folder, shown, without_dots
from crewjobs.storage.unit_of_work import UnitOfWork

WRITE: Final = "BEGIN IMMEDIATE"
"""Take the right to write as the transaction begins: what it reads is what it changes."""
READ: Final = "BEGIN"


def is_there(path: Path) -> bool:
    """Return whether there is such a file.

    Raises:
        Refused: it cannot be a file's name.
    """
    return _checked(path).exists()


def open_database(path: Path, *, create: bool = True, demo: bool = False) -> Database:
    """Open a database, making it (readable by its owner only) or bringing it up to date where needed.

    Raises:
        Refused: it is not there and `create` is False, or it cannot be opened, is not one of crewjobs, is of a
            newer version, in use, or a real shop's while `demo` is asked.
    """
    path = _checked(path)
    if not path.exists():
        if not create:
            raise Refused(
                f"there is no database {shown(path)} yet: `crewjobs` alone sets one up, `crewjobs load` makes one of files, "
                "`crewjobs demo` shows one."
            )
        _make_file(path)
    with _told(path), contextlib.closing(_connect(path)) as connection:
        revision = schema.revision_of(connection, path)
        if connection.execute("PRAGMA journal_mode").fetchone()[0] not in ("delete", "memory"):
            connection.execute("PRAGMA journal_mode = DELETE")
    engine = _engine(path, WRITE)
    if revision is None:
        if not create:
            raise Refused(f"{shown(path)} is empty: `crewjobs load` fills it, `crewjobs demo` shows one.")
        schema.create(engine)
    elif revision != schema.HEAD:
        schema.migrate(engine, path)
    return Database(path=path, demo=_demo_of(path, demo))


class Database:
    """A database file that was opened; every transaction has a connection of its own, so any thread may ask."""

    def __init__(self, *, path: Path, demo: bool) -> None:
        self.path = path
        self._demo = demo

    def unit_of_work(self, who: str = "") -> UnitOfWork:
        """Return a transaction that writes, to be entered with ``with``; `who` is kept in the change log."""
        return UnitOfWork(self._writing, who=who, demo=self._demo)

    def reading(self) -> UnitOfWork:
        """Return a transaction that only reads, to be entered with ``with``."""
        return UnitOfWork(self._reading, who=None, demo=self._demo)

    def is_demo(self) -> bool:
        """Return whether it holds a demo shop, in which the clock may be set."""
        return self._demo

    def backup(self, target: Path | None = None) -> Path:
        """Copy the database; see `crewjobs.storage.backup.backup`."""
        return backup(self.path, target)

    @contextmanager
    def on_a_copy(self) -> Iterator[Database]:
        """Yield a database with all that is in this one, in a file of its own that is thrown away: what is written there never was.

        Raises:
            Refused: there is no room for it, or the database cannot be read.
        """
        try:
            folder = TemporaryDirectory(prefix="crewjobs-", ignore_cleanup_errors=True)
        except OSError as error:
            raise Refused(f"there is no folder to try it in: {error.strerror}.") from None
        with folder as name:
            path = Path(name) / "tried.sqlite3"
            copy_into(self.path, path)
            yield Database(path=path, demo=self._demo)

    def keep_pace(self, parts: Mapping[str, bytes]) -> bool:
        """Keep what was learned where that can be done at once; see `crewjobs.storage.kept_pace.write_kept`."""
        return not parts or write_kept(self.path, parts)

    @cached_property
    def _writing(self) -> Engine:
        return _engine(self.path, WRITE)

    @cached_property
    def _reading(self) -> Engine:
        return _engine(self.path, READ)


def _engine(path: Path, begin: str) -> Engine:
    url = URL.create("sqlite+pysqlite", database=str(path))
    engine = create_engine(url, poolclass=NullPool, creator=lambda: _connect(path))

    @event.listens_for(engine, "begin")
    def _begin(connection: Any) -> None:
        connection.exec_driver_sql(begin)

    @event.listens_for(engine, "handle_error")
    def _tell(context: ExceptionContext) -> BaseException | None:
        return refusal(context.original_exception, path)

    return engine


def _connect(path: Path) -> sqlite3.Connection:
    """Connect to a file that is there. Transactions are begun by us alone (isolation_level None)."""
    uri = f"{path.absolute().as_uri()}?mode=rw"
    connection = sqlite3.connect(uri, uri=True, timeout=BUSY_SECONDS, isolation_level=None)
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")
    return connection


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise refusal(error, path) or error from None


def _demo_of(path: Path, demo: bool) -> bool:
    with _told(path), contextlib.closing(_connect(path)) as connection:
        row = connection.execute("SELECT demo FROM shop").fetchone()
    if row is None:
        return demo
    if demo and not row[0]:
        raise Refused(f"{shown(path)} holds a real shop: the demo uses a file of its own, name another with --db.")
    return bool(row[0])


def _checked(path: Path) -> Path:
    """Return the path as it is used, without ``..``; a folder or a device is refused."""
    check_name(path)
    path = without_dots(path)
    check_name(path)
    try:
        if path.is_dir():
            raise Refused(f"{shown(path)} is a folder: name a file in it, such as {shown(path / 'crewjobs.sqlite3')}.")
        if path.exists() and not path.is_file():
            raise Refused(f"{shown(path)} is no plain file: choose another with --db.")
    except OSError as error:
        raise Refused(f"{shown(path)} cannot be opened: {error.strerror}.") from None
    return path


def _make_file(path: Path) -> None:
    """Make the file, and its folder where there is none, readable by its owner only."""
    make_folder(path.parent)
    try:
        os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
    except PermissionError:
        raise Refused(cannot_open(path)) from None
    except OSError as error:
        raise Refused(f"{shown(path)} cannot be made: {error.strerror}.") from None
