"""The change log and undo."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import TAKEN_BACK, act_words
from crewjobs.services.rows import ChangeRow, Done

if TYPE_CHECKING:
    from crewjobs.storage.undo import Taken
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


@dataclass(frozen=True, slots=True, kw_only=True)
class UndoNext:
    """What an undo takes back now, told before it does; `at` is the shop's wall time.

    `own` says that it was the same person's act; `plan` that it is a plan of all crews, or a proposal accepted.
    """

    number: int
    at: datetime
    who: str
    what: str
    own: bool
    plan: bool


def undo_next(uow: UnitOfWork, zone: str, who: str) -> UndoNext | None:
    """Return the newest change that still stands, None where there is none; `who` asks."""
    found = uow.last_act_told()
    if found is None:
        return None
    return UndoNext(
        number=found.number,
        at=to_wall(zone, found.at),
        who=found.who,
        what=found.what,
        own=found.who == who,
        plan=found.what.startswith("plan "),
    )


def undo(uow: UnitOfWork, now: datetime, number: int | None = None) -> Done:
    """Take back the newest change that still stands, or the one of a number; of an undo's number, what it took back is there again.

    Raises:
        Refused: nothing to take back, or something was done since that stands on it.
    """
    taken = uow.undo(number, at=now)
    what = act_words(taken.what)
    did = "There again" if taken.what.startswith(TAKEN_BACK) else "Taken back"
    return Done(sentence=f"{did}: {what}.", change=taken.change, then=tuple(_private_words(taken)))


def _private_words(taken: Taken) -> Iterator[str]:
    """Yield what no undo brings: the log never holds it."""
    if taken.private_stays:
        yield "Phone, mail and entry notes stay as they are now: the log does not keep the old ones."
    if taken.private_gone:
        yield "Without phone, mail and entry notes: the log does not keep them; enter them anew."
