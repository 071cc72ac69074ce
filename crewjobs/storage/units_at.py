"""The units of the shop in a database, read without opening it: figures are worked out where no shop need be."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

from crewjobs.storage.paths import default_path

if TYPE_CHECKING:
    from pathlib import Path

    from crewjobs.domain.units import UnitSystem


def units_at(path: Path | None) -> UnitSystem:
    """Return the units of the shop in a file (default: the person's own); feet and inches where none can be read."""
    file = path or default_path()
    if not file.is_file():
        return "us"
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            found = connection.execute("SELECT units FROM shop").fetchone()
    except sqlite3.Error:
        return "us"
    return "metric" if found and found[0] == "metric" else "us"
