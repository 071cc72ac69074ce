"""Rooms closed off for lead paint: from the closing off until the certified renovator's dust check has passed.

Ducts that open into a closed area stay covered with taped-down plastic meanwhile (40 CFR 745.85(a)(2)(i)(C)), and nobody who
lives there goes in. Whether it has passed the renovator says; here it is known only when the check is planned or was ticked.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.reach import cut_off
from crewjobs.domain.tasks import Link, Task
from crewjobs.domain.wording import listed
from crewjobs.engines.planning.critical_path import neighbors, reached
from crewjobs.services.jobs.known import VENTS_BACK
from crewjobs.services.weeks.usable import LEAD_CHECKED, Times

LEAD_CLOSED: Final = "lead-close-off"
"""The template of closing a room off before painted trim is worked."""
COVERED_NOTE: Final = (
    "once an area is closed off for lead paint: plastic stays on its grilles and ducts until the dust check has passed "
    "(40 CFR 745.85(a)(2)(i)(C)); the certified renovator decides about the fan"
)
DUCT_NOTE: Final = (
    "this area is closed off for lead paint: its ducts stay closed with taped-down plastic until the dust check has passed "
    "(40 CFR 745.85(a)(2)(i)(C))"
)


def closings(record: JobRecord) -> dict[str, tuple[Task, Task]]:
    """Return by room the task that closes it off first, and the dust check that opens it; none where no check is needed."""
    check = next((t for t in record.tasks if t.key.template == LEAD_CHECKED and not t.not_needed), None)
    found: dict[str, tuple[Task, Task]] = {}
    for task in record.tasks if check is not None else ():
        if task.key.template == LEAD_CLOSED and not task.not_needed and check is not None:
            found.setdefault(task.key.scope.name, (task, check))
    return found


def behind_closed(record: JobRecord) -> dict[str, tuple[Task, Task]]:
    """Return by room that is not closed off itself, and to which one comes only through rooms that are, what `closings` returns.

    The closing off is the one that shuts the last way to it, of rooms closed off in the order of their tasks.
    """
    closed = closings(record)
    found: dict[str, tuple[Task, Task]] = {}
    shut: set[str] = set()
    for room, pair in sorted(closed.items(), key=lambda one: (one[1][0].stage, one[1][0].number)):
        shut.add(room)
        for name in cut_off(record.job, shut) - closed.keys():
            found.setdefault(name, pair)
    return found


def vents_after_check(record: JobRecord) -> JobRecord:
    """Return the record as it is planned: the floor vents of a closed room go back after the dust check, its ducts stay covered till then.

    Only the plan keeps it, and not where the check itself waits for them: in a house worked in halves the first half is put back
    before the second is begun, and the check is the whole house's.
    """
    closed = closings(record)
    links = {(link.before, link.after) for link in record.links}
    _, follow = neighbors(record.links)
    more = [
        Link(before=closed[task.key.scope.name][1].number, after=task.number)
        for task in record.tasks
        if task.key.template == VENTS_BACK and task.open and task.key.scope.name in closed
    ]
    new = [
        link
        for link in more
        if record.task(link.before).open
        and (link.before, link.after) not in links
        and link.before not in reached([link.after], follow)
    ]
    return replace(record, links=(*record.links, *new)) if new else record


def closed_from(record: JobRecord, times: Times) -> dict[str, tuple[datetime, datetime | None]]:
    """Return by room from when until when (UTC) it is closed off, as recorded or by the minutes of a plan.

    The end is None where nobody knows it; a room whose closing off has no time yet is left away.
    """
    found: dict[str, tuple[datetime, datetime | None]] = {}
    for room, (closing, check) in closings(record).items():
        start = closing.started_at or closing.done_at
        if start is None and closing.number in times:
            start = times[closing.number][0]
        if start is not None:
            planned = times[check.number][1] if check.number in times else None
            found[room] = start, check.done_at or planned
    return found


def closed_at(record: JobRecord, times: Times, at: datetime) -> list[str]:
    """Return the rooms that are closed off at an instant."""
    spans = closed_from(record, times).items()
    return [room for room, (start, end) in spans if start <= at and (end is None or at < end)]


def tonight_words(rooms: list[str]) -> str:
    """Return what is left how over night where rooms are closed off: only what the rule wants, and who decides the rest."""
    return (
        f"{listed(rooms, most=6)} closed off for lead paint: plastic stays on grilles and ducts there until the dust check has "
        "passed (40 CFR 745.85(a)(2)(i)(C)); fan and other grilles as the certified renovator decides"
    )
