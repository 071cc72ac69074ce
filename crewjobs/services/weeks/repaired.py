"""Places nobody goes into for what was found, where the customer has agreed to the crew's repair: by the plan they are open again after it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import datetime, timedelta

from crewjobs.domain.found import WHOLE_HOUSE
from crewjobs.domain.job import JobRecord
from crewjobs.domain.reach import cut_off
from crewjobs.engines.readiness.found import looked_at, repair_agreed, work_task
from crewjobs.engines.readiness.shut import in_place, nobody_in, shutting
from crewjobs.services.weeks.usable import Times, end_of


def opened_by(record: JobRecord, ahead: Times, now: datetime) -> Mapping[str, datetime]:
    """Return by room or stairs nobody goes into now from when (UTC) somebody does again by the plan: what shuts it is repaired by then, and dry.

    `ahead` are the minutes of the plan that still hold. A place is left out where something that shuts it, or the only way to it,
    waits for anybody's decision, or its repair has no time in the plan.
    """
    ends: dict[str, datetime | None] = {}
    for place, end in _ends(record, ahead, now):
        known = ends.get(place, end)
        ends[place] = None if known is None or end is None else max(known, end)
    opened: dict[str, datetime] = {}
    shut = nobody_in(record, now)
    for at in sorted({end for end in ends.values() if end is not None}):
        left = {place for place, end in ends.items() if end is None or end > at}
        still = shut if WHOLE_HOUSE in left else left | cut_off(record.job, left)
        opened |= dict.fromkeys(shut - still - opened.keys(), at)
    return opened


def opened_at(record: JobRecord, name: str, opened: Mapping[str, datetime]) -> datetime | None:
    """Return from when somebody goes into a section told by the name of its room and its own, a room or stairs; None where nothing says it."""
    return next((at for place, at in opened.items() if in_place(record, name, {place})), None)


def still_shut(record: JobRecord, opened: Collection[str], now: datetime) -> frozenset[str]:
    """Return the rooms and stairs nobody goes into and that are `opened` by no plan."""
    return nobody_in(record, now) - {*opened}


def _ends(record: JobRecord, ahead: Times, now: datetime) -> Iterator[tuple[str, datetime | None]]:
    """Yield each place that something found shuts, with when that is repaired and dry by the plan; None where no plan says it."""
    for finding in shutting(record, now):
        task = work_task(record, finding)
        if task is None or not repair_agreed(record, finding, now):
            yield finding.place, None
            continue
        done = end_of(ahead, task)
        planned = done + timedelta(minutes=finding.dry_min) if done is not None and done > now else None
        yield finding.place, looked_at(record, finding) or planned
