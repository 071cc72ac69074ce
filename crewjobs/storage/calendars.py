"""What calendar files said last. It left the house: no undo takes it back, so it is in no row of the change log."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Connection, func, select

from crewjobs.domain.calendar import WrittenEvent
from crewjobs.storage import records, shop_records
from crewjobs.storage.ledger import Ledger, stored
from crewjobs.storage.mapping import WRITTEN_EVENT
from crewjobs.storage.records import row_key


def read_written(connection: Connection) -> tuple[WrittenEvent, ...]:
    """Return what was written last of every event, by calendar and UID."""
    rows = stored(connection, shop_records.calendar_event, order=("calendar", "uid"))
    return tuple(map(WRITTEN_EVENT.value, rows))


def save_written(ledger: Ledger, events: Sequence[WrittenEvent]) -> None:
    """Keep what was written of some events, in the place of what was written of them before."""
    table = shop_records.calendar_event
    wanted = [WRITTEN_EVENT.row(event) for event in events]
    keys = {row_key(table, row) for row in wanted}
    ledger.sync(table, [row for row in stored(ledger.connection, table) if row_key(table, row) in keys], wanted)


def first_change_at(connection: Connection) -> datetime | None:
    """Return when the first change of the log was made, None before it: no two shops begin at the same microsecond."""
    return connection.execute(select(func.min(records.change.c.at))).scalar()
