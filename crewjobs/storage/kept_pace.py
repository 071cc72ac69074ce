"""The learned pace kept beside the records: a cache, written in a transaction of its own and in no change of the log."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, TextClause, select, text

from crewjobs.storage import records, shop_records
from crewjobs.storage.changes import PARTS

Parts = Mapping[str, bytes]
"""What is kept, by the name of the part."""

OF_JOBS: Final = (records.job.name, *PARTS)
"""Tables whose keys begin with the number of a job."""


def read_kept(connection: Connection, names: Collection[str] = ()) -> dict[str, bytes]:
    """Return what is kept, all of it or the parts of some names; nothing where nothing is."""
    table = shop_records.kept_pace
    query = select(table.c.part, table.c.kept)
    if names:
        query = query.where(table.c.part.in_(sorted(names)))
    return {row.part: row.kept for row in connection.execute(query)}


def jobs_touched(connection: Connection, since: int) -> frozenset[int]:
    """Return the jobs of which anything was changed after a change of the log."""
    return frozenset(connection.execute(_touched(), {"since": since}).scalars())


def _touched() -> TextClause:
    names = ", ".join(f"'{name}'" for name in OF_JOBS)
    return text(
        "SELECT DISTINCT CAST(json_extract(key, '$[0]') AS INTEGER) FROM change_row "
        f"WHERE change > :since AND table_name IN ({names})"
    )


def write_kept(path: Path, parts: Parts) -> bool:
    """Keep parts in the place of those of their names; return whether it could be done now.

    A database that is in use, may only be read or has no room is left as it is: nothing is lost that cannot be learned anew.
    """
    table = shop_records.kept_pace.name
    try:
        with contextlib.closing(
            sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=0, isolation_level=None)
        ) as file:
            file.execute("PRAGMA synchronous = FULL")
            file.execute("BEGIN IMMEDIATE")
            file.executemany(f"INSERT OR REPLACE INTO {table} (part, kept) VALUES (?, ?)", list(parts.items()))
            file.execute("COMMIT")
    except sqlite3.Error:
        return False
    return True
