"""Planning the weeks ahead: the problem from what is stored, the plan kept as a new version, pins."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import BlockKey, Pin, WeekPlan
from crewjobs.domain.tasks import Task, ThreePoint
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.planning.blocks import begun_tasks
from crewjobs.engines.planning.problem import Earliest, Errand, PlanProblem
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.readiness.holds import FactKind, Known, cannot_be_planned, known_instants
from crewjobs.engines.readiness.house import HouseState, house
from crewjobs.engines.readiness.lots import is_carry_in
from crewjobs.engines.readiness.material_holds import laid_without_the_rest
from crewjobs.services.known import WOOD_READING
from crewjobs.services.plan_faults import HORIZON_DAYS, plan_faults, why_not_on
from crewjobs.services.rows import Done
from crewjobs.services.shared_tools import tool_needs
from crewjobs.services.telling import moved_words
from crewjobs.services.toilets import back_the_same_day, with_one_in
from crewjobs.services.wording import at_site, no_crew, task_words

if TYPE_CHECKING:
    from crewjobs.domain.crew import Away, Shop
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork

NIGHT_MIN = 12 * 60
"""Longer than any rest inside a working day, shorter than from one day's end to the next day's start."""

TURNED_AWAY: Final = "the house turned a crew away today"

Progress = Callable[[int, int, str], None]
Stop = Callable[[], bool]


def problem_of(uow: UnitOfWork, now: datetime, supposed: Sequence[JobRecord] | None = None) -> PlanProblem:
    """Return what the planner looks at, from what is stored and known at an instant.

    `supposed` are the jobs it looks at in place of those stored.
    """
    shop, away = uow.shop(), uow.away()
    records = tuple(
        _stopped_by_house(with_one_in(_read_the_day_before(_from_the_rooms(record, now))), shop, now)
        for record in (uow.live_jobs() if supposed is None else supposed)
    )
    earliest: dict[tuple[int, int], tuple[Earliest, ...]] = {}
    impossible: dict[tuple[int, int], str] = {}
    for record in records:
        number = record.job.number
        for task, known in known_instants(record, now).items():
            earliest[number, task] = tuple(_fact(fact) for fact in known)
        for task, why in cannot_be_planned(record, now).items():
            impossible[number, task] = why
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
        pins=tuple(pin for pin in uow.pins() if not _void(pin, shop, away, now)),
        drive={},
        previous=uow.latest_plan(),
        away=away,
        errands=tuple(_errands(uow, shop, now)),
        same_day=tuple(toilet for record in records if (toilet := back_the_same_day(record))),
        tools=tool_needs(uow, shop, records),
    )


def _fact(known: Known) -> Earliest:
    return Earliest(at=known.at, reason=known.reason, kind=known.kind, of=known.of, since=known.since)


def _turned_away(record: JobRecord, shop: Shop, now: datetime) -> bool:
    today = to_wall(shop.zone, now).date()
    return any(run.at <= now and to_wall(shop.zone, run.at).date() == today for run in record.dry_runs)


def _void(pin: Pin, shop: Shop, away: Sequence[Away], now: datetime) -> str:
    """Return why a pin no longer binds: its day has gone by, or nobody works under its name any more; else nothing."""
    if pin.day < to_wall(shop.zone, now).date():
        return "its day has gone by"
    if not any(crew.name == pin.crew for crew in with_parts(shop, away).crews):
        return "nobody works under that name"
    return ""


def _void_words(problem: PlanProblem, pins: Sequence[Pin]) -> Iterator[str]:
    """Yield which pins of open work no longer bind, and why: their work is planned like any other."""
    still = {(record.job.number, task.number) for record in problem.jobs for task in record.tasks if task.open}
    for pin in pins:
        why = _void(pin, problem.shop, problem.away, problem.now)
        if why and (pin.job, pin.task) in still:
            place = f"{pin.crew} on {day_words(pin.day)}"
            yield f"Job {pin.job}: task {pin.task} was pinned to {place}; {why}, it is planned like any other."


def _errands(uow: UnitOfWork, shop: Shop, now: datetime) -> Iterator[Errand]:
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


def _stopped_by_house(record: JobRecord, shop: Shop, now: datetime) -> JobRecord:
    """Plan what is left of begun work anew where the house has been answered not ready: nobody goes on there now."""
    if house(record, now).state is not HouseState.NOT_READY:
        return record
    left = {number: begun.labor for number, begun in begun_tasks(record, shop, now, None).items()}
    tasks = tuple(
        replace(task, started_at=None, estimate=ThreePoint(low=rest, likely=rest, high=rest))
        if task.open and (rest := left.get(task.number)) is not None
        else task
        for task in record.tasks
    )
    return replace(record, tasks=tasks)


def plan(
    database: Database, who: str, now: datetime, progress: Progress | None = None, stop: Stop | None = None
) -> Done:
    """Plan all booked jobs from now on and keep the plan as a new version; pins and work begun stay.

    The planning itself runs outside any transaction, so that ticks are not held up by it; a change made
    meanwhile shows as a stale plan, which the next planning mends.

    Raises:
        Refused: there is no shop, or planning was stopped.
    """
    from crewjobs.engines.planning.list_schedule import plan_week

    with database.reading() as uow:
        problem, based_on, pins = problem_of(uow, now), uow.last_change_number(), uow.pins()
    made = plan_week(problem, progress=progress, stop=stop)
    if stop is not None and stop():
        raise Refused("planning was stopped; the plan in force stays.")
    moved = moved_words(problem.shop, problem.away, problem.jobs, problem.previous, made)
    wrong = (*_void_words(problem, pins), *plan_faults(problem.jobs, problem.shop, now))
    return keep_plan(database, who, now, made, based_on, (*moved, *wrong, *_idle_words(problem, made)))


def keep_plan(
    database: Database, who: str, now: datetime, made: WeekPlan, based_on: int, moved: tuple[str, ...]
) -> Done:
    """Keep a plan as a new version in force; `moved` are sentences on what it moves."""
    with database.unit_of_work(who=who) as uow:
        number = uow.save_plan(replace(made, based_on=based_on))
        jobs, left = {p.key.job for p in made.placements}, {left.job for left in made.left_out}
        what = f"plan {number}: {_jobs(len(jobs))} planned, {len(left) or 'none'} left out in whole or part"
        what = what.removesuffix(" in whole or part") if not left else what
        change = uow.commit(what, at=now)
        zone = uow.shop().zone
    then = (*moved, *(f"Job {left.job}: {left.why}" for left in made.left_out))
    return Done(sentence=f"{upper(what)}, to {at_site(zone, made.until)}.", change=change, then=then)


def _idle_words(problem: PlanProblem, made: WeekPlan) -> Iterator[str]:
    """Yield which crews have nothing today, and which parts of crews nothing on their day, though there is work."""
    zone = problem.shop.zone
    today = to_wall(zone, problem.now).date()
    if not made.placements:
        return
    busy = {
        (placed.crew, day)
        for placed in made.placements
        for day in days_from(
            to_wall(zone, placed.start).date(),
            (to_wall(zone, placed.end).date() - to_wall(zone, placed.start).date()).days + 1,
        )
    }
    for crew in with_parts(problem.shop, problem.away).crews:
        for day in sorted(crew.only) or [today]:
            if (
                crew.sub
                or day < today
                or not crew.comes(day)
                or day in problem.shop.holidays
                or (crew.name, day) in busy
            ):
                continue
            spans = crew.hours.on(day)
            if day == today and (not spans or to_utc(zone, day, spans[-1].end) <= problem.now):
                continue
            name = f'"{crew.name}"' if " " in crew.name else crew.name
            yield (
                f"{crew.name} has no work on {day_words(day)}: `crewjobs offers {name}` says what is ready, "
                "`crewjobs pin` puts it into the plan."
            )


def _jobs(count: int) -> str:
    return f"{count} job{'' if count == 1 else 's'}"


def pin(uow: UnitOfWork, now: datetime, job: int, tasks: Sequence[int], crew: str, day: date) -> Done:
    """Keep the blocks that hold some tasks with a crew on a day; the next plan respects it or says why it cannot.

    Of several tasks (a visit), those that are done are passed over, and so are blocks that began on an
    earlier day and only go on in this visit, unless nothing else is left to pin.

    Raises:
        Refused: unknown job, task or crew, nothing open among the tasks, a day gone by, or one on which
            the crew does not work, the site is closed or the customer has blocked it.
    """
    record = uow.job(job)
    still = [task for task in (record.task(number) for number in dict.fromkeys(tasks)) if task.open]
    shop = uow.shop()
    working = with_parts(shop, uow.away())
    chosen = {known.name.casefold(): known for known in working.crews}.get(crew.strip().casefold())
    if chosen is None:
        raise Refused(no_crew(crew, working))
    if not still:
        raise Refused(
            f"nothing to pin: {listed([task_words(record.task(n)) for n in tasks])} of job {job} is done or not needed."
        )
    if record.job.state is not JobState.BOOKED:
        raise Refused(f"job {job} is {record.job.state.value}, not booked: nothing of it is planned.")
    if day < to_wall(shop.zone, now).date():
        raise Refused(f"{day_words(day)} has gone by: pin to today or later.")
    if fault := why_not_on(shop, chosen, record, day):
        raise Refused(fault)
    pinned = _one_a_block(still, job, uow.latest_plan(), shop.zone)
    for task in pinned:
        uow.save_pin(Pin(job=job, task=task.number, crew=chosen.name, day=day))
    what = f"job {job}: {listed([task_words(task) for task in pinned])} pinned to {chosen.name} on {day_words(day)}"
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=("Plan again to use it.",))


def _one_a_block(tasks: Sequence[Task], job: int, plan: WeekPlan | None, zone: str) -> list[Task]:
    """Return one task of each block, of blocks that begin in the visit; without a plan every task is its own."""
    if plan is None:
        return list(tasks)
    first = {number: p for p in plan.placements if p.key.job == job for number in p.tasks}
    blocks: dict[BlockKey | int, Task] = {}
    for task in tasks:
        placement = first.get(task.number)
        blocks.setdefault(placement.key if placement else task.number, task)
    days = {number: to_wall(zone, placement.start).date() for number, placement in first.items()}
    day = max((days[task.number] for task in tasks if task.number in days), default=None)
    begin = [task for task in blocks.values() if days.get(task.number, day) == day]
    return begin or list(blocks.values())


def unpin(uow: UnitOfWork, now: datetime, job: int, tasks: Sequence[int]) -> Done:
    """Let the planner move the blocks of some tasks again.

    Raises:
        Refused: unknown job or task, or none of them is pinned.
    """
    record = uow.job(job)
    asked = [record.task(number) for number in dict.fromkeys(tasks)]
    known = {pin.task for pin in uow.pins() if pin.job == job}
    pinned = [task for task in asked if task.number in known]
    if not pinned:
        raise Refused(f"{listed([task_words(task) for task in asked])} of job {job} is not pinned.")
    for task in pinned:
        uow.drop_pin(job, task.number)
    what = f"job {job}: {listed([task_words(task) for task in pinned])} no longer pinned"
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=("Plan again to use it.",))
