"""The change log and undo."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.wall import to_wall
from crewjobs.services.rows import ChangeRow, Done

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def change_rows(uow: UnitOfWork, zone: str, *, job: int | None = None, limit: int = 60) -> tuple[ChangeRow, ...]:
    """Return changes, newest first, of one job or of everything; times are the shop's wall times."""
    return tuple(
        ChangeRow(
            number=change.number,
            at=to_wall(zone, change.at),
            who=change.who,
            what=change.what,
            undone=change.undone_by is not None,
        )
        for change in uow.changes(limit, job=job)
    )


def undo(uow: UnitOfWork, now: datetime) -> Done:
    """Take back the newest change that still stands.

    Raises:
        Refused: nothing to take back, or something was done since that stands on it.
    """
    taken = uow.undo(at=now)
    return Done(sentence=f"Taken back: {taken.what}.", change=taken.change)
