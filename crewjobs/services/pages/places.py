"""Where pages may go: a mistyped name of a folder is no wish for a new one."""

from __future__ import annotations

import re
from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.storage.paths import check_name, shown

_OTHER_KIND = re.compile(r"\.[A-Za-z][A-Za-z0-9]{1,4}")
"""How the end of a file's name looks; a folder may be called 2026.03."""


def check_folder(folder: Path | None) -> None:
    """Refuse a folder for pages that is named as a file of another kind is, or that is not there and has no folder above it.

    Raises:
        Refused: the one or the other.
    """
    if folder is None or folder.is_dir():
        return
    if _OTHER_KIND.fullmatch(folder.suffix):
        raise Refused(f"{shown(folder)} is no kind of page: --out ends in .pdf, .html or .txt, or is a folder.")
    check_there(folder.parent)


def check_there(folder: Path) -> None:
    """Refuse a folder that is not there: a mistyped name would be made into one.

    Raises:
        Refused: it is not there.
    """
    check_name(folder)
    if not folder.exists():
        raise Refused(f"there is no folder {shown(folder)}: make it first, or look at how it is written.")
