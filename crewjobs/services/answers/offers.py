"""The morning's offers: which ready work fits a crew that cannot work where it was sent.

Ready is what nothing holds now, and what follows it in the same visit without a wait. It fits if the crew lays such
floors with the people it has today and is done before it must drive back. A house that is still closed is not opened
for a filler unless the plan brings all of it to an end, nor is an only toilet taken out that does not come back the
same visit; what goes by an elevator waits for the hours it is booked for.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Crew, Shop, Worker
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed
from crewjobs.engines.planning.blocks import (
    OPENING_PHASES,
    blocks_of,
    by_elevator,
    holds_cards,
    labor_minutes,
    open_links,
    opened,
)
from crewjobs.engines.planning.calendars import SLOT, Calendar, axis_from, crew_days, site_calendar, site_windows
from crewjobs.engines.planning.layout import TaskSpan, lay_out, makespan
from crewjobs.engines.planning.paces import BOOK, Paces
from crewjobs.engines.planning.problem import Block
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.engines.planning.subs import labor_with, manned
from crewjobs.engines.readiness.hold import HoldKind
from crewjobs.engines.readiness.holds import holds
from crewjobs.engines.readiness.house import is_looking
from crewjobs.services.clock import read_from
from crewjobs.services.findings.house_told import in_short
from crewjobs.services.findings.same_house import found_in_their_houses
from crewjobs.services.rows import OfferRow
from crewjobs.services.set_back import plans_from
from crewjobs.services.weeks.at_house import at_house, on_its_way_back
from crewjobs.services.weeks.days_done import DaysDone
from crewjobs.services.weeks.planning_paces import planning_paces
from crewjobs.services.weeks.toilets import needed_by_night, resets
from crewjobs.services.weeks.visits import Planned, planned, work_words
from crewjobs.services.wording import hours_words, no_crew

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

LOADING: Final = timedelta(minutes=15)
"""What fetching from the shop takes beside the drive; common practice, no source."""
CRUMB_MIN: Final = 60
"""Labor minutes below which work at another house is a crumb, hardly worth the drive; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Morning:
    """Who stands where when: the crew with the people it has that day, what is on its truck, and how quick it is.

    `stranded` is the job at whose house it is and cannot work, `house` the one it is at, be it that or another; None at the shop,
    or on its way `back` there: until when (UTC).
    """

    shop: Shop
    crew: Crew
    workers: tuple[Worker, ...]
    at: datetime
    stranded: JobRecord | None
    house: JobRecord | None
    found: Planned | None
    truck: frozenset[str]
    paces: Paces = BOOK
    back: datetime | None = None

    @property
    def day(self) -> date:
        """Return the shop's date."""
        return to_wall(self.shop.zone, self.at).date()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Visit:
    """Work that fits at one house. Instants are UTC; `whole` counts the blocks that are done to their end, `unsettled` says what was found there."""

    record: JobRecord
    tasks: tuple[Task, ...]
    arrive: datetime
    leave: datetime
    drive: timedelta
    fetch: tuple[str, ...]
    whole: int
    tail: int
    unsettled: str = ""

    @property
    def labor(self) -> int:
        """Return the labor minutes of its tasks."""
        return sum(labor_minutes(task) for task in self.tasks)

    @property
    def rank(self) -> tuple[object, ...]:
        """Return its place, the smallest best: whole blocks, then promised soonest, then the longest way to go."""
        crumbs = self.whole == 0 or self.labor < CRUMB_MIN
        return crumbs, self.record.job.promised or date.max, -self.tail, self.record.job.number


def offers(
    uow: UnitOfWork, catalogue: Catalogue, now: datetime, crew: str, *, at: str = "", not_at: int | None = None
) -> tuple[OfferRow, ...]:
    """Return ready work that fits a crew from a moment (as typed, empty: when a plan made now begins) to its end of day,
    best first.

    `not_at` is the job at whose house the crew stands and cannot work; without it that of its last dry run of the day,
    else the crew is where it went by its plan or recorded something (`at_house`), else at the shop.

    Raises:
        Refused: no such crew or job, or not a moment.
    """
    morning = morning_of(uow, catalogue, looked_from(uow, at, now), crew, not_at)
    return tuple(row_of(visit, morning) for visit in visits(uow, morning, catalogue))


def looked_from(uow: UnitOfWork, at: str, now: datetime) -> datetime:
    """Return from when offers are looked for, as typed; empty means now, and never before what is recorded last.

    Raises:
        Refused: not a moment, or one gone by.
    """
    return read_from(at, uow.shop().zone, now) if at.strip() else plans_from(uow, now)


def _stands_at(uow: UnitOfWork, shop: Shop, crew: str, at: datetime) -> int | None:
    """Return the job whose house the crew was sent to for nothing that day, None where it was not."""
    day = to_wall(shop.zone, at).date()
    runs = [
        (run.at, record.job.number)
        for record in uow.live_jobs()
        for run in record.dry_runs
        if run.crew == crew and run.at <= at and to_wall(shop.zone, run.at).date() == day
    ]
    return max(runs)[1] if runs else None


def morning_of(uow: UnitOfWork, catalogue: Catalogue, at: datetime, crew: str, not_at: int | None) -> Morning:
    away = uow.away()
    shop = with_parts(uow.shop(), away)
    chosen = {one.name.casefold(): one for one in shop.crews}.get(crew.strip().casefold())
    if chosen is None:
        raise Refused(no_crew(crew, shop))
    day = to_wall(shop.zone, at).date()
    not_at = not_at if not_at is not None else _stands_at(uow, shop, chosen.name, at)
    found = planned(uow)
    on_truck = {name.casefold() for name in (*chosen.truck, *catalogue.bag)}
    days = DaysDone(uow, found, day, day, at) if found else None
    of_day = [*found.day(chosen.name, day)] if found else []
    if days is not None:  # what was loaded this morning for the day as planned then; a plan made since has less of it
        of_day += [stretch for _, _, stretches in [*days.by_plans(chosen.name, day)][:1] for stretch in stretches]
    for stretch in of_day:
        for task in stretch.tasks:
            on_truck.update(name.casefold() for name in _load(task, catalogue))
    stranded = uow.job(not_at) if not_at is not None else None
    there = at_house(found, days, chosen.name, at) if found and days is not None and stranded is None else None
    return Morning(
        shop=shop,
        crew=chosen,
        workers=present(shop, away, chosen.name, day),
        at=at,
        stranded=stranded,
        house=uow.job(there.job) if there is not None else stranded,
        found=found,
        truck=frozenset(on_truck),
        paces=planning_paces(uow, uow.shop(), away, uow.live_jobs(), at),
        back=on_its_way_back(found, days, chosen.name, at)
        if found and days is not None and there is None and stranded is None
        else None,
    )


def visits(uow: UnitOfWork, morning: Morning, catalogue: Catalogue) -> list[_Visit]:
    if not morning.workers:
        return []
    pinned = frozenset((pin.job, pin.task) for pin in uow.pins() if pin.crew != morning.crew.name)
    found = []
    for record in uow.live_jobs():
        other = morning.stranded is None or record.job.number != morning.stranded.job.number
        if record.job.state is JobState.BOOKED and other:
            visit = _visit(record, morning, catalogue, pinned)
            if visit is not None:
                found.append(visit)
    others = found_in_their_houses(uow, {visit.record.job.number: visit.record for visit in found})
    known = (
        replace(one, unsettled=in_short(one.record, others.get(one.record.job.number, ()), morning.at)) for one in found
    )
    return sorted(known, key=lambda visit: visit.rank)


def _visit(
    record: JobRecord, morning: Morning, catalogue: Catalogue, pinned: frozenset[tuple[int, int]]
) -> _Visit | None:
    """Return what fits at a house; what must be fetched from the shop counts with its drive and loading."""
    taken = pinned | with_others(record, morning)
    found = chains(record, morning, taken)
    needed = [task for block in found for task in block]
    fetch = tuple(dict.fromkeys(name for task in needed for name in _missing(task, morning, catalogue)))
    way = way_to(record, morning)
    if fetch and not way:
        way = timedelta(minutes=2 * record.job.site.drive_min)  # from the house to the shop and back
    arrive = max(morning.at, morning.back or morning.at) + way + (LOADING if fetch else timedelta())
    calendar, origin = calendar_at(record, morning, arrive)
    fits, whole = fitting(record, found, morning, calendar.total * (SLOT // timedelta(minutes=1)))
    if not fits:
        return None
    minutes = makespan(_laid(record, fits, morning))
    slots = -(-minutes // (SLOT // timedelta(minutes=1)))
    windows = calendar.windows_from(calendar.slot(0), slots)
    return _Visit(
        record=record,
        tasks=tuple(fits),
        arrive=origin + windows[0][0] * SLOT,
        leave=origin + windows[-1][1] * SLOT,
        drive=way,
        fetch=tuple(dict.fromkeys(name for task in fits for name in _missing(task, morning, catalogue))),
        whole=whole,
        tail=sum(labor_minutes(task) for task in record.tasks if task.open),
    )


def way_to(record: JobRecord, morning: Morning) -> timedelta:
    """Return the drive to a house: from the shop, or by way of it, since no minutes between two houses are kept.

    None to the house the crew is at.
    """
    if morning.house is None:
        return timedelta(minutes=record.job.site.drive_min)
    here, there = morning.house.job.site, record.job.site
    return timedelta() if here.address == there.address else timedelta(minutes=here.drive_min + there.drive_min)


def calendar_at(record: JobRecord, morning: Morning, arrive: datetime) -> tuple[Calendar, datetime]:
    """Return when the crew can work at a house from its arrival to the end of its day, and the instant of slot 0."""
    axis, site = axis_from(arrive, 2), record.job.site
    days = tuple(one for one in crew_days(axis, morning.shop, morning.crew) if one[0] == morning.day)
    return site_calendar(axis, days, site, site_windows(axis, site, record.job.blocked)), axis.origin


def with_others(record: JobRecord, morning: Morning) -> set[tuple[int, int]]:
    """Return the tasks another crew is on: begun by it, or planned for it that same day."""
    number, name = record.job.number, morning.crew.name
    taken = {(number, task.number) for task in record.tasks if task.open and task.started_at and task.crew != name}
    for placement in morning.found.plan.placements if morning.found else ():
        days = {to_wall(morning.shop.zone, moment).date() for moment in (placement.start, placement.end)}
        if placement.key.job == number and placement.crew != name and min(days) <= morning.day <= max(days):
            taken |= {(number, task) for task in placement.tasks}
    return taken


def chains(
    record: JobRecord, morning: Morning, taken: Collection[tuple[int, int]], *, anybody: bool = False
) -> list[tuple[Task, ...]]:
    """Return the blocks, cut to what is ready now or follows in the same visit, in working order.

    With `anybody` also those that the crew's people or skills are not enough for.
    """
    number = record.job.number
    blocks, _ = blocks_of(record, [morning.crew], begun={}, earliest={}, impossible={})
    ready: set[int] = set()
    waits = {link.after for link in record.links if link.wait_min and record.task(link.before).open}
    found = []
    for block in blocks:
        if not anybody and not _able(block, morning):
            continue
        kept = []
        for task in block.tasks:
            stopped = holds(record, task, morning.at)
            follows = all(hold.kind is HoldKind.BEFORE and hold.task in ready for hold in stopped)
            mine = (number, task.number) not in taken and not by_elevator(record, task)
            if follows and mine and not (stopped and task.number in waits) and _may_open(record, task, morning):
                ready.add(task.number)
                kept.append(task)
        if kept:
            found.append(tuple(kept))
    return found


def _able(block: Block, morning: Morning) -> bool:
    cards = frozenset(task.card for task in block.tasks if task.card)
    enough = block.least_people <= len(morning.workers) and holds_cards(morning.workers, cards)
    return enough and block.skills <= morning.crew.skills


def _may_open(record: JobRecord, task: Task, morning: Morning) -> bool:
    """Return whether a task is at a house that is open or that the plan opens, and brings to its end where the task tears it open.

    Of one that the plan leaves shut only what it places there is done all the same: what is carried in and what that needs; and somebody may look.
    """
    if opened(record):
        return True
    left = morning.found.plan.left_out if morning.found is not None else ()
    if not is_looking(task) and any(one.job == record.job.number and task.number in one.tasks for one in left):
        return False
    if task.stage == 0 or task.phase not in OPENING_PHASES:
        return True
    return morning.found is not None and morning.found.finish(record) is not None


def fitting(
    record: JobRecord, found: Sequence[Sequence[Task]], morning: Morning, minutes: int
) -> tuple[list[Task], int]:
    """Return the tasks that are done in so many minutes, whole blocks first, and how many blocks are whole."""
    fits: list[Task] = []
    whole = 0
    inside: set[int] = set()

    def takes(more: Sequence[Task]) -> bool:
        wanted = [*fits, *more]
        return _no_toilet_left_out(record, wanted) and makespan(_laid(record, wanted, morning)) <= minutes

    for chain in found:
        doable = [task for task in chain if _ahead(record, task) <= inside | {one.number for one in chain}]
        if len(doable) == len(chain) and takes(chain):
            fits += chain
            whole += 1
        else:
            for task in doable:
                if _ahead(record, task) <= inside | {one.number for one in fits} and takes([task]):
                    fits.append(task)
        inside = {task.number for task in fits}
    return fits, whole


def _ahead(record: JobRecord, task: Task) -> set[int]:
    """Return the open tasks that come before one."""
    return {link.before for link in record.links if link.after == task.number and record.task(link.before).open}


def _no_toilet_left_out(record: JobRecord, tasks: Sequence[Task]) -> bool:
    """Return whether no only toilet of a house people live in stays out after the visit, without a word for the night."""
    pairs = resets(record) if needed_by_night(record) else ()
    if not pairs:
        return True
    numbers = {task.number for task in tasks}
    there = [
        (one.out.open and one.out.number not in numbers) or not one.back.open or one.back.number in numbers
        for one in pairs
    ]
    return any(there) or not any(one.out.number in numbers for one in pairs)


def _laid(record: JobRecord, tasks: Sequence[Task], morning: Morning) -> tuple[TaskSpan, ...]:
    numbers = [task.number for task in tasks]
    inner = [(link.before, link.after) for link in open_links(record, {}, among=numbers)]
    labor = [labor_with(morning.crew, record.job, task, morning.paces) for task in tasks]
    return lay_out(manned(morning.crew, tasks), labor, inner, len(morning.workers))


def _load(task: Task, catalogue: Catalogue) -> tuple[str, ...]:
    template = catalogue.template(task.key.template)
    return template.load if template else ()


def _missing(task: Task, morning: Morning, catalogue: Catalogue) -> Iterator[str]:
    return (name for name in _load(task, catalogue) if name.casefold() not in morning.truck)


def row_of(visit: _Visit, morning: Morning) -> OfferRow:
    job, zone = visit.record.job, morning.shop.zone
    return OfferRow(
        crew=morning.crew.name,
        job=job.number,
        title=job.title,
        tasks=tuple(task.number for task in visit.tasks),
        what=work_words(visit.tasks),
        hours=visit.labor / 60,
        people=len(morning.workers),
        arrive=to_wall(zone, visit.arrive),
        leave=to_wall(zone, visit.leave),
        fetch=visit.fetch,
        why=_why(visit, morning),
    )


def _why(visit: _Visit, morning: Morning) -> str:
    blocks = f"{visit.whole} block{'' if visit.whole == 1 else 's'} to the end" if visit.whole else "a part of a block"
    promised = visit.record.job.promised
    words = [blocks, f"promised {day_words(promised)}" if promised else "no day promised"]
    drive = f"{hours_words(visit.drive)} drive" if visit.drive else "no drive"
    back = f", back at the shop {to_wall(morning.shop.zone, morning.back):%H:%M}" if morning.back else ""
    words.append(f"{drive}{back}")
    if visit.fetch:
        loading = hours_words(LOADING)
        words.append(f"by the shop for {listed(list(visit.fetch), most=5)} ({loading} to load)")
    else:
        words.append("all it needs is on the truck")
    return "; ".join(filter(None, [", ".join([*words, *_beside(visit, morning)]), visit.unsettled]))


def _beside(visit: _Visit, morning: Morning) -> Iterator[str]:
    """Yield the crews that are planned at the house at the same hours: two crews may be in each other's way."""
    found, zone = morning.found, morning.shop.zone
    if found is None:
        return
    for crew in found.shop.crews:
        if crew.name == morning.crew.name:
            continue
        for stretch in found.day(crew.name, morning.day):
            same = stretch.record.job.number == visit.record.job.number
            if same and stretch.start < visit.leave and visit.arrive < stretch.end:
                start, end = to_wall(zone, stretch.start), to_wall(zone, stretch.end)
                yield f"{crew.name} is planned there {start:%H:%M}-{end:%H:%M}"
