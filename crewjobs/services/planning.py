"""Planning the weeks ahead: the problem from what is stored, the plan kept as a new version, pins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobState
from crewjobs.domain.plan import Pin, WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from crewjobs.engines.readiness.holds import cannot_be_planned, known_instants
from crewjobs.services.rows import Done
from crewjobs.services.wording import at_site, day_words, task_words, upper

if TYPE_CHECKING:
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork

HORIZON_DAYS = 28
"""Four weeks: long enough for the slowest acclimation and cure after the next deliveries."""

Progress = Callable[[int, int, str], None]
Stop = Callable[[], bool]


def problem_of(uow: UnitOfWork, now: datetime) -> PlanProblem:
    """Return what the planner looks at, from what is stored and known at an instant."""
    records = uow.live_jobs()
    earliest: dict[tuple[int, int], tuple[Earliest, ...]] = {}
    impossible: dict[tuple[int, int], str] = {}
    for record in records:
        number = record.job.number
        for task, known in known_instants(record, now).items():
            earliest[number, task] = tuple(Earliest(at=fact.at, reason=fact.reason) for fact in known)
        for task, why in cannot_be_planned(record, now).items():
            impossible[number, task] = why
    return PlanProblem(
        now=now,
        days=HORIZON_DAYS,
        shop=uow.shop(),
        jobs=records,
        earliest=earliest,
        impossible=impossible,
        pins=uow.pins(),
        drive={},
        previous=uow.latest_plan(),
    )


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
        problem, based_on = problem_of(uow, now), uow.last_change_number()
    made = plan_week(problem, progress=progress, stop=stop)
    if stop is not None and stop():
        raise Refused("planning was stopped; the plan in force stays.")
    return _keep(database, who, now, made, based_on)


def _keep(database: Database, who: str, now: datetime, made: WeekPlan, based_on: int) -> Done:
    with database.unit_of_work(who=who) as uow:
        number = uow.save_plan(replace(made, based_on=based_on))
        jobs, left = {p.key.job for p in made.placements}, {left.job for left in made.left_out}
        what = f"plan {number}: {_jobs(len(jobs))} planned, {len(left) or 'none'} left out in whole or part"
        what = what.removesuffix(" in whole or part") if not left else what
        change = uow.commit(what, at=now)
        zone = uow.shop().zone
    then = tuple(f"Job {left.job}: {left.why}" for left in made.left_out)
    return Done(sentence=f"{upper(what)}, to {at_site(zone, made.until)}.", change=change, then=then)


def _jobs(count: int) -> str:
    return f"{count} job{'' if count == 1 else 's'}"


def pin(uow: UnitOfWork, now: datetime, job: int, task: int, crew: str, day: date) -> Done:
    """Keep the block that holds a task with a crew on a day; the next plan respects it or says why it cannot.

    Raises:
        Refused: unknown job, task or crew, a task that is done, a day gone by, or a day the crew is off.
    """
    record = uow.job(job)
    found = record.task(task)
    shop = uow.shop()
    known = {crew.name.casefold(): crew for crew in shop.crews}
    chosen = known.get(crew.strip().casefold())
    if chosen is None:
        raise Refused(f"there is no crew '{crew}': the crews are {', '.join(c.name for c in shop.crews)}.")
    if not found.open:
        raise Refused(f"{task_words(found)} of job {job} is {found.state}: there is nothing to pin.")
    if record.job.state is not JobState.BOOKED:
        raise Refused(f"job {job} is {record.job.state.value}, not booked: nothing of it is planned.")
    if day < to_wall(shop.zone, now).date():
        raise Refused(f"{day_words(day)} has gone by: pin to today or later.")
    if not chosen.hours.on(day) or day in chosen.days_off or day in shop.holidays:
        raise Refused(f"{chosen.name} does not work on {day_words(day)}.")
    uow.save_pin(Pin(job=job, task=task, crew=chosen.name, day=day))
    what = f"job {job}: {task_words(found)} pinned to {chosen.name} on {day_words(day)}"
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=("Plan again to use it.",))


def unpin(uow: UnitOfWork, now: datetime, job: int, task: int) -> Done:
    """Let the planner move the block of a task again.

    Raises:
        Refused: unknown job or task, or it is not pinned.
    """
    found = uow.job(job).task(task)
    if not any(pin.job == job and pin.task == task for pin in uow.pins()):
        raise Refused(f"{task_words(found)} of job {job} is not pinned.")
    uow.drop_pin(job, task)
    what = f"job {job}: {task_words(found)} no longer pinned"
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=("Plan again to use it.",))
