"""The jobs of one house: what was found there in one of them is there for all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, WHOLE_HOUSE
from crewjobs.domain.job import LIVE, Job, JobRecord
from crewjobs.domain.reach import cut_off
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.wording import listed, typed
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.readiness.found import way_taken, ways_of
from crewjobs.services.findings.found_holds import behind_words, held_anew
from crewjobs.services.findings.houses import houses_of
from crewjobs.services.jobs.as_it_lies import first_of_its_house, with_the_ways
from crewjobs.services.wording import task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def same_house(uow: UnitOfWork, job: int) -> tuple[int, ...]:
    """Return the other jobs that go into a job's house (`houses_of`), by number, ascending."""
    return houses_of(uow, (job,)).of(job)


def found_in_their_houses(uow: UnitOfWork, records: Mapping[int, JobRecord]) -> dict[int, tuple[JobRecord, ...]]:
    """Return by number of some jobs the other ones of the same house in which something was found, by theirs; without those that have none.

    `records` are read already; no other is, but where something was found.
    """
    known = houses_of(uow, records.keys())
    houses = {number: known.of(number) for number in records}
    found = set(uow.with_findings({other for house in houses.values() for other in house}))
    read = {number: records.get(number) or uow.job(number) for number in sorted(found)}
    return {
        number: tuple(read[other] for other in house if other in found)
        for number, house in houses.items()
        if found.intersection(house)
    }


def same_finding(one: Finding, other: Finding) -> bool:
    """Return whether two jobs of a house know of one thing that was found there, however each writes the place."""
    return (one.at, one.place.casefold(), one.kind) == (other.at, other.place.casefold(), other.kind)


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


def carried(finding: Finding, place: str = "") -> Finding:
    """Return a finding as another job of the same house knows it: what it holds is that job's own, what is done about it is not.

    `place` is how that job writes where it is; left out, as the first one does.
    """
    return replace(finding, place=place or finding.place, holds=(), work="", dry_min=0)


def found_there_too(uow: UnitOfWork, catalogue: Catalogue, job: int, finding: Finding) -> Iterator[str]:
    """Save what was found in one job in those of the same house that still have work, and yield what it holds there.

    In one whose work lies behind places nobody goes into, too: there the ways of the house come along. One to which, as far as
    they are known, another way leads is named where nobody goes in: whether it comes through, the job does not know.
    """
    house = [uow.job(number) for number in (job, *same_house(uow, job))]
    for before in house[1:]:
        number = before.job.number
        if before.job.state not in LIVE or not any(task.open for task in before.tasks):
            continue
        through = _behind_it(uow, before, house, catalogue) if finding.kind in NOBODY_IN else None
        there = written_there(before.job, finding.place)
        if through is None and not there:
            if finding.kind in NOBODY_IN:
                yield not_known_there(before.job, finding)
            continue
        known = through or before
        found = [
            replace(one, area_ft2=finding.area_ft2, what=finding.what) if same_finding(one, finding) else one
            for one in known.findings
        ]
        if not any(same_finding(one, finding) for one in found):
            found.append(carried(finding, there))
        after = held_anew(replace(known, findings=tuple(found)), catalogue)
        uow.save_job(before, after)
        [same] = [one for one in after.findings if same_finding(one, finding)][-1:]
        holds = f", and holds {listed([task_words(after.task(n)) for n in same.holds], most=6)}" if same.holds else ""
        yield f"Job {number}: it is known there too{holds}."
        if same.holds:
            yield from (f"Job {number}: {words}" for words in behind_words(after, same))


def written_there(job: Job, place: str) -> str:
    """Return how a job of the house writes a place, which is the same in other capitals; empty where it has none such."""
    return named_in(places_of(job), place)


def named_in(names: Iterable[str], place: str) -> str:
    """Return the one of some names of places that is a place's, in whatever capitals; empty where none is."""
    return next((name for name in sorted(names) if name.casefold() == place.casefold()), "")


def not_known_there(job: Job, finding: Finding) -> str:
    """Return what to do where a job of the house has no place of that name: whether one comes to its work through there, it does not know."""
    number = job.number
    return (
        f"Job {number} goes into the same house and knows nothing of {finding.place}: where one comes to its work "
        f"through there, record it in that job for the whole house (`crewjobs found {number} {WHOLE_HOUSE} {typed(finding.kind)}`)."
    )


def _behind_it(
    uow: UnitOfWork, record: JobRecord, house: Iterable[JobRecord], catalogue: Catalogue
) -> JobRecord | None:
    """Return a callback with the ways of its house and all that shuts them, where its open work lies behind that; else None.

    Booked before that was found, it knows the places of its work alone.
    """
    if not record.job.is_callback:
        return None
    job = with_the_ways(first_of_its_house(uow, record), record.job)
    places = places_of(job)  # a job of the same house that it does not come back to may know others
    shutting = [
        one
        for other in house
        for one in other.findings
        if one.kind in NOBODY_IN and one.place in places and not ways_of(other, one)
    ]
    shut = {one.place for one in shutting} - {WHOLE_HOUSE}
    works = {task.key.scope.name for task in record.tasks if task.open}
    if not any(place in cut_off(job, shut - {place}) for place in works):
        return None
    known = list(record.findings)
    for one in shutting:
        if one.place in shut and not any(same_finding(one, other) for other in known):
            known.append(carried(one))
    wide = reconcile(replace(record, job=job), expand(job, catalogue, record.moves_in_force))
    return replace(wide, findings=tuple(known))


def places_of(job: Job) -> frozenset[str]:
    """Return where something can be found in a job: its rooms, its stairs, the whole house."""
    return frozenset([WHOLE_HOUSE, *(room.name for room in job.rooms), *(flight.name for flight in job.stairs)])
