"""Every write to the tables goes through here, so that the change log misses none."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import JSON, ColumnElement, Connection, Date, Table, select

from crewjobs.storage import records
from crewjobs.storage.columns import Instant, instant_text
from crewjobs.storage.records import BOOKKEEPING, PRIVATE, UNLOGGED, row_key

Row = dict[str, Any]

CHANGED = "changed"
KEPT_BACK = "private"


@dataclass(slots=True)
class Entry:
    """One row as it was before the change and as it is after; None where there was none."""

    table: Table
    key: str
    before: Row | None
    after: Row | None


class Ledger:
    """Writes rows in one transaction and remembers what each was before."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self._entries: dict[tuple[str, str], Entry] = {}

    def sync(self, table: Table, current: Iterable[Row], wanted: Iterable[Row]) -> bool:
        """Make `wanted` of the `current` rows of a table, touching only what differs; return whether any did."""
        old = {row_key(table, row): row for row in current}
        new = {row_key(table, row): row for row in wanted}
        gone = [row for key, row in old.items() if key not in new]
        added = [row for key, row in new.items() if key not in old]
        changed = [(old[key], row) for key, row in new.items() if key in old and old[key] != row]
        self.delete(table, gone)
        for before, after in changed:
            self.update(table, before, after)
        self.insert(table, added)
        return bool(gone or added or changed)

    def insert(self, table: Table, rows: Sequence[Row]) -> None:
        """Add rows that were not there."""
        if rows:
            self.connection.execute(table.insert(), list(rows))
        for row in rows:
            self._note(table, None, row)

    def update(self, table: Table, before: Row, after: Row) -> None:
        """Write the columns in which a row differs; its key stays."""
        values = {name: value for name, value in after.items() if before[name] != value}
        if values:
            self.connection.execute(table.update().where(*_is(table, before)).values(values))
            self._note(table, before, after)

    def delete(self, table: Table, rows: Sequence[Row]) -> None:
        """Take rows away."""
        for row in rows:
            self.connection.execute(table.delete().where(*_is(table, row)))
            self._note(table, row, None)

    def find(self, table: Table, key: str) -> Row | None:
        """Return the row of a key as the log writes it, None if there is none."""
        columns = table.primary_key.columns
        wanted = [column == _typed(column.type, part) for column, part in zip(columns, json.loads(key), strict=True)]
        return next(iter(stored(self.connection, table, *wanted)), None)

    def take_entries(self) -> list[Entry]:
        """Return what differs from the start of the transaction and begin anew; bookkeeping alone is no change."""
        entries = [entry for entry in self._entries.values() if _differs(entry)]
        self._entries = {}
        return entries

    def _note(self, table: Table, before: Row | None, after: Row | None) -> None:
        if table.name in UNLOGGED:
            return
        row = after if before is None else before
        assert row is not None
        key = key_text(table, row)
        entry = self._entries.setdefault((table.name, key), Entry(table=table, key=key, before=before, after=after))
        entry.after = after


def stored(connection: Connection, table: Table, *which: ColumnElement[bool], order: Sequence[str] = ()) -> list[Row]:
    """Return rows of a table as they are stored."""
    query = select(table).where(*which).order_by(*(table.columns[name] for name in order))
    names = [column.name for column in table.columns]
    return [dict(zip(names, row, strict=True)) for row in connection.execute(query).all()]


def _is(table: Table, row: Mapping[str, Any]) -> Iterator[Any]:
    return (column == row[column.name] for column in table.primary_key.columns)


def _differs(entry: Entry) -> bool:
    if entry.before is None or entry.after is None:
        return entry.before is not entry.after
    return any(entry.before[name] != value for name, value in entry.after.items() if name not in BOOKKEEPING)


def key_text(table: Table, row: Row) -> str:
    """Return the primary key of a row as the log writes it."""
    return json.dumps([_json(part) for part in row_key(table, row)], separators=(",", ":"))


def logged(table: Table, row: Row | None, other: Row | None = None, *, after: bool = False) -> Row | None:
    """Return a row as the log writes it: JSON's own kinds, and of private columns only whether they changed.

    `other` is the row on the other side of the change, `after` whether `row` is the later of the two.
    """
    if row is None:
        return None
    shown = {name: _json(value) for name, value in row.items()}
    for name in shown:
        if (table.name, name) in PRIVATE:
            was = "" if other is None else other[name]
            touched = after and row[name] != was
            shown[name] = CHANGED if touched else KEPT_BACK if row[name] else ""
    return shown


def from_log(table: Table, row: Row) -> Row:
    """Return what the columns take of a logged row; columns the table no longer has are left out."""
    columns = table.columns
    return {name: _typed(columns[name].type, value) for name, value in row.items() if name in columns}


def private_columns(table: Table) -> tuple[str, ...]:
    """Return the columns of a table whose values never reach the log."""
    return tuple(column.name for column in table.columns if (table.name, column.name) in PRIVATE)


def _json(value: Any) -> Any:
    if isinstance(value, datetime):
        return instant_text(value)
    return value.isoformat() if isinstance(value, date) else value


def _typed(kind: Any, value: Any) -> Any:
    if value is None or isinstance(kind, JSON):
        return value
    if isinstance(kind, Instant):
        return datetime.fromisoformat(value)
    return date.fromisoformat(value) if isinstance(kind, Date) else value


def table_of(name: str) -> Table | None:
    """Return a table by the name the log gives it, None if a later revision dropped it."""
    return records.metadata.tables.get(name)
