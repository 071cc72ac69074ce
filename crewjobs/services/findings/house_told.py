"""What is not settled in a house, as it is told to whoever goes there for any of its jobs, whichever of them knows of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.tasks import Catalogue, Caution
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.readiness.found import repair_agreed, way_taken, work_task
from crewjobs.services.findings.air import cautions_told
from crewjobs.services.findings.found_told import finding_cautions_told, not_settled, site_found, unsettled
from crewjobs.services.findings.same_house import (
    carried,
    found_in_their_houses,
    same_finding,
    same_house,
    written_there,
)
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.services.weeks.visits import Planned
    from crewjobs.storage.unit_of_work import UnitOfWork


def others_of_its_house(uow: UnitOfWork, job: int) -> tuple[JobRecord, ...]:
    """Return the other jobs that go into a job's house, by number."""
    return tuple(uow.job(number) for number in same_house(uow, job))


def others_with_findings(uow: UnitOfWork, job: int) -> tuple[JobRecord, ...]:
    """Return the other jobs that go into a job's house and in which something was found, by number; no other is read."""
    return tuple(uow.job(number) for number in uow.with_findings(same_house(uow, job)))


def with_houses(uow: UnitOfWork, found: Planned) -> Planned:
    """Return a plan with the other jobs of its jobs' houses in which something was found: whoever goes there is told of it."""
    return replace(found, others=found_in_their_houses(uow, found.records))


def told_there(found: Planned, record: JobRecord, catalogue: Catalogue, now: datetime) -> tuple[str, ...]:
    """Return what was found in the house of a job, for the people who stand in it: what holds its work, and what other jobs tell."""
    others = found.others.get(record.job.number, ())
    return (*site_found(record, catalogue, now, found.shop.units), *elsewhere_words(record, others, now))


def open_in(record: JobRecord, now: datetime) -> tuple[Finding, ...]:
    """Return what was found in a job and is not settled: what holds its work, or nobody has decided of where it must be."""
    there = list(unsettled(record, now))
    return tuple(
        one
        for one in record.findings
        if one in there
        or (
            record.job.state in LIVE
            and one.at <= now
            and way_taken(record, one, now) is None
            and any(record.task(number).open for number in one.holds)
        )
    )


def open_elsewhere(
    record: JobRecord, others: Sequence[JobRecord], now: datetime
) -> tuple[tuple[JobRecord, Finding], ...]:
    """Return what is not settled in a house and a job does not tell by itself, each with the first other job that does."""
    told, found = list(open_in(record, now)), []
    for other in others:
        for finding in open_in(other, now):
            if not any(same_finding(finding, one) for one in told):
                told.append(finding)
                found.append((other, finding))
    return tuple(found)


def as_the_house(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> JobRecord:
    """Return a job with what is not settled in its house and it does not know of: what that holds is other jobs' work, none of its own."""
    more = [carried(one, written_there(record.job, one.place)) for _, one in open_elsewhere(record, others, now)]
    return replace(record, findings=(*record.findings, *more)) if more else record


def elsewhere_words(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[str]:
    """Yield what is not settled in the house and a job does not tell by itself."""
    for other, finding in open_elsewhere(record, others, now):
        yield not_settled(other, finding)


def elsewhere_cautions(
    record: JobRecord, others: Sequence[JobRecord], catalogue: Catalogue, now: datetime
) -> tuple[Caution, ...]:
    """Return what to check about what is not settled in the house and a job does not tell by itself, first things first."""
    found = {
        caution
        for other, finding in open_elsewhere(record, others, now)
        for caution in finding_cautions_told(finding, catalogue, other)
    }
    return cautions_told(record, found, now)


def in_short(
    record: JobRecord,
    others: Sequence[JobRecord],
    now: datetime,
    before: Callable[[JobRecord, Finding], bool] = lambda _record, _finding: False,
) -> str:
    """Return what is not settled in a job's house in a few words, empty for nothing: ``not settled: mold in hall``.

    Of what the crew is to work on, as the customer agreed, that is said instead: ``repair agreed: rot in hall``; to a visit by
    which the plan has that work done, as `before` says, ``repair planned before: rot in hall``.
    """
    found = [*((record, one) for one in open_in(record, now)), *open_elsewhere(record, others, now)]
    said: dict[str, dict[str, None]] = {"not settled": {}}
    for knows, one in found:
        said.setdefault(_stands(knows, one, now, before), {})[f"{one.kind} in {one.place}"] = None
    return "; ".join(f"{stands}: {listed(list(names), most=3)}" for stands, names in said.items() if names)


def _stands(record: JobRecord, finding: Finding, now: datetime, before: Callable[[JobRecord, Finding], bool]) -> str:
    """Return how far something found is, of which no way on is taken."""
    if not repair_agreed(record, finding, now):
        return "not settled"
    task = work_task(record, finding)
    if task is not None and not task.open:
        return "way on to be recorded"
    what = "repair" if finding.kind in NOBODY_IN else "work on it"
    return f"{what} planned before" if before(record, finding) else f"{what} agreed"


def visitors_words(records: Sequence[JobRecord], now: datetime) -> Iterator[str]:
    """Yield who is to make a small visit for one of the jobs of a house in which something was found: their page may be printed."""
    coming = [
        (visit.start, record, visit)
        for record in records
        for visit in record.small_visits
        if visit.done_at is None and visit.start > now
    ]
    for start, record, visit in sorted(coming, key=lambda one: (one[0], one[1].job.number)):
        when = at_site(record.job.site.zone, start)
        yield f"{upper(visit.who)} goes there {when} for job {record.job.number} ({visit.kind}): tell them, and print that day's page again."
