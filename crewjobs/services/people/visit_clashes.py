"""Small visits that no longer fit: a house's days or hours, or the shop's people, were changed after they were planned."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.agreed import SmallVisit
from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.engines.planning.stays import clash
from crewjobs.services.people.people import Person, find_person, stays_of
from crewjobs.services.people.small_visits import check_house, stay_of, visit_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def visit_clashes(uow: UnitOfWork, now: datetime) -> tuple[str, ...]:
    """Return a sentence for each planned small visit to come that the house, its person or the drive does not allow."""
    ahead = [booked for booked in uow.small_visits(now) if booked.visit.done_at is None]
    if not ahead:
        return ()
    shop, said = uow.shop(), []
    live = {record.job.number: record for record in uow.live_jobs()}
    for booked in ahead:
        record = live.get(booked.job) or uow.job(booked.job)  # a callback's look goes to a job that is closed
        said += [_sentence(record, booked.visit, why) for why in _whys(uow, shop, record, booked.visit)]
    return tuple(said)


def _whys(uow: UnitOfWork, shop: Shop, record: JobRecord, visit: SmallVisit) -> Iterator[str]:
    try:
        check_house(record, visit)
    except Refused as fault:
        yield str(fault).removeprefix(f"job {record.job.number}: ").rstrip(".")
    try:
        person = find_person(shop, visit.who)
    except Refused:
        yield f"the shop has nobody called {visit.who}"
        return
    yield from _elsewhere(uow, person, record, visit)


def _elsewhere(uow: UnitOfWork, person: Person, record: JobRecord, visit: SmallVisit) -> Iterator[str]:
    wanted = stay_of(record, visit)
    others = [stay for stay in stays_of(uow, person, visit.start, None) if stay != wanted]
    taken = clash(others, wanted)
    if taken is not None:
        yield f"{person.name} is at job {taken.job} too near to it in time, the drive between counted"


def _sentence(record: JobRecord, visit: SmallVisit, why: str) -> str:
    kind = visit.kind.value.replace(" ", "-")
    off = f"`crewjobs visit {record.job.number} {kind} --off` takes it away"
    return f"A small visit clashes now: job {record.job.number}, {visit_words(record, visit)}: {why}; {off}."
