"""Places nobody goes into for what was found, where the customer has agreed to the crew's repair: by the plan they are open again after it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from datetime import datetime, timedelta

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import WHOLE_HOUSE
from crewjobs.domain.job import JobRecord
from crewjobs.domain.reach import cut_off
from crewjobs.engines.readiness.found import looked_at, repair_agreed, work_task
from crewjobs.engines.readiness.shut import in_place, nobody_in, shutting
from crewjobs.services.weeks.gone_by import still_ahead
from crewjobs.services.weeks.usable import Times, end_of
from crewjobs.services.weeks.visits import Planned


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


def repaired_at(record: JobRecord, finding: Finding, ahead: Times, now: datetime) -> datetime | None:
    """Return from when (UTC) the crew's own work about something found is done and dry, as it was done or by the minutes `ahead`.

    None where the customer has not agreed to it, or no plan says it.
    """
    task = work_task(record, finding)
    if task is None or not repair_agreed(record, finding, now):
        return None
    done = end_of(ahead, task)
    planned = done + timedelta(minutes=finding.dry_min) if done is not None and done > now else None
    return looked_at(record, finding) or planned


def repaired_before(found: Planned | None, at: datetime, now: datetime) -> Callable[[JobRecord, Finding], bool]:
    """Return what says whether something found in a job is repaired and dry by the plan, if any, when somebody comes at an instant."""

    def before(record: JobRecord, finding: Finding) -> bool:
        ahead = still_ahead(found.task_minutes(record), record, now) if found is not None else {}
        end = repaired_at(record, finding, ahead, now)
        return end is not None and end <= at

    return before


def _ends(record: JobRecord, ahead: Times, now: datetime) -> Iterator[tuple[str, datetime | None]]:
    """Yield each place that something found shuts, with when that is repaired and dry by the plan; None where no plan says it."""
    for finding in shutting(record, now):
        yield finding.place, repaired_at(record, finding, ahead, now)
