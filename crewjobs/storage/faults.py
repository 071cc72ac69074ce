"""The one place where the database's errors become sentences. Whatever is said here, nothing was changed."""

from __future__ import annotations

import os
import re
import sqlite3
from pathlib import Path
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.storage.paths import cannot_open, shown
from crewjobs.storage.records import metadata

BUSY_SECONDS: Final = 3
"""How long a command waits for another one that is writing."""

_SENTENCES: Final = {
    sqlite3.SQLITE_BUSY: "{path} is in use by another program: waited {seconds} s or more for it; try again in a moment.",
    sqlite3.SQLITE_LOCKED: "{path} is in use by another program: waited {seconds} s or more for it; try again in a moment.",
    sqlite3.SQLITE_FULL: "{path} has no room left: free space on its disk, then try again.",
    sqlite3.SQLITE_READONLY: "{path} may only be read: make the file and its folder writable, or choose another with --db.",
    sqlite3.SQLITE_PERM: "{path} may not be opened: its permissions do not allow it.",
    sqlite3.SQLITE_NOTADB: "{path} is not a database: choose the right file with --db.",
    sqlite3.SQLITE_CORRUPT: "{path} is damaged: keep a copy of it and go back to a backup.",
    sqlite3.SQLITE_IOERR: "{path} could not be read or written: the disk reports an error. "
    "See that it is there, has room and lets files grow so far (ulimit -f), then try again.",
    sqlite3.SQLITE_TOOBIG: "a text is too long to be kept in {path}.",
}
_CONSTRAINT: Final = re.compile(r"CHECK constraint failed: (\w+)")


class BrokenRule(Refused):
    """A rule between rows does not hold: a check, a unique name, or something another row stands on."""


def refusal(error: BaseException, path: Path) -> Refused | None:
    """Return what a person is told for an error of the database or of a value it cannot hold, else None."""
    if isinstance(error, UnicodeEncodeError):
        return Refused("that text holds a character that is none (half of a pair): type it again.")
    if isinstance(error, OverflowError):
        return Refused("a number is too large to be kept.")
    if not isinstance(error, sqlite3.Error):
        return None
    if isinstance(error, sqlite3.IntegrityError):
        return BrokenRule(_broken_rule(str(error)))
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
    if code == sqlite3.SQLITE_CANTOPEN:
        if os.access(path.parent, os.X_OK) and not os.path.lexists(path):
            return Refused(f"{shown(path)} is not there any more: put it back, or choose another with --db.")
        return Refused(cannot_open(path))
    if code in _SENTENCES:
        return Refused(_SENTENCES[code].format(path=shown(path), seconds=BUSY_SECONDS))
    return Refused(f"{shown(path)} does not answer as a database of crewjobs should ({error}).")


def _broken_rule(message: str) -> str:
    found = _CONSTRAINT.search(message)
    if found:
        for table in metadata.tables.values():
            for constraint in table.constraints:
                if constraint.name == found[1]:
                    return str(constraint.info["sentence"])
    if "FOREIGN KEY" in message:
        return "something else still stands on what was to be taken away, or what it stands on is gone: look again and repeat."
    return f"the database refused it: {message}."
