"""Names of files and folders, and what the system says to them."""

from __future__ import annotations

import os
from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted


def default_path() -> Path:
    """Return the file in the folder where the platform keeps a person's own data."""
    import platformdirs

    return platformdirs.user_data_path("crewjobs", appauthor=False) / "crewjobs.sqlite3"


def check_name(path: Path) -> None:
    """Refuse what cannot be a file's name here, cannot be reached, or would steer the terminal that shows it.

    Raises:
        Refused: it holds control characters, the system takes no such name, or a folder on the way is locked.
    """
    if not str(path).isprintable():
        raise Refused(f"{shown(path)} is no name for a file: it holds control characters.")
    try:
        path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return
    except PermissionError:
        raise Refused(cannot_reach(path)) from None
    except (OSError, ValueError) as error:
        said = f": {error.strerror}" if isinstance(error, OSError) and error.strerror else ""
        raise Refused(f"{shown(path)} cannot be a file's name here{said}.") from None


def without_dots(path: Path) -> Path:
    """Return a path without ``..``: folders are made for what is named, never for a detour through them."""
    return Path(os.path.realpath(path)) if ".." in path.parts else path


def make_folder(folder: Path) -> None:
    """Make a folder, readable by its owner only, and the folders above it, where they are not there.

    Raises:
        Refused: the system says no; with what it said, and of which folder.
    """
    try:
        if not folder.exists():
            folder.mkdir(parents=True, mode=0o700)
    except OSError as error:
        named = Path(error.filename or folder)
        raise Refused(
            f"the folder {shown(named)} cannot be made: {error.strerror}; choose another file with --db."
        ) from None


def cannot_reach(path: Path) -> str:
    """Return which folder on the way to a file may not be entered."""
    for folder in reversed(path.absolute().parents):
        if folder.exists() and not _may(folder, os.X_OK):
            return (
                f"{shown(path)} cannot be reached: the folder {shown(folder)} may not be entered "
                "(permission denied); name a file elsewhere."
            )
    return f"{shown(path)} cannot be reached: permission denied; name a file elsewhere."


def cannot_open(path: Path) -> str:
    """Return why a file cannot be opened, as far as the system tells."""
    folder = path.parent
    try:
        there = folder.is_dir()
    except PermissionError:
        return cannot_reach(path)
    if not there:
        return f"there is no folder {shown(folder)}: make it, or choose another file with --db."
    if not _may(folder, os.X_OK):
        return cannot_reach(path)
    if not _may(folder, os.W_OK):
        return (
            f"the folder {shown(folder)} may only be read (permission denied): make it writable, "
            "or choose another file with --db."
        )
    return f"{shown(path)} may not be opened: its permissions do not allow it, or it is no plain file."


def shown(path: Path) -> str:
    """Return a path in quotes, as a sentence can hold it."""
    return quoted(str(path), most=200)


def _may(folder: Path, wanted: int) -> bool:
    return os.access(folder, wanted, effective_ids=os.access in os.supports_effective_ids)
