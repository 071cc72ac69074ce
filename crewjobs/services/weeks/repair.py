"""The plan in force repaired to what is known now: what can stay, stays; whether it holds, and which promises it breaks."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.compare import Move, agree, moves
from crewjobs.engines.planning.roster import with_parts
from crewjobs.services.asked.telling import finish_day
from crewjobs.services.weeks.overtaken import before_overtaken, freed
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.visits import Planned

if TYPE_CHECKING:
    from crewjobs.engines.planning.problem import PlanProblem
    from crewjobs.storage.unit_of_work import UnitOfWork


def repaired(
    problem: PlanProblem, in_force: WeekPlan, known: WeekPlan | None = None
) -> tuple[WeekPlan, tuple[Move, ...]]:
    """Return the plan in force repaired to what is known now, and what that moves; work under way goes on where it is.

    `known` is the plan before it where facts have overtaken it: that one is repaired, unless a promise is lost by that.
    """
    from crewjobs.engines.planning.improve import repaired_cost

    made, _ = repaired_cost(problem, in_force)
    if known is not None:
        back, _ = repaired_cost(replace(problem, previous=known), known)
        made = back if broken(problem, back) <= broken(problem, made) else made
    return made, moves_seen(problem, in_force, made)


def moves_seen(problem: PlanProblem, known: WeekPlan, made: WeekPlan) -> tuple[Move, ...]:
    """Return what a plan made now moves for people who know another; the rest of what a crew is at has not moved."""
    records = {record.job.number: record for record in problem.jobs}
    zones = {number: record.job.site.zone for number, record in records.items()}
    return tuple(move for move in moves(known, made, zones) if not _goes_on(move, problem.now, records[move.job]))


def _goes_on(move: Move, now: datetime, record: JobRecord) -> bool:
    """Return whether work is the rest of what its crew was at today: it has not moved by being cut at this moment.

    What was begun and goes on today with who began it has not moved either; on another day it has.
    """
    if move.was is None or move.now is None:
        return False
    zone = record.job.site.zone
    today, then = to_wall(zone, now).date(), to_wall(zone, move.now).date()
    if then == today and all(
        task.started_at is not None and task.crew == move.crew for task in map(record.task, move.tasks)
    ):
        return True
    return move.was <= now and move.crew == move.was_crew and to_wall(zone, move.was).date() == then


def broken(problem: PlanProblem, plan: WeekPlan) -> frozenset[int]:
    """Return the jobs a plan finishes after their promise, or not at all."""
    records = {record.job.number: record for record in problem.jobs}
    found = Planned(shop=with_parts(problem.shop, problem.away), plan=plan, records=records, pins=())
    late = []
    for number, record in records.items():
        promised = record.job.promised
        if promised is None or record.job.state is not JobState.BOOKED or not record.to_do:
            continue
        day = finish_day(found, record)
        if day is None or day > promised:
            late.append(number)
    return frozenset(late)


def holds(uow: UnitOfWork, plan: WeekPlan, now: datetime) -> bool:
    """Return whether the plan in force would stay as it is if it were repaired to what is known now."""
    problem = problem_of(uow, now)
    made, _ = repaired(problem, plan, before_overtaken(uow, plan))
    return stays(problem, plan, made)


def stays(problem: PlanProblem, in_force: WeekPlan, made: WeekPlan) -> bool:
    """Return whether the plan in force can stay, by what it is `made` when repaired: nothing lies elsewhere or is left out.

    Less than what people are told as moved counts too: half an hour can be what keeps a crew from being at two houses.
    """
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    return (
        not freed(problem, in_force) and agree(in_force, made, zones) and what_is_left(made) == what_is_left(in_force)
    )


def what_is_left(plan: WeekPlan) -> set[tuple[int, str]]:
    """Return which jobs have work without a place, and why."""
    return {(left.job, left.why) for left in plan.left_out}
