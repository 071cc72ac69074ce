"""What a calendar file said last of each event: a fact that left the house, to which the next file is a change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum


class EventKind(StrEnum):
    """What an event of a calendar tells."""

    VISIT = "visit"
    SMALL_VISIT = "small visit"
    DELIVERY = "delivery"
    READY = "ready"

    @property
    def takes_time(self) -> bool:
        """Return whether somebody is there meanwhile."""
        return self in (EventKind.VISIT, EventKind.SMALL_VISIT)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenEvent:
    """An event as it was written last into one calendar; instants are UTC.

    `calendar` is `crew_calendar` or `job_calendar`; the same `uid` may have stood in several crews' calendars. `what` tells
    apart what is of one kind at one job: a visit's own number, or the name of what comes or is ready. `day` is the site's
    date where it is for a whole day, which `start` and `end` then bound. `digest` is of all that was said, `changed_at` when that was written first. A `cancelled` event
    is written as it is until its day is past.
    """

    calendar: str
    uid: str
    job: int
    kind: EventKind
    what: str
    tasks: tuple[int, ...]
    start: datetime
    end: datetime
    day: date | None
    summary: str
    sequence: int
    cancelled: bool
    digest: str
    changed_at: datetime


def crew_calendar(crew: str) -> str:
    """Return how the calendar of a crew is called in the records."""
    return f"crew {crew}"


def job_calendar(job: int) -> str:
    """Return how the calendar of a job, for its customer, is called in the records."""
    return f"job {job}"
