"""What is not settled at a job's address in another customer's job: that it is so, and nothing of theirs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.evening import Finding
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.wording import listed
from crewjobs.services.findings.house_told import open_in
from crewjobs.services.findings.houses import Houses, houses_of
from crewjobs.services.findings.same_house import same_finding

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


AT_ITS_ADDRESS: Final = "At this address something that was found is not settled, in a job of another customer"


def found_beside_them(
    uow: UnitOfWork, houses: Houses, records: Mapping[int, JobRecord], now: datetime
) -> dict[int, tuple[JobRecord, ...]]:
    """Return by number of some jobs those of other customers at their addresses in which something is not settled; without those that have none.

    `records` are read already; no other is, but where something was found.
    """
    beside = {number: houses.beside(number) for number in records}
    found = uow.with_findings({other for others in beside.values() for other in others})
    read = (records.get(number) or uow.job(number) for number in found)
    open_ = {other.job.number: other for other in read if open_in(other, now)}
    return {
        number: _first_of_each([open_[other] for other in others if other in open_], now)
        for number, others in beside.items()
        if any(other in open_ for other in others)
    }


def _first_of_each(others: Iterable[JobRecord], now: datetime) -> tuple[JobRecord, ...]:
    """Return the first job of each thing that is not settled: what several of one house know of is looked at in one."""
    seen, first = list[Finding](), list[JobRecord]()
    for other in others:
        more = [one for one in open_in(other, now) if not any(same_finding(one, known) for known in seen)]
        seen += more
        first += [other] if more else []
    return tuple(first)


def beside_words(uow: UnitOfWork, record: JobRecord, now: datetime) -> tuple[str, ...]:
    """Return for a job's page that something is not settled at its address; nothing of a job to which nobody goes any more."""
    if record.job.state not in LIVE:
        return ()
    number = record.job.number
    beside = found_beside_them(uow, houses_of(uow, (number,)), {number: record}, now)
    return (f"{AT_ITS_ADDRESS}: {look_words(beside[number])}.",) if beside else ()


def look_words(others: Iterable[JobRecord]) -> str:
    """Return what is to be done before anybody goes there; who decides about it is with that job."""
    jobs = listed([f"job {other.job.number}" for other in others], most=6)
    return f"before anybody goes there, look in {jobs} whether it is in their way, and who decides about it"
