"""What of a plan is no day to tell a customer any more: somebody was to look at what was found by now, and has not come."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.found import way_taken
from crewjobs.engines.readiness.others import still_out
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.weeks.visits import Planned


def without_overdue(found: Planned, record: JobRecord, now: datetime) -> Planned:
    """Return the plan in force without a job's work that waits for an answer overdue since an earlier day, and all that comes after it.

    The plan was made when the answer was expected in time; made anew it has no day for that work.
    """
    gone, number = _overdue(record, now), record.job.number
    placed, count = [one for one in found.plan.placements if one.key.job == number], -1
    dropped: list[int] = []
    while gone and count != len(dropped):
        count = len(dropped)
        dropped = [n for n, one in enumerate(placed) if gone & {*one.tasks}]
        gone |= {task for n in dropped for task in placed[n].tasks}
        gone |= {link.after for link in record.links if link.before in gone}
    kept = tuple(one for one in found.plan.placements if one.key.job != number or not gone & {*one.tasks})
    return (
        found if len(kept) == len(found.plan.placements) else replace(found, plan=replace(found.plan, placements=kept))
    )


def _overdue(record: JobRecord, now: datetime) -> set[int]:
    zone = record.job.site.zone
    today = to_wall(zone, now).date()
    return {
        number
        for waits in still_out(record, now)
        if waits.promised is not None and to_wall(zone, waits.promised).date() < today
        for finding in record.findings
        if because_of(finding, waits) and way_taken(record, finding, now) is None
        for number in waits.holds
        if record.task(number).open
    }
