"""Names to complete a typed line with; read without opening the database, so that a shell is answered at once."""

from __future__ import annotations

from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.storage.names_at import names_at as names_at

__all__ = ["columns_at", "fields_of_lists", "names_at"]


def fields_of_lists() -> dict[str, str]:
    """Return what a column of a list can be, each with what it says."""
    from crewjobs.files.list_columns import FIELDS

    return {field.name: field.says for field in FIELDS}


def columns_at(file: Path) -> tuple[str, ...]:
    """Return the columns of a list; none where it cannot be read: a shell is told nothing then."""
    from crewjobs.files.list_columns import known_words
    from crewjobs.files.list_file import read_list

    try:
        return read_list(file, known_words).columns
    except (Refused, OSError):
        return ()
