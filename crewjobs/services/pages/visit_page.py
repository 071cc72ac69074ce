"""The page of one person's small visits: the lead's day, or what a person of a crew does beside the crew's page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.agreed import SmallVisit, VisitKind
from crewjobs.domain.crew import Shop
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import day_words, upper
from crewjobs.engines.estimating.expand import cautions_for
from crewjobs.engines.planning.stays import Stay, drive_between
from crewjobs.paper.directions import whole
from crewjobs.paper.model import (
    Caution,
    DayPlan,
    Drive,
    EntryNote,
    House,
    HouseFact,
    LeadOnly,
    LoadItem,
    Sheet,
)
from crewjobs.services.findings.air import cautions_told
from crewjobs.services.findings.found_told import house_cautions, site_found, unsettled_words
from crewjobs.services.findings.house_told import elsewhere_cautions, elsewhere_words
from crewjobs.services.findings.same_house import found_in_their_houses
from crewjobs.services.jobs.site_facts import site_facts
from crewjobs.services.jobs.written import WRITTEN, written_facts
from crewjobs.services.people.people import Person as Somebody
from crewjobs.services.people.people import find_person
from crewjobs.services.people.visit_looks import TAKE, looks, tasks_of
from crewjobs.services.waiting.held_work import owed_to
from crewjobs.services.weeks.visits import Planned

if TYPE_CHECKING:
    from crewjobs.storage.jobs import BookedVisit
    from crewjobs.storage.unit_of_work import UnitOfWork


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """A small visit with its house; `others` are the other jobs of the house, `end` is UTC."""

    record: JobRecord
    visit: SmallVisit
    others: tuple[JobRecord, ...] = ()

    @property
    def end(self) -> datetime:
        """Return when it ends."""
        return self.visit.start + timedelta(minutes=self.visit.minutes)

    @property
    def stay(self) -> Stay:
        """Return where the person is meanwhile."""
        job = self.record.job
        return Stay(
            job=job.number,
            address=job.site.address,
            drive_min=job.site.drive_min,
            start=self.visit.start,
            end=self.end,
        )


def who_visits(uow: UnitOfWork, shop: Shop, day: date) -> tuple[str, ...]:
    """Return who has a small visit to make on a date of the shop, the shop's lead first, then by the clock."""
    names = list(dict.fromkeys(one.visit.who for one in _booked(uow, shop, day)))
    lead = shop.lead.name if shop.lead else ""
    return tuple(sorted(names, key=lambda name: name != lead))


def visit_page(
    uow: UnitOfWork,
    found: Planned | None,
    catalogue: Catalogue,
    now: datetime,
    day: date,
    who: str,
    *,
    lead_copy: bool,
    paper: str,
) -> DayPlan:
    """Return the page of a person's small visits on a date of the shop; without houses where there is none.

    `found` is the plan in force with the houses of its jobs, None where nothing is planned yet.

    Raises:
        Refused: nobody has that name.
    """
    shop = uow.shop()
    person = find_person(shop, who)
    calls = _calls(uow, found, [one for one in _booked(uow, shop, day) if one.visit.who == person.name])
    drives = tuple(_drives(shop, calls, _with_crew(found, person, day)))
    return DayPlan(
        shop_name=shop.name,
        shop_phone=shop.phone,
        crew_name=person.name,
        one_person=True,
        people=(),
        day=day,
        sheet=Sheet(
            name=f"{person.name} {day_words(day)}",
            plan=found.plan.number if found else 0,
            printed_at=to_wall(shop.zone, now).replace(tzinfo=None),
        ),
        paper="a4" if (paper or shop.paper) == "a4" else "letter",
        start=drives[0].start if drives else None,
        start_place=drives[0].what.partition(" to ")[0].lower() if drives else "",
        back_by=drives[-1].end if drives else None,
        drives=drives,
        notes=(*_gone(shop, calls, day, now), *_notes(uow, found, person, calls, day, now)),
        load=tuple(_load(calls)),
        cautions=_cautions(calls, catalogue, now),
        houses=tuple(_house(shop, call, number, catalogue, now) for number, call in enumerate(calls, start=1)),
        lead_only=_lead_only(calls) if lead_copy else None,
    )


def _booked(uow: UnitOfWork, shop: Shop, day: date) -> list[BookedVisit]:
    """Return the small visits still to be made on a date of the shop, by their start."""
    return [
        one
        for one in uow.small_visits(to_utc(shop.zone, day, 0))
        if one.visit.done_at is None and to_wall(shop.zone, one.visit.start).date() == day
    ]


def _calls(uow: UnitOfWork, found: Planned | None, booked: Sequence[BookedVisit]) -> list[Call]:
    """Return small visits with their houses; a finished one's is not among the live jobs of the plan, and is read."""
    live = found.records if found else {}
    records = {one.job: live.get(one.job) or uow.job(one.job) for one in booked}
    over = {number: record for number, record in records.items() if number not in live}
    others = {**(found.others if found else {}), **found_in_their_houses(uow, over)}
    return [Call(record=records[one.job], visit=one.visit, others=others.get(one.job, ())) for one in booked]


def _with_crew(found: Planned | None, person: Somebody, day: date) -> list[Stay]:
    """Return where the crew a person is with that day works."""
    if found is None:
        return []
    stays = []
    for crew in found.shop.crews:
        if any(worker.name == person.name for worker in found.present(crew.name, day)):
            for stretch in found.day(crew.name, day):
                site, job = stretch.record.job.site, stretch.record.job.number
                start, end = stretch.start, stretch.end
                stays.append(Stay(job=job, address=site.address, drive_min=site.drive_min, start=start, end=end))
    return stays


def _drives(shop: Shop, calls: Sequence[Call], crew: Sequence[Stay]) -> Iterator[Drive]:
    """Yield the legs to and from small visits: from the shop or the crew's house, between them, back again."""
    names = {id(stay): f"job {stay.job}" for stay in crew}
    own = [call.stay for call in calls]
    names |= {id(stay): f"House {number}" for number, stay in enumerate(own, start=1)}
    for place, stay in enumerate(own):
        before = [other for other in crew if other.start < stay.start]
        earlier = own[place - 1] if place else None
        last = max(before, key=lambda other: other.start) if before else None
        if earlier is not None and (last is None or last.end < stay.start):
            last = earlier if last is None or earlier.start > last.start else last
        leg = drive_between(last, stay) if last else timedelta(minutes=stay.drive_min)
        if leg:
            since = max(stay.start - leg, earlier.end) if last is earlier and earlier else stay.start - leg
            origin = upper(names[id(last)]) if last else "Shop"
            yield Drive(start=_wall(shop, since), end=_wall(shop, since + leg), what=f"{origin} to {names[id(stay)]}")
        following = own[place + 1] if place + 1 < len(own) else None
        after = [other for other in crew if other.end > stay.end]
        back = min(after, key=lambda other: other.start) if after else None
        if following is not None and (back is None or following.start <= max(back.start, stay.end)):
            continue  # the leg there is the next visit's own
        leg = drive_between(stay, back) if back else timedelta(minutes=stay.drive_min)
        if leg and (following is None or back is not None):
            goal = names[id(back)] if back else "shop"
            yield Drive(
                start=_wall(shop, stay.end), end=_wall(shop, stay.end + leg), what=f"{names[id(stay)]} to {goal}"
            )


def _wall(shop: Shop, instant: datetime) -> time:
    return to_wall(shop.zone, instant).time().replace(tzinfo=None)


def _gone(shop: Shop, calls: Sequence[Call], day: date, now: datetime) -> tuple[str, ...]:
    """Return what the page of a day gone by tells first: what was made that day is not on it."""
    if not calls or day >= to_wall(shop.zone, now).date():
        return ()
    is_are = "this visit is" if len(calls) == 1 else "these visits are"
    return (f"This day has gone by: {is_are} not recorded as made; times are as they were planned.",)


def _notes(
    uow: UnitOfWork, found: Planned | None, person: Somebody, calls: Sequence[Call], day: date, now: datetime
) -> Iterator[str]:
    """Yield whether the person is out that day after all, and where their crew works beside the visits."""
    zone = uow.shop().zone
    for away in uow.away():
        if calls and (away.worker, away.day, away.to) == (person.name, day, ""):
            why = f" ({away.why})" if away.why else ""
            when = "that day" if day < to_wall(zone, now).date() else "today"
            yield f"{person.name} is out {when}{why}: these visits need a new time."
    for stay in _with_crew(found, person, day):
        span = f"{to_wall(zone, stay.start):%H:%M} to {to_wall(zone, stay.end):%H:%M}"
        yield f"{span} with the crew at job {stay.job}, {whole(stay.address)}: see the crew's page."
    if not calls:
        yield "No small visit is planned for this day."


def _load(calls: Sequence[Call]) -> Iterator[LoadItem]:
    houses: dict[str, list[int]] = {}
    for number, call in enumerate(calls, start=1):
        for thing in TAKE[call.visit.kind]:
            houses.setdefault(thing, []).append(number)
    for thing, numbers in houses.items():
        everywhere = len(numbers) == len(calls)
        yield LoadItem(group="tools", quantity="", what=upper(thing), houses=() if everywhere else tuple(numbers))


def _cautions(calls: Sequence[Call], catalogue: Catalogue, now: datetime) -> tuple[Caution, ...]:
    found: dict[tuple[int, str, str], list[int]] = {}
    for number, call in enumerate(calls, start=1):
        for task in tasks_of(call.record, call.visit.kind):
            for caution in cautions_told(call.record, cautions_for(call.record.job, task, catalogue), now):
                at = found.setdefault((caution.order, caution.key, caution.said), [])
                at += [] if number in at else [number]
        for caution in (
            *house_cautions(call.record, catalogue, now),
            *elsewhere_cautions(call.record, call.others, catalogue, now),
        ):
            at = found.setdefault((caution.order, caution.key, caution.said), [])
            at += [] if number in at else [number]
    return tuple(
        Caution(text=text, houses=tuple(at) if len(at) < len(calls) else ())
        for (_, _, text), at in sorted(found.items())
    )


def _house(shop: Shop, call: Call, number: int, catalogue: Catalogue, now: datetime) -> House:
    job, visit = call.record.job, call.visit
    why = (HouseFact(label="Why", text=visit.why),) if visit.why and visit.kind is not VisitKind.CALLBACK else ()
    return House(
        number=number,
        job=job.number,
        customer=job.customer.name,
        address=job.site.address,
        phone=job.customer.phone,
        work=f"{upper(visit.kind.value)}: {job.title}",
        arrive=_wall(shop, visit.start),
        leave=_wall(shop, call.end),
        facts=(
            *why,
            *(HouseFact(label=label, text=text) for label, text in site_facts(call.record, now, visit.start)),
            *(HouseFact(label=WRITTEN, text=text) for text in written_facts(call.record, now)),
        ),
        owed=owed_to(call.record, tasks_of(call.record, visit.kind), now),
        found=tuple(_found(call, catalogue, now, shop.units)),
        tasks=looks(call.record, visit, catalogue, shop.units, now),
        asks_hours=False,
    )


def _found(call: Call, catalogue: Catalogue, now: datetime, units: UnitSystem) -> Iterator[str]:
    """Yield what was found and holds work there, or, in a house in which no work is left, is not settled; also by another of its jobs."""
    if call.record.job.state in LIVE:
        yield from site_found(call.record, catalogue, now, units)
    else:
        yield from unsettled_words(call.record, now)
    yield from elsewhere_words(call.record, call.others, now)


def _lead_only(calls: Sequence[Call]) -> LeadOnly:
    notes = ((number, call.record.job.site.entry_notes) for number, call in enumerate(calls, start=1))
    return LeadOnly(entry_notes=tuple(EntryNote(house=number, text=text) for number, text in notes if text))
