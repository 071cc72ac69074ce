"""One person's time: who they are, their hours, where they are already."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import SmallVisit, VisitKind
from crewjobs.domain.crew import Shop
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import WeekHours, days_from, hour_words, to_utc, to_wall
from crewjobs.engines.planning.stays import Stay
from crewjobs.services.people.away import find_worker, is_lead
from crewjobs.services.weeks.visits import Planned

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

LOOK_AHEAD_DAYS: Final = 28
LONGEST: Final = timedelta(hours=12)
"""No small visit that began earlier than this, drive included, reaches into another."""

Window = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who makes small visits: the shop's lead (then `crew` is empty unless in one), or a person of a crew."""

    name: str
    hours: WeekHours
    crew: str = ""


def find_person(shop: Shop, name: str) -> Person:
    """Return the shop's lead or a person of a crew, by full or, where it is the only one, first name.

    Raises:
        Refused: nobody or several people have it.
    """
    if is_lead(shop, name):
        return _lead(shop)
    crew, worker = find_worker(shop, name)
    if shop.lead is not None and worker.name == shop.lead.name:
        return _lead(shop)
    return Person(name=worker.name, hours=crew.hours, crew=crew.name)


def likely_people(shop: Shop) -> list[Person]:
    """Return who makes small visits if nobody says: the shop's lead, else the crews' leads."""
    if shop.lead is not None:
        return [_lead(shop)]
    return [
        Person(name=worker.name, hours=crew.hours, crew=crew.name)
        for crew in shop.crews
        for worker in crew.workers
        if worker.lead
    ]


def stays_of(uow: UnitOfWork, person: Person, around: datetime, found: Planned | None) -> list[Stay]:
    """Return where a person is from shortly before an instant on: small visits, and with `found` their crew's days."""
    stays = [
        Stay(
            job=booked.job,
            address=booked.address,
            drive_min=booked.drive_min,
            start=booked.visit.start,
            end=booked.visit.start + timedelta(minutes=booked.visit.minutes),
        )
        for booked in uow.small_visits(around - LONGEST)
        if booked.visit.who == person.name
    ]
    if found is not None and person.crew:
        first = to_wall(found.shop.zone, around).date()
        for day in days_from(first, LOOK_AHEAD_DAYS):
            stays += _crew_day(found, person, day)
    return stays


def windows_of(uow: UnitOfWork, person: Person, record: JobRecord, kind: VisitKind, now: datetime) -> Iterator[Window]:
    """Yield the stretches of the next four weeks in which a person works and the house may be entered."""
    shop, job = uow.shop(), record.job
    hours = job.site.elevator if kind is VisitKind.CARRY_IN and job.site.elevator else job.site.hours
    out = {away.day for away in uow.away() if away.worker == person.name and not away.to}
    crew = next((crew for crew in shop.crews if crew.name == person.crew), None)
    for day in days_from(to_wall(shop.zone, now).date(), LOOK_AHEAD_DAYS):
        if day in shop.holidays or day in out or (crew is not None and crew.off(day)):
            continue
        for opens, closes in house_windows(person.hours, shop.zone, day):
            there = to_wall(job.site.zone, opens).date()
            if there in job.blocked:
                continue
            house = [(opens, closes)] if hours is None else house_windows(hours, job.site.zone, there)
            for a, b in house:
                if max(a, opens) < min(b, closes):
                    yield max(a, opens), min(b, closes)


def house_windows(hours: WeekHours, zone: str, day: date) -> list[Window]:
    """Return the hours of a day as instants."""
    return [(to_utc(zone, day, span.start), to_utc(zone, day, span.end)) for span in hours.on(day)]


def outside(shop: Shop, person: Person, zone: str, visit: SmallVisit) -> str:
    """Return a sentence if a visit lies outside a person's own hours, which is theirs to agree; empty if inside."""
    day = to_wall(shop.zone, visit.start).date()
    end = visit.start + timedelta(minutes=visit.minutes)
    if any(a <= visit.start and end <= b for a, b in house_windows(person.hours, shop.zone, day)):
        return ""
    return (
        f"{hour_words(to_wall(zone, visit.start))} is outside the hours of {person.name} that day: agree it with them."
    )


def _lead(shop: Shop) -> Person:
    assert shop.lead is not None
    name = shop.lead.name
    crew = next((crew.name for crew in shop.crews if any(w.name == name for w in crew.workers)), "")
    return Person(name=name, hours=shop.lead.hours, crew=crew)


def _crew_day(found: Planned, person: Person, day: date) -> Iterator[Stay]:
    """Yield where a person's crew of that day is planned: their own, or the one they are lent to."""
    for crew in found.shop.crews:
        if not any(worker.name == person.name for worker in found.present(crew.name, day)):
            continue
        for stretch in found.day(crew.name, day):
            job = stretch.record.job
            yield Stay(
                job=job.number,
                address=job.site.address,
                drive_min=job.site.drive_min,
                start=stretch.start,
                end=stretch.end,
            )
