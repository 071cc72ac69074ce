"""The order of work about something found and of what it holds: planned and laid out alike, that first and its drying."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Link
from crewjobs.engines.readiness.found import after_its_work, work_task


def after_found_work(record: JobRecord, at: datetime) -> JobRecord:
    """Return a job in which what a finding holds comes after the work agreed about it, and its drying, as known at an instant (UTC).

    By then somebody can look again. Only the plan counts on it: a way on that is recorded opens what is held.
    """
    links, more = {(link.before, link.after): link for link in record.links}, False
    for finding in record.findings:
        work = work_task(record, finding)
        if work is None or finding.at > at or (work.done_at is not None and work.done_at <= at):
            continue
        for number in after_its_work(record, finding, at):
            pair = work.number, number
            if pair not in links or links[pair].wait_min < finding.dry_min:
                more = True
                links[pair] = Link(
                    before=work.number, after=number, wait_min=finding.dry_min, name="dries" if finding.dry_min else ""
                )
    return replace(record, links=tuple(links[pair] for pair in sorted(links))) if more else record
