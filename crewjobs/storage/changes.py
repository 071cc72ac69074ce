"""The change log: what was changed, when, by whom, and what it was before. Written once, only ever added to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Connection, Select, func, select

from crewjobs.storage.ledger import Entry, logged
from crewjobs.storage.records import change, change_row, metadata
from crewjobs.storage.records import job as job_table

PARTS: Final = tuple(
    table.name for table in metadata.tables.values() if next(iter(table.primary_key.columns)).name == "job"
)
"""Tables whose keys begin with the job's number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One entry of the change log. `at` is an instant in UTC.

    `undone_by` is the change that took it back, None while it stands; `caused_by` the change it came with
    (a plan after a tick); `undoes` the change this one took back.
    """

    number: int
    at: datetime
    who: str
    what: str
    job: int | None
    undone_by: int | None
    caused_by: int | None
    undoes: int | None
    undoable: bool


class Takebacks:
    """Which changes stand. Nothing is ever marked in the log: it is seen from the changes that undo others."""

    def __init__(self, connection: Connection) -> None:
        self._by: dict[int, int] = {}
        rows = select(change.c.number, change.c.undoes).where(change.c.undoes.is_not(None))
        for number, undoes in connection.execute(rows.order_by(change.c.number.desc())):
            if number not in self._by:  # what takes it back came later, so it was seen already
                self._by.setdefault(undoes, number)

    def undone_by(self, number: int, caused_by: int | None = None) -> int | None:
        """Return the change that took this one back and still stands; what came with a change goes with it."""
        own = self._by.get(number)
        with_cause = self._by.get(caused_by) if caused_by is not None else None
        return with_cause if own is None and with_cause is not None and with_cause > number else own


def last_number(connection: Connection) -> int:
    """Return the number of the newest change, 0 if there is none."""
    return connection.execute(select(func.max(change.c.number))).scalar() or 0


def list_changes(connection: Connection, limit: int, job: int | None) -> tuple[Change, ...]:
    """Return the newest changes first, of one job (alone or among others) or of everything."""
    query = select(change).order_by(change.c.number.desc()).limit(limit)
    if job is not None:
        query = query.where((change.c.job == job) | (change.c.job.is_(None) & _among_others(job)))
    return tuple(_changes(connection, query))


def _among_others(job: int) -> ColumnElement[bool]:
    """Return whether a change touched a job that was there already (its loading is told with all it loaded)."""
    row = change_row.c
    here = select(row.change).where(row.change == change.c.number)
    own = (row.table_name == job_table.name) & (row.key == f"[{job}]")
    made = here.where(own, row.before.is_(None)).exists()
    return here.where(own | (row.table_name.in_(PARTS) & row.key.startswith(f"[{job},"))).exists() & ~made


def list_since(connection: Connection, since: datetime) -> tuple[Change, ...]:
    """Return the changes written from an instant on, newest first."""
    return tuple(_changes(connection, select(change).where(change.c.at >= since).order_by(change.c.number.desc())))


def one_change(connection: Connection, number: int) -> Change | None:
    """Return a change by its number, None if there is none."""
    return next(_changes(connection, select(change).where(change.c.number == number)), None)


def acts(connection: Connection) -> Iterator[Change]:
    """Yield what people did, newest first: no undo, nothing that came with another change, nothing without effect."""
    with_rows = select(change_row.c.change).where(change_row.c.change == change.c.number).exists()
    caused = change.alias()
    with_others = select(caused.c.number).where(caused.c.caused_by == change.c.number).exists()
    query = select(change).where(change.c.undoes.is_(None), change.c.caused_by.is_(None), with_rows | with_others)
    yield from _changes(connection, query.order_by(change.c.number.desc()))


def last_act(connection: Connection) -> Change | None:
    """Return the newest of what people did that stands, None if there is nothing."""
    return next((change for change in acts(connection) if change.undone_by is None), None)


def caused_with(connection: Connection, number: int) -> list[Change]:
    """Return the changes that came with a change, oldest first."""
    return list(_changes(connection, select(change).where(change.c.caused_by == number).order_by(change.c.number)))


def rows_of(connection: Connection, numbers: Sequence[int]) -> Sequence[tuple[str, str, Any, Any]]:
    """Return table, key, before and after of the rows of some changes, in the order they were written."""
    columns = (change_row.c.table_name, change_row.c.key, change_row.c.before, change_row.c.after)
    query = select(*columns).where(change_row.c.change.in_(numbers))
    rows = connection.execute(query.order_by(change_row.c.change, change_row.c.number))
    return [(name, key, before, after) for name, key, before, after in rows]


def rows_since(connection: Connection, tables: Sequence[str], since: datetime) -> Sequence[tuple[int, str, Any, Any]]:
    """Return change, table, before and after of the rows of some tables, of the changes written from an instant on."""
    columns = (change_row.c.change, change_row.c.table_name, change_row.c.before, change_row.c.after)
    query = select(*columns).join(change, change.c.number == change_row.c.change)
    query = query.where(change.c.at >= since, change_row.c.table_name.in_(tables))
    return [(number, name, before, after) for number, name, before, after in connection.execute(query)]


def latest_touching(connection: Connection, table: str, key: str, *, since: int, but: Sequence[int]) -> Change | None:
    """Return the newest change of one row after a change."""
    query = (
        select(change)
        .join(change_row, change_row.c.change == change.c.number)
        .where(change_row.c.table_name == table, change_row.c.key == key)
        .where(change.c.number > since, change.c.number.not_in(but))
        .order_by(change.c.number.desc())
        .limit(1)
    )
    return next(_changes(connection, query), None)


def later_rows(connection: Connection, table: str, key: str, since: int) -> Sequence[dict[str, Any] | None]:
    """Return what a row was made by each change after one that stands, as the log wrote it."""
    query = (
        select(change.c.number, change.c.caused_by, change_row.c.after)
        .join(change_row, change_row.c.change == change.c.number)
        .where(change_row.c.table_name == table, change_row.c.key == key, change.c.number > since)
    )
    rows = connection.execute(query).all()
    if not rows:
        return ()
    back = Takebacks(connection)
    return [after for number, caused_by, after in rows if back.undone_by(number, caused_by) is None]


def write_change(
    connection: Connection,
    entries: Sequence[Entry],
    *,
    at: datetime,
    who: str,
    what: str,
    job: int | None,
    caused_by: int | None,
    undoes: int | None,
    undoable: bool,
) -> int:
    """Add a change with its rows to the log and return its number.

    A change that came with one that came with another is kept as caused by the first: they are undone together.
    """
    number = last_number(connection) + 1
    if caused_by is not None:
        cause = connection.execute(select(change.c.caused_by).where(change.c.number == caused_by)).scalar()
        caused_by = cause or caused_by
    values = {"number": number, "at": at, "who": who, "what": what, "job": job}
    values |= {"caused_by": caused_by, "undoes": undoes, "undoable": undoable}
    connection.execute(change.insert(), values)
    rows = [
        {
            "change": number,
            "number": place,
            "table_name": entry.table.name,
            "key": entry.key,
            "before": logged(entry.table, entry.before),
            "after": logged(entry.table, entry.after, entry.before, after=True),
        }
        for place, entry in enumerate(entries, start=1)
    ]
    if rows:
        connection.execute(change_row.insert(), rows)
    return number


def _changes(connection: Connection, query: Select[Any]) -> Iterator[Change]:
    takebacks: Takebacks | None = None
    for row in connection.execute(query):
        takebacks = takebacks or Takebacks(connection)
        yield Change(
            number=row.number,
            at=row.at,
            who=row.who,
            what=row.what,
            job=row.job,
            undone_by=takebacks.undone_by(row.number, row.caused_by),
            caused_by=row.caused_by,
            undoes=row.undoes,
            undoable=row.undoable,
        )
