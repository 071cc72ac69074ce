"""Names in a database, read without opening it: a shell that completes a line asks for them at every press of a key."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING, Final

from crewjobs.storage.paths import default_path

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

_QUERIES: Final[Mapping[str, str]] = {
    "jobs": "SELECT number, title FROM job WHERE state NOT IN ('closed', 'called off') ORDER BY number",
    "booked jobs": "SELECT number, title FROM job WHERE state = 'booked' ORDER BY number",
    "jobs to tell": "SELECT number, title FROM job WHERE state NOT IN ('done', 'closed', 'called off') "
    "OR number IN (SELECT job FROM small_visit WHERE done_at IS NULL) ORDER BY number",
    "all jobs": "SELECT number, title FROM job ORDER BY number",
    "crews": "SELECT name, '' FROM crew ORDER BY position",
    "people": "SELECT name, crew FROM worker ORDER BY crew, position",
    "people and lead": "SELECT name, crew FROM worker UNION SELECT json_extract(lead, '$.name'), 'lead' FROM shop "
    "WHERE json_extract(lead, '$.name') IS NOT NULL",
    "crews and visitors": "SELECT name, '' FROM crew UNION SELECT who, 'small visits' FROM small_visit WHERE done_at IS NULL",
    "rooms": "SELECT name, '' FROM room WHERE job = :job ORDER BY position",
    "materials": "SELECT name, kind FROM material WHERE job = :job ORDER BY position",
    "places": "SELECT name, '' FROM room WHERE job = :job UNION SELECT name, 'stairs' FROM stairs WHERE job = :job "
    "UNION SELECT 'house', ''",
    "materials and goods": "SELECT name, kind FROM material WHERE job = :job UNION ALL "
    "SELECT goods || CASE place WHEN '' THEN '' ELSE ' (' || place || ')' END, supplier FROM goods_line WHERE job = :job",
    "crews and people": "SELECT name, '' FROM crew UNION SELECT name, crew FROM worker",
    "waited for": "SELECT DISTINCT who, what FROM waiting_on WHERE job = :job AND came_at IS NULL",
    "asked for": "SELECT what, who FROM waiting_on WHERE job = :job AND came_at IS NULL",
    "tasks": "SELECT number, title FROM task WHERE job = :job AND done_at IS NULL AND not_needed = 0 ORDER BY number",
}
WAIT_S: Final = 0.2
"""A shell is not held up longer by another program that writes."""


def names_at(path: Path | None, what: str, job: int | None = None) -> dict[str, str]:
    """Return the names of a kind, each with a word on it: jobs, crews, people (and the lead, or with small visits); rooms, materials, goods, open tasks and others waited for, of a job.

    Nothing where there is no database (default: the person's own), or it cannot be read: a shell is told nothing then.
    """
    try:
        file = path or default_path()
        if not file.is_file():
            return {}
        uri = f"{file.absolute().as_uri()}?mode=ro"
        with closing(sqlite3.connect(uri, uri=True, timeout=WAIT_S)) as connection:
            return {str(name): str(said) for name, said in connection.execute(_QUERIES[what], {"job": job or 0})}
    except (sqlite3.Error, OSError, ValueError):
        return {}
