"""Names to complete a typed line with; read without opening the database, so that a shell is answered at once."""

from __future__ import annotations

from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.storage.names_at import names_at as names_at

__all__ = [
    "columns_at",
    "fields_of_lists",
    "figures_to_ask",
    "keys_of_figure",
    "kinds_found",
    "kinds_read",
    "names_at",
    "ways_on",
]


def fields_of_lists() -> dict[str, str]:
    """Return what a column of a list can be, each with what it says."""
    from crewjobs.files.list_columns import FIELDS

    return {field.name: field.says for field in FIELDS}


def kinds_found() -> tuple[str, ...]:
    """Return the kinds of findings that come with the program."""
    from crewjobs.files.catalogue import finding_kinds

    return tuple(kind.key for kind in finding_kinds())


def ways_on(kind: str) -> dict[str, str]:
    """Return the ways on from a kind of finding, each with what it says; of all kinds where none is named."""
    from crewjobs.files.catalogue import finding_kinds

    kinds = finding_kinds()
    named = [one for one in kinds if one.key == kind or kind in one.words]
    return {way.key: way.says for one in named or kinds for way in one.ways}


def kinds_read() -> tuple[str, ...]:
    """Return what can be read, as it is typed."""
    from crewjobs.services.readings.readings import KINDS

    return tuple(kind.replace(" ", "-") for kind in KINDS)


def figures_to_ask() -> dict[str, str]:
    """Return the figures, each with what it answers."""
    from crewjobs.services.figuring.figures import FIGURES

    return {one.name: one.says for one in FIGURES}


def keys_of_figure(name: str) -> dict[str, str]:
    """Return the keys of a figure as ``temp=``, each with what it holds; none of an unknown one."""
    from crewjobs.services.figuring.figures import BY_NAME

    return {f"{key.name}=": key.says for key in BY_NAME[name].keys} if name in BY_NAME else {}


def columns_at(file: Path) -> tuple[str, ...]:
    """Return the columns of a list; none where it cannot be read: a shell is told nothing then."""
    from crewjobs.files.list_columns import known_words
    from crewjobs.files.list_file import read_list

    try:
        return read_list(file, known_words).columns
    except (Refused, OSError):
        return ()
