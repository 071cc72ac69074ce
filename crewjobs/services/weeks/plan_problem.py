"""What the planner looks at, from what is stored and known at an instant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Pin
from crewjobs.domain.tasks import ThreePoint
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.engines.planning.blocks import begun_tasks
from crewjobs.engines.planning.paces import Paces
from crewjobs.engines.planning.problem import Been, Earliest, Errand, PlanProblem
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.readiness.clocks import wait_ends
from crewjobs.engines.readiness.found import held_by, waited_for_its_work
from crewjobs.engines.readiness.found_first import after_found_work
from crewjobs.engines.readiness.holds import FactKind, Known, cannot_be_planned, known_instants
from crewjobs.engines.readiness.house import HouseState, house
from crewjobs.engines.readiness.lots import is_carry_in
from crewjobs.engines.readiness.material_holds import laid_without_the_rest
from crewjobs.services.jobs.known import WOOD_READING
from crewjobs.services.set_back import plans_from
from crewjobs.services.weeks.been_today import Seen, been_today, ended_since, left_ended
from crewjobs.services.weeks.lead_closed import vents_after_check
from crewjobs.services.weeks.pins import void
from crewjobs.services.weeks.plan_faults import HORIZON_DAYS
from crewjobs.services.weeks.planning_paces import planning_paces
from crewjobs.services.weeks.presumed import Site, as_planned_today
from crewjobs.services.weeks.shared_tools import tool_needs
from crewjobs.services.weeks.toilets import back_the_same_day, with_one_in
from crewjobs.services.wording import told_of

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.domain.plan import Placement, WeekPlan
    from crewjobs.storage.unit_of_work import UnitOfWork

NIGHT_MIN = 12 * 60
"""Longer than any rest inside a working day, shorter than from one day's end to the next day's start."""

TURNED_AWAY: Final = "the house turned a crew away today"

Facts = Mapping[int, Sequence[Known]]
Barred = Mapping[int, str]


def problem_of(
    uow: UnitOfWork, now: datetime, supposed: Sequence[JobRecord] | None = None, *, pins: Sequence[Pin] = ()
) -> PlanProblem:
    """Return what the planner looks at, from what is stored and known at an instant.

    `supposed` are the jobs it looks at in place of those stored, `pins` are looked at as if they were stored. Where the
    clock stands a little before the last record, that is the instant: see `set_back.plans_from`.
    """
    now = plans_from(uow, now)
    shop, away = uow.shop(), uow.away()
    stored = uow.live_jobs() if supposed is None else supposed
    paces = planning_paces(uow, shop, away, stored, now)
    records = tuple(
        _as_stopped(
            with_one_in(after_found_work(_read_the_day_before(_from_the_rooms(vents_after_check(record), now)), now)),
            shop,
            now,
            paces,
        )
        for record in stored
    )
    plan = uow.latest_plan()
    stands: tuple[Placement, ...] = ()
    been: tuple[Been, ...] = ()
    errands = tuple(errands_of(uow, shop, now))
    pinned = {(pin.job, pin.task): pin for pin in (*uow.pins(), *pins)}
    pins = tuple(pin for _, pin in sorted(pinned.items()) if not void(pin, shop, away, now))
    if plan is not None:
        site = Site(shop=shop, away=away, now=now, errands=errands, pins=pins)
        plans = _of_today(uow, plan, site)
        records, stands = _by_the_plan(plans, records, site)
        ended = _ended_today(uow, plans, stored)
        told = ended_since(uow, _midnight(site)) if ended else {}
        been = (*been_today(stored, plans, site), *left_ended(ended, plans, shop.zone, now, told))
    earliest: dict[tuple[int, int], tuple[Earliest, ...]] = {}
    impossible: dict[tuple[int, int], str] = {}
    for record in records:
        number = record.job.number
        expected = _still_expected(record, now)
        for task, known in known_instants(expected, now).items():
            earliest[number, task] = tuple(_fact(fact) for fact in known)
        for task, runs in _after_what_runs(record, now):
            earliest[number, task] = (*earliest.get((number, task), ()), runs)
        for task, why in cannot_be_planned(expected, now).items():
            impossible[number, task] = told_of(record.job, why, shop.units)
        found = house(record, now)
        if found.state is HouseState.NOT_READY and _turned_away(record, shop, now):
            tomorrow = to_utc(shop.zone, to_wall(shop.zone, now).date() + timedelta(days=1), 0)
            since = max(found.until or tomorrow, tomorrow)
            still_open = [(number, one.number) for one in record.tasks if one.open]
            for key in still_open:  # nobody goes back today, for a reading or a look either
                if key not in impossible:
                    earliest[key] = (
                        *earliest.get(key, ()),
                        Earliest(at=since, reason=TURNED_AWAY, kind=FactKind.HOUSE),
                    )
    return PlanProblem(
        now=now,
        days=HORIZON_DAYS,
        shop=shop,
        jobs=records,
        earliest=earliest,
        impossible=impossible,
        pins=pins,
        drive={},
        previous=plan,
        stands=stands,
        been=been,
        away=away,
        errands=errands,
        same_day=tuple(toilet for record in records for toilet in back_the_same_day(record)),
        tools=tool_needs(uow, shop, records),
        paces=paces,
    )


def _of_today(uow: UnitOfWork, plan: WeekPlan, site: Site) -> list[WeekPlan]:
    """Return the plans in force today, oldest first; `plan` is the newest."""
    midnight = _midnight(site)
    if plan.made_at < midnight:
        return [plan]
    return [*(one for one in uow.plans_until(plan.made_at, back_to=midnight) if one.number < plan.number), plan]


def _midnight(site: Site) -> datetime:
    """Return when the shop's date began (UTC)."""
    return to_utc(site.shop.zone, to_wall(site.shop.zone, site.now).date(), 0)


def _ended_today(uow: UnitOfWork, plans: Sequence[WeekPlan], stored: Sequence[JobRecord]) -> list[JobRecord]:
    """Return the jobs that plans of today speak of and that are not among those looked at any more."""
    ended = {one.key.job for plan in plans for one in plan.placements} - {record.job.number for record in stored}
    return [uow.job(number) for number in sorted(ended.intersection(uow.job_numbers() if ended else ()))]


def _by_the_plan(
    plans: Sequence[WeekPlan], records: Sequence[JobRecord], site: Site
) -> tuple[tuple[JobRecord, ...], tuple[Placement, ...]]:
    """Return the jobs with today's work as far as it is by the plans of today, and the places of what is done of it by them."""
    now = site.now
    found: list[JobRecord] = []
    stands: list[Placement] = []
    shop = with_parts(site.shop, site.away)
    seen = Seen(shop, records, plans, to_wall(shop.zone, now).date(), now)
    for record in records:
        known, barred = known_instants(record, now), cannot_be_planned(record, now)

        def held(
            task: int, at: datetime, known: Facts = known, barred: Barred = barred, of: JobRecord = record
        ) -> bool:
            if any(task in held_by(of, one, at) or waited_for_its_work(of, one, task, at) for one in of.findings):
                return True
            return task in barred or any(fact.at > at for fact in known.get(task, ()))

        presumed, places = as_planned_today(record, plans, site, held, seen)
        found.append(presumed)
        stands += places
    return tuple(found), tuple(sorted(stands, key=lambda placed: (placed.start, placed.crew, placed.key)))


def _still_expected(record: JobRecord, now: datetime) -> JobRecord:
    """Return a job with what was promised for today, and is overdue by an hour or two, expected from now on.

    A truck or a laboratory's answer that is late in the day does not throw a job out of the plan: its work waits for it
    where it is. The day after it has no date any more, and somebody has to ask for a new one.
    """
    zone = record.job.site.zone
    today = to_wall(zone, now).date()

    def late(due: datetime | None) -> bool:
        return due is not None and due < now and to_wall(zone, due).date() == today

    job = record.job
    return replace(
        record,
        job=replace(
            job,
            orders=tuple(replace(order, due=now) if late(order.due) else order for order in job.orders),
            goods=tuple(replace(line, due=now) if late(line.due) else line for line in job.goods),
        ),
        new_dates=tuple(replace(word, due=now) if late(word.due) else word for word in record.new_dates),
        waiting_on=tuple(replace(one, promised=now) if late(one.promised) else one for one in record.waiting_on),
    )


def _after_what_runs(record: JobRecord, now: datetime) -> Iterator[tuple[int, Earliest]]:
    """Yield from when open tasks can begin that follow what is taken as done by its planned end, which is to come."""
    tasks = {task.number: task for task in record.tasks}
    for task in record.tasks:
        look, seen = [task.number] if task.open else [], {task.number}
        while look:
            number = look.pop()
            for link in record.links:
                before = tasks[link.before]
                if link.after != number:
                    continue
                if before.not_needed and link.before not in seen:
                    seen.add(link.before)
                    look.append(link.before)
                elif before.done_at is not None and before.done_at > now:
                    at = wait_ends(link, before.done_at) if link.wait_min else before.done_at
                    brief = f"{link.name.partition(' (')[0]} until" if link.wait_min and link.name else ""
                    brief = brief or f"'{before.title}' is done"
                    yield task.number, Earliest(at=at, reason=f"{brief} ({before.where})")


def _fact(known: Known) -> Earliest:
    return Earliest(at=known.at, reason=known.reason, kind=known.kind, of=known.of, since=known.since)


def _turned_away(record: JobRecord, shop: Shop, now: datetime) -> bool:
    today = to_wall(shop.zone, now).date()
    return any(run.at <= now and to_wall(shop.zone, run.at).date() == today for run in record.dry_runs)


def errands_of(uow: UnitOfWork, shop: Shop, now: datetime) -> Iterator[Errand]:
    """Yield who of the crews leaves for a small visit, from the drive there to the drive back."""
    crews = {worker.name: crew.name for crew in shop.crews for worker in crew.workers}
    for booked in uow.small_visits(now - timedelta(hours=12)):
        visit, drive = booked.visit, timedelta(minutes=booked.drive_min)
        if visit.who in crews and visit.done_at is None:
            end = visit.start + timedelta(minutes=visit.minutes) + drive
            yield Errand(crew=crews[visit.who], worker=visit.who, start=visit.start - drive, end=end)


def _from_the_rooms(record: JobRecord, now: datetime) -> JobRecord:
    """Let floors that the lead has laid from lots in the rooms go without the carry-in of what is still missing."""
    carried = {task.number for task in record.tasks if is_carry_in(task) and task.open}
    free = {task.number for task in record.tasks if task.open and laid_without_the_rest(record, task, now)}
    if not carried or not free:
        return record
    links = tuple(link for link in record.links if link.before not in carried or link.after not in free)
    return replace(record, links=links)


def _read_the_day_before(record: JobRecord) -> JobRecord:
    """Plan the boards' reading a working day before they are laid, so that somebody can still be called.

    Only the plan keeps the night between them: once the reading is ticked, nothing holds the laying.
    """
    readings = {task.number for task in record.tasks if task.key.template == WOOD_READING and task.open}
    laying = {task.number for task in record.tasks if task.needs_material is not None}
    if not readings:
        return record
    links = tuple(
        replace(
            link,
            wait_min=max(link.wait_min, NIGHT_MIN),
            name=link.name or "the night after the reading",
            most_min=None if link.most_min is None else max(link.most_min, link.wait_min, NIGHT_MIN),
        )
        if link.before in readings and link.after in laying
        else link
        for link in record.links
    )
    return replace(record, links=links)


def _as_stopped(record: JobRecord, shop: Shop, now: datetime, paces: Paces) -> JobRecord:
    """Plan what is left of begun work anew where nobody goes on with it now.

    That is all of a job whose house has been answered not ready, and whatever a finding holds. What is left is told in the
    book's minutes, since whoever goes on with it does so by its own pace.
    """
    if house(record, now).state is HouseState.NOT_READY:
        stopped = {task.number for task in record.tasks}
    else:
        stopped = {number for finding in record.findings for number in held_by(record, finding, now)}
    if not any(task.open and task.started_at is not None and task.number in stopped for task in record.tasks):
        return record
    left = {
        number: max(1.0, begun.labor / paces.of(record.task(number).crew, record.job.number, number))
        for number, begun in begun_tasks(record, shop, now, None, paces).items()
        if number in stopped
    }
    tasks = tuple(
        replace(task, started_at=None, estimate=ThreePoint(low=rest, likely=rest, high=rest))
        if task.open and (rest := left.get(task.number)) is not None
        else task
        for task in record.tasks
    )
    return replace(record, tasks=tasks)
