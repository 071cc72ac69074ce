"""What people recorded since a plan was made or looked for: not what plans did, nor what was taken back again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crewjobs.domain.wording import act_words

if TYPE_CHECKING:
    from crewjobs.storage.changes import Change
    from crewjobs.storage.unit_of_work import UnitOfWork

NO_FACTS = ("plan ", "calendar ", "printed: ")
"""How the log's sentences begin of what plans, written calendars and printed sheets are: they make no fact other than it was."""
LOOKS_BACK = 200
"""So many changes are looked at."""


def recorded_since(uow: UnitOfWork, number: int) -> tuple[Change, ...]:
    """Return the changes after a change that make facts other than they were then, newest first."""
    newer = [change for change in uow.changes(limit=LOOKS_BACK) if change.number > number]
    own = {change.number for change in newer}
    return tuple(
        change
        for change in newer
        if not act_words(change.what).startswith(NO_FACTS)
        and change.undone_by is None
        and not (change.undoes is not None and change.undoes in own)
    )


def why_void(uow: UnitOfWork) -> str:
    """Return which proposal the plan in force has overtaken, and after what record; empty where none was."""
    followed: Change | None = None
    changes = uow.changes(limit=LOOKS_BACK)
    for change in changes:
        if change.undone_by is not None or change.undoes is not None or not change.what.startswith("plan "):
            continue
        if " proposed" in change.what:
            if followed is None:
                return ""
            cause = next((one for one in changes if one.number == followed.caused_by), None)
            why = f' it did not know of "{cause.what}", after which' if cause is not None else ""
            return f"{change.what.removesuffix(' proposed')} is void:{why} {followed.what.removesuffix(' follows')} was made"
        if not change.what.endswith(" follows"):
            return ""  # accepted, or planned anew
        followed = change
    return ""
