"""Writing a file that is not there yet, whole or not at all."""

from __future__ import annotations

from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted


def write_new(path: Path, text: str, writer: str) -> None:
    """Write a text as UTF-8 with its own line ends; `writer` is what overwrites nothing, in words.

    Raises:
        Refused: the file is there already, its name cannot be used, or it cannot be written.
    """
    name = quoted(str(path), most=200)
    if not str(path).isprintable():
        raise Refused(f"{name} is no name for a file: it holds control characters.")
    try:
        file = path.open("x", encoding="utf-8", newline="")
    except FileExistsError:
        raise Refused(f"{name} is there already: {writer} overwrites nothing, name another file.") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "its name cannot be used"
        raise Refused(f"{name} cannot be written: {reason}.") from None
    try:
        with file as opened:
            opened.write(text)
    except OSError as error:
        path.unlink(missing_ok=True)
        raise Refused(f"{name} cannot be written: {error.strerror}.") from None
