"""What was found in a house before a job goes there: it comes along into that job, holds there, and is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, FoundKind, WayTaken
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.found import held_by, way_taken, ways_of
from crewjobs.engines.readiness.others import by_the_laboratory
from crewjobs.services.findings.asked_together import asked_too
from crewjobs.services.findings.found_holds import behind_words, held_anew
from crewjobs.services.findings.found_told import not_settled
from crewjobs.services.findings.house_told import others_with_findings
from crewjobs.services.findings.same_house import carried, not_known_there, same_finding, written_there
from crewjobs.services.wording import task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


class ComeAlong(NamedTuple):
    """A job with what was found in its house, and what is said of that."""

    record: JobRecord
    told: tuple[str, ...]


def with_its_house(uow: UnitOfWork, record: JobRecord, catalogue: Catalogue, now: datetime) -> ComeAlong:
    """Return a job that is stored already with what was found in the other jobs of its house and is there still; nothing is saved.

    That is what nobody has decided of, and what a way on left there where nobody goes in: what is settled else holds nothing. A job
    that is over, or has no work left, goes there no more.
    """
    if record.job.state not in LIVE or not any(task.open for task in record.tasks):
        return ComeAlong(record, ())
    others = others_with_findings(uow, record.job.number)
    number = record.job.number
    known, found, ways, beside = list(record.findings), list[Finding](), list[WayTaken](), list[Finding]()
    for other in others:
        for finding in other.findings:
            there = _there_still(other, finding, catalogue, now)
            if there is None or any(same_finding(finding, one) for one in (*known, *beside)):
                continue
            own = written_there(record.job, finding.place)
            if not own:
                beside += [finding] if finding.kind in NOBODY_IN and not there else []
                continue
            known.append(carried(finding, own))
            found.append(known[-1])
            ways += [replace(way, place=own) for way in there]
    if found:
        holding = held_anew(replace(record, findings=tuple(known), ways_taken=(*record.ways_taken, *ways)), catalogue)
        record = by_the_laboratory(asked_too(holding, others, now))
    told = [f"Job {number}: {words}" for one in found for words in _words(record, one, now)]
    return ComeAlong(record, (*told, *(not_known_there(record.job, one) for one in beside)))


def _there_still(
    other: JobRecord, finding: Finding, catalogue: Catalogue, now: datetime
) -> tuple[WayTaken, ...] | None:
    """Return the way on that left there what another job of the house found, none where nobody decided of it; None where it is gone."""
    kind = next((one for one in catalogue.findings if one.key == finding.kind), None)
    if kind is None or finding.at > now:
        return None
    taken = way_taken(other, finding, now)
    if taken is None:
        return ()
    return left_there(kind, other, finding) if finding.kind in NOBODY_IN and _leaves(kind, taken) else None


def left_there(kind: FoundKind, record: JobRecord, finding: Finding) -> tuple[WayTaken, ...]:
    """Return the way on from a finding as another job of the house takes it over: what it let go on was about the first one's work."""
    first = next((one for one in ways_of(record, finding) if not ((way := kind.way(one.way)) and way.after)), None)
    return (replace(first, keeps=(), drops=()),) if first is not None else ()


def _leaves(kind: FoundKind, taken: WayTaken) -> bool:
    way = kind.way(taken.way)
    return way is not None and way.leaves


def _words(record: JobRecord, named: Finding, now: datetime) -> Iterator[str]:
    finding = next(one for one in record.findings if same_finding(one, named))
    yield (
        not_settled(record, finding)
        if way_taken(record, finding, now) is None
        else (f"{finding.place}: {finding.kind}, found before, was left there.")
    )
    held = [task_words(record.task(number)) for number in held_by(record, finding, now)]
    if held:
        yield f"On hold by {finding.kind} in {finding.place}, until a way on is taken: {listed(held, most=6)}."
        yield from behind_words(record, finding)
