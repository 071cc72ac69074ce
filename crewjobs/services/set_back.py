"""A clock that stands before what is recorded already: what is written then is written for a moment that is long over."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.services.wording import dated

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

MOST_BACK: Final = timedelta(days=1)
"""So far a clock may stand behind the last record: two machines differ, and somebody travels. Common practice, no source."""
LOOKED_AT: Final = 60
"""So many of the newest changes are looked at: a wrong clock is seen at the first of them."""


def refuse_set_back(uow: UnitOfWork, now: datetime, *, demo: bool) -> None:
    """Refuse to write at a moment more than a day before the latest of the newest records that stand.

    What only was printed is no record, nor is what was taken back.

    Raises:
        Refused: the clock is set back, with what would be right.
    """
    last = _last_record(uow, now)
    if last - now <= MOST_BACK:
        return
    zone = uow.shop().zone
    right = "say a later moment with --now" if demo else "set the clock"
    raise Refused(
        f"it is {dated(zone, now)} by this clock, but the last record is of {dated(zone, last)}: {right}; nothing was changed. "
        "What was earlier is recorded with --at; a record made by a wrong clock is taken back with `crewjobs undo`."
    )


def plans_from(uow: UnitOfWork, now: datetime) -> datetime:
    """Return the instant a plan is made as of: now, or the last record that stands where this clock is a little behind it.

    What is recorded holds for every plan made after it, whichever of two machines makes it. By a clock more than a day
    behind nothing can be kept: what is looked at then is that other moment, as it was asked for.
    """
    last = _last_record(uow, now)
    return last if now < last <= now + MOST_BACK else now


def _last_record(uow: UnitOfWork, now: datetime) -> datetime:
    """Return when the latest of the newest records that stand was made; now where none was."""
    stand = (one.at for one in uow.changes(LOOKED_AT) if one.undoable and one.undone_by is None and one.undoes is None)
    return max(stand, default=now)
