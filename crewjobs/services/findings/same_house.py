"""The jobs of one house that come back to each other: what was found there in one of them is there for all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, WHOLE_HOUSE
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.found import way_taken
from crewjobs.services.findings.found_holds import held_anew
from crewjobs.services.wording import task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def same_house(uow: UnitOfWork, job: int) -> tuple[int, ...]:
    """Return the job a job comes back to, its callbacks, and theirs: the numbers of all of them but itself, ascending."""
    ties, found, look = uow.callbacks(), {job}, [job]
    while look:
        at = look.pop()
        more = {one.of for one in ties if one.number == at} | {one.number for one in ties if one.of == at}
        look += more - found
        found |= more
    return tuple(sorted(found - {job}))


def same_finding(one: Finding, other: Finding) -> bool:
    """Return whether two jobs of a house know of one thing that was found there."""
    return (one.at, one.place, one.kind) == (other.at, other.place, other.kind)


def held_elsewhere(others: Iterable[JobRecord], finding: Finding, now: datetime) -> list[int]:
    """Return the numbers of the live jobs among others of the house in which the same finding still holds work."""
    return [
        other.job.number
        for other in others
        if other.job.state in LIVE
        for one in other.findings
        if same_finding(one, finding)
        and way_taken(other, one, now) is None
        and any(other.task(number).open for number in one.holds)
    ]


def carried(finding: Finding) -> Finding:
    """Return a finding as another job of the same house knows it: what it holds is that job's own, what is done about it is not."""
    return replace(finding, holds=(), work="", dry_min=0)


def found_there_too(uow: UnitOfWork, catalogue: Catalogue, job: int, finding: Finding) -> Iterator[str]:
    """Save what was found in one job in those of the same house that still have work, and yield what it holds there.

    One that does not go where it was found is named where nobody goes in there: whether it comes through, the job does not know.
    """
    for number in same_house(uow, job):
        before = uow.job(number)
        if before.job.state not in LIVE or not any(task.open for task in before.tasks):
            continue
        if finding.place not in _places(before):
            if finding.kind in NOBODY_IN:
                yield (
                    f"Job {number} goes into the same house and knows nothing of {finding.place}: where one comes to its work "
                    "through there, call it off and book the callback again."
                )
            continue
        found = [
            replace(one, area_ft2=finding.area_ft2, what=finding.what) if same_finding(one, finding) else one
            for one in before.findings
        ]
        if not any(same_finding(one, finding) for one in found):
            found.append(carried(finding))
        after = held_anew(replace(before, findings=tuple(found)), catalogue)
        uow.save_job(before, after)
        held = next(one.holds for one in reversed(after.findings) if same_finding(one, finding))
        holds = f", and holds {listed([task_words(after.task(n)) for n in held], most=6)}" if held else ""
        yield f"Job {number}: it is known there too{holds}."


def _places(record: JobRecord) -> frozenset[str]:
    return frozenset(
        [WHOLE_HOUSE, *(room.name for room in record.job.rooms), *(flight.name for flight in record.job.stairs)]
    )
