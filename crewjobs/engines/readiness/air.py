"""Whether the air of a house runs, by the answers on it, and from when the hours of what lies in its rooms count.

Planks acclimate in rooms kept as they will be lived in: hours without heat or air are not counted (common practice,
no source). Where nobody was asked about the air, being in the rooms is taken for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """The air of a house at an instant, as answered by then. Instants are UTC.

    `runs` is False while the last answer says that it does not. `since` is the instant it has run from where one was
    said, or where it did not run before; `until` is when it was said that it will.
    """

    runs: bool
    since: datetime | None = None
    until: datetime | None = None

    def counts_from(self, in_rooms: datetime) -> datetime | None:
        """Return the instant from which hours in the rooms count; None while the air does not run."""
        if not self.runs:
            return None
        return in_rooms if self.since is None else max(in_rooms, self.since)


def air(record: JobRecord, at: datetime) -> Air:
    """Return how the air of a house is at an instant, by what had been answered by then.

    Answered "no" and then "yes" it has run from the moment that was said with the yes, else from the yes itself.
    """
    runs, since, until = True, None, None
    answers = [answer for answer in record.answers if answer.item is ReadyItem.AIR and answer.at <= at]
    for answer in sorted(answers, key=lambda answer: answer.at):
        if not answer.ready:
            since = None
        elif answer.since is not None or not runs:
            since = answer.since or answer.at
        runs, until = answer.ready, answer.until
    return Air(runs=runs, since=since, until=until)
