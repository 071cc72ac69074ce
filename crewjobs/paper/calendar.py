"""A calendar to be sent: typed values, formatted in `ical` alone.

There is no field for entry notes, phones, mail or who the customer is: what cannot be said here cannot leak from here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from crewjobs.domain.calendar import EventKind


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent:
    """One event. `start` and `end` are UTC instants; both are dates where it is for whole days, `end` the day after.

    Without an `end` it is an instant. `sequence` rises by every change of what is said; `changed_at` (UTC) is when it
    changed last. `busy` says whether somebody's time is taken.
    """

    uid: str
    sequence: int
    kind: EventKind
    start: datetime | date
    end: datetime | date | None
    changed_at: datetime
    summary: str
    address: str = ""
    lines: tuple[str, ...] = ()
    busy: bool = False
    cancelled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """The events of one crew, or those a customer needs to know of one job."""

    name: str
    events: tuple[CalendarEvent, ...]
