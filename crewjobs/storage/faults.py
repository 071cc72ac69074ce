"""The one place where the database's errors become sentences. Whatever is said here, nothing was changed."""

from __future__ import annotations

import os
import re
import sqlite3
from pathlib import Path
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.storage.records import metadata

BUSY_SECONDS: Final = 3
"""How long a command waits for another one that is writing."""

_SENTENCES: Final = {
    sqlite3.SQLITE_BUSY: "{path} is in use by another program: waited {seconds} s for it; try again in a moment.",
    sqlite3.SQLITE_LOCKED: "{path} is in use by another program: waited {seconds} s for it; try again in a moment.",
    sqlite3.SQLITE_FULL: "{path} has no room left: free space on its disk, then try again.",
    sqlite3.SQLITE_READONLY: "{path} may only be read: make the file and its folder writable, or choose another with --db.",
    sqlite3.SQLITE_PERM: "{path} may not be opened: its permissions do not allow it.",
    sqlite3.SQLITE_NOTADB: "{path} is not a database: choose the right file with --db.",
    sqlite3.SQLITE_CORRUPT: "{path} is damaged: keep a copy of it and go back to a backup.",
    sqlite3.SQLITE_IOERR: "{path} could not be read or written: the disk reports an error.",
    sqlite3.SQLITE_TOOBIG: "a text is too long to be kept in {path}.",
}
_CONSTRAINT: Final = re.compile(r"CHECK constraint failed: (\w+)")


class BrokenRule(Refused):
    """A rule between rows does not hold: a check, a unique name, or something another row stands on."""


def refusal(error: BaseException, path: Path) -> Refused | None:
    """Return what a person is told for an error of the database or of a value it cannot hold, else None."""
    shown = quoted(str(path), most=200)
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
            return Refused(f"{shown} is not there any more: put it back, or choose another with --db.")
        return Refused(cannot_open(path))
    if code in _SENTENCES:
        return Refused(_SENTENCES[code].format(path=shown, seconds=BUSY_SECONDS))
    return Refused(f"{shown} does not answer as a database of crewjobs should ({error}).")


def check_name(path: Path) -> None:
    """Refuse what cannot be a file's name here, or would steer the terminal that shows it.

    Raises:
        Refused: it holds control characters, or the system takes no such name.
    """
    shown = quoted(str(path), most=200)
    if not str(path).isprintable():
        raise Refused(f"{shown} is no name for a file: it holds control characters.")
    try:
        path.exists()
    except (OSError, ValueError):
        raise Refused(f"{shown} cannot be a file's name here.") from None


def cannot_open(path: Path) -> str:
    """Return why a file cannot be opened, as far as the system tells."""
    shown, folder = quoted(str(path), most=200), path.parent
    if not folder.is_dir():
        return f"there is no folder {quoted(str(folder), most=200)}: make it, or choose another file with --db."
    if not os.access(folder, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
        return f"{shown}: its folder may only be read: make it writable, or choose another file with --db."
    return f"{shown} may not be opened: its permissions do not allow it, or it is no plain file."


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
