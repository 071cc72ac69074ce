"""For when something of a house is known to be ready: by the last answer to it, or as a painter promised.

Asked for by an earlier day, a customer is asked for what the shop knows cannot be.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crewjobs.domain.house_ready import Other, ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.readiness.house import house
from crewjobs.engines.readiness.others import still_out


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyDay:
    """The instant (UTC) something of a house is known to be ready, and whether its customer said so or a painter promised it."""

    at: datetime
    said: bool

    def words(self, zone: str) -> str:
        """Return by when it is asked for, at the site's wall."""
        when = moment_words(to_wall(zone, self.at))
        return f"by {when}, as you told us" if self.said else f"once the painter is done, promised for {when}"

    def answer(self, zone: str) -> str:
        """Return the answer that this still holds."""
        when = moment_words(to_wall(zone, self.at))
        return f"not yet; on {when}, as {'said before' if self.said else 'the painter promised'}"


def ready_day(record: JobRecord, item: ReadyItem, now: datetime) -> ReadyDay | None:
    """Return the day that is known of an item not answered with yes: the latest that is still ahead; None where none is."""
    found = house(record, now)
    missing = next((answer for answer in found.missing if answer.item is item), None)
    if missing is None and item not in found.unanswered:
        return None
    known = [ReadyDay(at=missing.until, said=True)] if missing is not None and missing.until is not None else []
    if item is ReadyItem.PAINT:
        promised = (waits.promised for waits in still_out(record, now) if waits.who is Other.PAINTER)
        known += [ReadyDay(at=at, said=False) for at in promised if at is not None]
    return max((one for one in known if one.at > now), key=lambda one: (one.at, one.said), default=None)
