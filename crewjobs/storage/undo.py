"""Taking a change back: its old values are written again, as a new change, while nothing has touched them since."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Column, Connection, Table, select

from crewjobs.domain.errors import Refused
from crewjobs.storage import records
from crewjobs.storage.changes import (
    Change,
    caused_with,
    last_act,
    later_rows,
    latest_touching,
    one_change,
    rows_of,
)
from crewjobs.storage.ledger import CHANGED, Ledger, Row, from_log, key_text, logged, private_columns, table_of
from crewjobs.storage.records import BOOKKEEPING

AT_ONCE: Final = 500
"""So many rows are looked for in one query."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What an undo did: `change` is the new change, `undone` the one taken back, `what` its sentence.

    The log does not keep phones, mail and entry notes: `private_stays` where newer ones stay as they are, `private_gone`
    where what is there again is without those it had.
    """

    change: int
    undone: int
    what: str
    job: int | None
    private_stays: bool = False
    private_gone: bool = False


@dataclass(slots=True)
class _Touched:
    """A row over all changes that are taken back together, as the log wrote it."""

    table: Table
    key: str
    before: Row | None
    after: Row | None
    private: bool

    @property
    def added(self) -> bool:
        """Return whether the row was not there before and is to go; plans stay, see `_restore`."""
        return self.before is None and self.table is not records.plan

    @property
    def columns(self) -> list[str]:
        """Return the columns to write back of a row that was changed."""
        assert self.before is not None
        assert self.after is not None
        kept = {*BOOKKEEPING, *private_columns(self.table)}
        names = [name for name in self.before if name in self.table.columns and name not in kept]
        return [name for name in names if self.before[name] != self.after.get(name)]


def target(connection: Connection, number: int | None) -> Change:
    """Return the change to take back: the one asked for, or the newest that people did and that stands.

    Raises:
        Refused: there is none, it is taken back already, came with another one, or cannot be taken back.
    """
    if number is None:
        found = last_act(connection)
        if found is None:
            raise Refused("there is nothing to take back.")
    else:
        found = one_change(connection, number)
        if found is None:
            raise Refused(f"there is no change {number}: `crewjobs log` lists them.")
    if found.undone_by is not None:
        raise Refused(f"change {found.number} ({found.what}) was taken back already, by change {found.undone_by}.")
    if found.caused_by is not None:
        raise Refused(f"change {found.number} came with change {found.caused_by}, and goes only with it.")
    if not found.undoable:
        raise Refused(f"change {found.number} ({found.what}) cannot be taken back.")
    return found


def write_back(ledger: Ledger, found: Change) -> tuple[bool, bool]:
    """Write the old values of a change, and of what came with it, without committing.

    Returns:
        Whether private values stay that the change entered, and whether what is there again is without those it had.

    Raises:
        Refused: a row was changed since, or something newer stands on one.
    """
    connection = ledger.connection
    members = [found.number, *(c.number for c in caused_with(connection, found.number) if c.undone_by is None)]
    touched = _touched(connection, members)
    added = [row for row in touched if row.added]
    current = {(row.table.name, row.key): ledger.find(row.table, row.key) for row in touched}
    for row in touched:
        _check_unchanged(connection, found, members, row, current[row.table.name, row.key])
    _check_nothing_stands_on(connection, found, added, current)
    for row in added:
        now = current[row.table.name, row.key]
        assert now is not None
        ledger.delete(row.table, [now])
    for row in touched:
        if not row.added:
            _restore(ledger, row, current[row.table.name, row.key])
    _raise_versions(ledger, touched)
    return any(map(_private_stays, touched)), any(map(_private_gone, touched))


def _touched(connection: Connection, members: Sequence[int]) -> list[_Touched]:
    rows: dict[tuple[str, str], _Touched] = {}
    for name, key, before, after in rows_of(connection, members):
        table = table_of(name)
        if table is None:
            raise Refused("that change is from an older version of the program and cannot be taken back.")
        private = after is not None and any(after.get(column) == CHANGED for column in private_columns(table))
        row = rows.setdefault((name, key), _Touched(table=table, key=key, before=before, after=after, private=False))
        row.after, row.private = after, row.private or private
    return [row for row in rows.values() if row.before is not None or row.after is not None]


def _check_unchanged(
    connection: Connection, found: Change, members: Sequence[int], row: _Touched, current: Row | None
) -> None:
    skipped = {*BOOKKEEPING, *private_columns(row.table)}
    now = logged(row.table, current)
    if row.after is None or now is None:
        same = row.after is None and now is None
    else:
        same = all(now[name] == value for name, value in row.after.items() if name in now and name not in skipped)
    private = private_columns(row.table)
    if same and private:
        later = later_rows(connection, row.table.name, row.key, max(members))
        same = not any(after and any(after.get(name) == CHANGED for name in private) for after in later)
    if not same:
        raise Refused(_newer(connection, found, row.table.name, row.key, members))


def _private_stays(row: _Touched) -> bool:
    return row.before is not None and row.after is not None and row.private


def _private_gone(row: _Touched) -> bool:
    before = row.before
    return row.after is None and before is not None and any(before.get(name) for name in private_columns(row.table))


def _check_nothing_stands_on(
    connection: Connection, found: Change, added: Sequence[_Touched], current: Mapping[tuple[str, str], Row | None]
) -> None:
    """Find rows that newer changes put on those that would be taken away; of several the one on the first of them is named.

    Looked for table by table, since one import may have made thousands.
    """
    gone, standing = {(row.table.name, row.key) for row in added}, list[tuple[int, int, str, str]]()
    for table in dict.fromkeys(row.table for row in added):
        rows = [(place, current[row.table.name, row.key]) for place, row in enumerate(added) if row.table is table]
        for order, child in enumerate(records.metadata.tables.values()):
            if child.name in records.LOG:
                continue
            for link in child.foreign_key_constraints:
                if link.referred_table is table:
                    pairs = [(element.parent, element.column.name) for element in link.elements]
                    places: dict[tuple[Any, ...], int] = {}
                    for place, now in rows:
                        assert now is not None
                        places.setdefault(tuple(now[name] for _, name in pairs), place)
                    for at, other in _on_any(connection, child, [column for column, _ in pairs], places):
                        key = key_text(child, other)
                        if (child.name, key) not in gone:
                            standing.append((at, order, child.name, key))
    if standing:
        _, _, name, key = min(standing, key=lambda one: one[:2])
        raise Refused(_newer(connection, found, name, key, [found.number]))


def _on_any(
    connection: Connection, child: Table, columns: Sequence[Column[Any]], places: Mapping[tuple[Any, ...], int]
) -> Iterator[tuple[int, Row]]:
    """Yield the rows of a table whose columns have one of some values, each with that one's place."""
    firsts = list(dict.fromkeys(values[0] for values in places))
    for start in range(0, len(firsts), AT_ONCE):
        some = select(child).where(columns[0].in_(firsts[start : start + AT_ONCE]))
        for other in connection.execute(some).mappings():
            place = places.get(tuple(other[column] for column in columns))
            if place is not None:
                yield place, dict(other)


def _newer(connection: Connection, found: Change, table: str, key: str, members: Sequence[int]) -> str:
    newer = latest_touching(connection, table, key, since=found.number, but=members)
    since = f"change {newer.number} ({newer.what}) came after it" if newer else "it was changed since"
    return f"change {found.number} ({found.what}) cannot be taken back: {since}."


def _restore(ledger: Ledger, row: _Touched, current: Row | None) -> None:
    if row.before is None:  # a plan: versions are kept, and no longer count
        assert current is not None
        ledger.update(row.table, current, current | {"withdrawn": True})
    elif current is None:
        values = from_log(row.table, row.before)
        values |= dict.fromkeys(private_columns(row.table), "")
        if "version" in values:
            values["version"] += 1
        ledger.insert(row.table, [values])
    else:
        old = from_log(row.table, {name: row.before[name] for name in row.columns})
        ledger.update(row.table, current, current | old)


def _raise_versions(ledger: Ledger, touched: Sequence[_Touched]) -> None:
    """A screen that saw a job before the undo must look again, also when only a part of it was written back."""
    jobs: set[Any] = set()
    for row in touched:
        column = "number" if row.table is records.job else "job" if "job" in row.table.columns else None
        values = row.after or row.before
        if column and values:
            jobs.add(values[column])
    for number in sorted(jobs):
        current = ledger.find(records.job, key_text(records.job, {"number": number}))
        if current is not None:
            ledger.update(records.job, current, current | {"version": current["version"] + 1})
