"""When a crew can have gone on with a task under way: its calendar, as far as nobody said otherwise."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.evening import HowFar
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.engines.planning.calendars import worked_windows


def at_work(
    shop: Shop,
    crew: Crew,
    record: JobRecord,
    span: tuple[datetime, datetime],
    at: datetime,
    said: HowFar | None,
    *,
    elevator: bool = False,
) -> Iterator[tuple[datetime, datetime]]:
    """Yield when in a span before `at` a crew can have worked on a task, from when and until when (UTC).

    On a day whose hours at the house it told it was there in these alone. What was `said` last of a task (`how_far`) is how
    far it got that day, once the crew's day there is over: whoever looked then saw what was done, and nothing was said since.
    """
    told = [hours for hours in record.crew_hours if hours.crew == crew.name]
    told_days = {to_wall(shop.zone, hours.start).date() for hours in told}
    for day, start, end in worked_windows(shop, crew, record.job, *span, elevator=elevator):
        if (
            said is not None
            and to_wall(shop.zone, said.at).date() == day
            and not _goes_on(shop, crew, record, at, said, elevator=elevator)
        ):
            continue
        if day not in told_days:
            yield start, end
            continue
        for hours in told:
            first, last = max(start, hours.start), min(end, hours.stop)
            if first < last:
                yield first, last


def _goes_on(shop: Shop, crew: Crew, record: JobRecord, at: datetime, said: HowFar, *, elevator: bool) -> bool:
    """Return whether of the day on which something was said the crew has more at the house from the next quarter after `at` on.

    Work is placed on quarter hours: before that none of the rest can have a place.
    """
    day, first = to_wall(shop.zone, said.at).date(), at + timedelta(seconds=-at.timestamp() % (QUARTER * 60))
    ahead = worked_windows(shop, crew, record.job, first, first + timedelta(days=1), elevator=elevator)
    return any(one == day for one, _, _ in ahead)
