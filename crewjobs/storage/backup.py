"""A copy of the whole database, also while somebody writes to it."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from itertools import count
from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.storage.faults import BUSY_SECONDS, refusal
from crewjobs.storage.paths import check_name, shown


def backup(source: Path, target: Path | None = None, *, suffix: str = "backup") -> Path:
    """Copy a database and return the copy's path; readable by its owner only, where the system can do that.

    Without a target the copy lies beside the file, as ``name.backup``, ``name.backup-2`` and so on; `suffix`
    is another word for that.

    Raises:
        Refused: the target is there already or cannot be written, or the source cannot be read.
    """
    target = target or _free_name(source, suffix)
    check_name(target)
    if target.exists() or target.is_symlink():
        raise Refused(f"{shown(target)} is there already: a backup overwrites nothing, name another file.")
    whole = False
    try:
        os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        copy_into(source, target)
        whole = True
    except OSError as error:
        raise Refused(f"the backup {shown(target)} cannot be written: {error.strerror}.") from None
    finally:
        for ending in () if whole else ("", "-journal"):  # on a full disk its journal cannot even be taken back
            with contextlib.suppress(OSError):
                target.with_name(target.name + ending).unlink()
    return target


def copy_into(source: Path, target: Path, *, named: Path | None = None) -> None:
    """Write the whole of a database over another one, at once; `named` is the file people know the target by.

    Raises:
        Refused: one of the two cannot be read or written.
    """
    path = source
    try:
        with (
            contextlib.closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)) as old,
            contextlib.closing(sqlite3.connect(target)) as new,
        ):
            old.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}")
            old.execute("SELECT count(*) FROM sqlite_master").fetchone()  # fails here if it is no database
            path = named or target
            new.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}")
            old.backup(new)
    except sqlite3.Error as error:
        told = refusal(error, path)
        assert told is not None
        raise told from None


def _free_name(source: Path, suffix: str) -> Path:
    names = (source.with_name(f"{source.name}.{suffix}{f'-{n}' if n > 1 else ''}") for n in count(1))
    return next(path for path in names if not path.exists())
