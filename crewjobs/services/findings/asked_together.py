"""Who is asked because of what was found in a house: one asking, waited for in every job of the house that it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.evening import Finding
from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.engines.readiness.found import way_taken
from crewjobs.engines.readiness.others import by_the_laboratory
from crewjobs.services.findings.found_asked import answered_by, because_of
from crewjobs.services.findings.same_house import same_finding, same_house

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def same_asking(one: WaitingOn, other: WaitingOn) -> bool:
    """Return whether two jobs of a house wait for one thing that somebody was asked once."""
    return (one.who, one.what.casefold(), one.asked_at) == (other.who, other.what.casefold(), other.asked_at)


def asked_too(record: JobRecord, others: Iterable[JobRecord], now: datetime) -> JobRecord:
    """Return a live job that waits for whoever other jobs of the house wait for because of what holds it as well."""
    more = list(record.waiting_on)
    for holding, finding, waits in _of_findings(others, now) if record.job.state in LIVE else ():
        for one in record.findings:
            if not same_finding(one, finding) or not one.holds or way_taken(record, one, now) is not None:
                continue
            if way_taken(holding, finding, now) is None and not any(same_asking(waits, known) for known in more):
                more.append(replace(waits, holds=one.holds))
    return record if len(more) == len(record.waiting_on) else replace(record, waiting_on=tuple(more))


def job_as_asked(uow: UnitOfWork, job: int, now: datetime) -> JobRecord:
    """Return a job with whoever is asked in the other jobs of its house because of what holds it too; nothing is saved.

    Raises:
        Refused: there is no such job.
    """
    return asked_too(uow.job(job), [uow.job(number) for number in same_house(uow, job)], now)


def told_in_the_house(uow: UnitOfWork, record: JobRecord, now: datetime) -> tuple[int, ...]:
    """Save in the other jobs of a house what a job, saved before, knows of whoever was asked because of a finding; return their numbers.

    Each keeps what of its own work waits for it.
    """
    because = [
        waits
        for waits in record.waiting_on
        if any(because_of(one, waits) for one in record.findings) and answered_by(record, waits) is None
    ]
    told: list[int] = []
    for number in same_house(uow, record.job.number) if because else ():
        before = uow.job(number)
        waiting = tuple(_as_known(waits, because) for waits in before.waiting_on)
        after = asked_too(replace(before, waiting_on=waiting), [record], now)
        if after.waiting_on != before.waiting_on:
            uow.save_job(before, by_the_laboratory(after))
            told.append(number)
    return tuple(told)


def waited_for_in(records: Iterable[JobRecord], waits: WaitingOn) -> tuple[int, ...]:
    """Return the numbers of the jobs of a house that wait for the same thing, ascending."""
    return tuple(
        sorted(
            record.job.number
            for record in records
            if any(one.came_at is None and same_asking(one, waits) for one in record.waiting_on)
        )
    )


def _of_findings(records: Iterable[JobRecord], now: datetime) -> Iterator[tuple[JobRecord, Finding, WaitingOn]]:
    for record in records:
        for finding in record.findings:
            for waits in record.waiting_on:
                out = waits.came_at is None or waits.came_at > now
                if out and because_of(finding, waits):
                    yield record, finding, waits


def _as_known(waits: WaitingOn, known: Iterable[WaitingOn]) -> WaitingOn:
    return next((replace(one, holds=waits.holds) for one in known if same_asking(one, waits)), waits)
