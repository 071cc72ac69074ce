"""Which sheets were printed. They left the house: no undo takes that back, so they are in no row of the change log."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, select

from crewjobs.domain.printed import PrintedSheet, SheetKind
from crewjobs.storage import shop_records
from crewjobs.storage.ledger import Ledger, stored
from crewjobs.storage.mapping import PRINTED_SHEET


def read_printed(connection: Connection) -> tuple[PrintedSheet, ...]:
    """Return every revision of every sheet that was printed."""
    rows = stored(connection, shop_records.printed_sheet, order=("kind", "about", "revision"))
    return tuple(map(PRINTED_SHEET.value, rows))


def last_printed(connection: Connection, kind: SheetKind, about: str) -> tuple[int, str]:
    """Return the newest revision of a sheet and the digest of what it says; 0 and nothing where none was printed."""
    table = shop_records.printed_sheet
    found = connection.execute(
        select(table.c.revision, table.c.digest)
        .where(table.c.kind == kind.value, table.c.about == about)
        .order_by(table.c.revision.desc())
        .limit(1)
    ).first()
    return (found.revision, found.digest) if found is not None else (0, "")


def save_printed(ledger: Ledger, sheets: Sequence[PrintedSheet]) -> None:
    """Keep new revisions."""
    ledger.sync(shop_records.printed_sheet, [], [PRINTED_SHEET.row(one) for one in sheets])
