"""How a promise stands: the planned end against it, and whether the job would keep it with every crew free."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.engines.answering.chain import Chain, chain_of
from crewjobs.engines.answering.chain_steps import StepKind
from crewjobs.engines.answering.chain_words import Told, told
from crewjobs.engines.answering.forward import soonest
from crewjobs.engines.answering.planned_job import PlannedJob, floor_of
from crewjobs.engines.planning.buffers import spare
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.planning.spare import Spare


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """Work and waits left between an instant and a promise, against the hours of the crew that has the most there.

    `since`, the last fact the chain waits for, and `until` are UTC; `work_min` are minutes of the crew, `wait_min` minutes
    by the clock, `has_min` the minutes the crew `crew`, which can do some of that work, has at the site between them.
    `what` says what that last fact is: ``its material is ready``.
    """

    since: datetime
    until: datetime
    work_min: int
    wait_min: int
    crew: str
    has_min: int
    what: str = "it can begin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """A job as it would be done if there were no other: every crew free, all else as it is.

    `end` (UTC) is what the planner reaches, `told` its chain; `proved` says that no plan of it, in which one crew does each
    piece of work, ends by the promised day, whichever crew that is. `need` says it in hours where hours explain it.
    """

    end: datetime
    told: Told
    late: bool
    proved: bool
    need: Need | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A promise against the plan. `end` (UTC) is None where the plan does not finish the job.

    `spare` says what a promise that holds has to spare; `alone` is told of a late job only.
    """

    job: int
    promised: date
    end: datetime | None
    holds: bool
    days_late: int
    spare: Spare | None
    alone: Alone | None


def end_of(plan: WeekPlan, job: int) -> datetime | None:
    """Return when a plan ends a job, None where some of it has no place or none of it is planned."""
    ends = [placed.end for placed in plan.placements if placed.key.job == job]
    return None if not ends or any(left.job == job for left in plan.left_out) else max(ends)


def last_day(record: JobRecord, end: datetime) -> date:
    """Return the site's date on which work that ends at an instant is done."""
    return to_wall(record.job.site.zone, end - timedelta(minutes=QUARTER)).date()


def promised_jobs(problem: PlanProblem) -> tuple[JobRecord, ...]:
    """Return the booked jobs with a promise and something left to do, by number."""
    found = [
        record
        for record in problem.jobs
        if record.job.promised is not None and record.job.state is JobState.BOOKED and record.to_do
    ]
    return tuple(sorted(found, key=lambda record: record.job.number))


def standing(problem: PlanProblem, plan: WeekPlan, job: int) -> Standing | None:
    """Return how the promise of a job stands in a plan, None where nothing is promised or left to do."""
    record = next((one for one in promised_jobs(problem) if one.job.number == job), None)
    if record is None or record.job.promised is None:
        return None
    promised, end = record.job.promised, end_of(plan, job)
    late = 0 if end is None else max(0, (last_day(record, end) - promised).days)
    holds = end is not None and late == 0
    return Standing(
        job=job,
        promised=promised,
        end=end,
        holds=holds,
        days_late=late,
        spare=_spare(problem, plan, record) if holds else None,
        alone=None if holds or end is None else alone(problem, plan, job),
    )


def kept(problem: PlanProblem, plan: WeekPlan) -> frozenset[int]:
    """Return the jobs whose promises a plan keeps."""
    return frozenset(record.job.number for record in promised_jobs(problem) if _keeps_it(record, plan))


def _keeps_it(record: JobRecord, plan: WeekPlan) -> bool:
    end, promised = end_of(plan, record.job.number), record.job.promised
    return end is not None and promised is not None and last_day(record, end) <= promised


def _spare(problem: PlanProblem, plan: WeekPlan, record: JobRecord) -> Spare | None:
    shop = with_parts(problem.shop, problem.away)
    end = PlannedJob(problem, plan, record.job.number).finish()
    return spare(shop, problem.away, problem.errands, record, plan, end, problem.now)


# -- with every crew free


def only(problem: PlanProblem, jobs: Collection[int]) -> PlanProblem:
    """Return the problem with some jobs alone, planned anew: of the plan before only what is under way is kept.

    What crews are at just now at other houses is not there either: they would be free.
    """
    records = tuple(record for record in problem.jobs if record.job.number in jobs)
    stands = tuple(placed for placed in problem.stands if placed.key.job in jobs)
    return replace(problem, jobs=records, previous=_begun_only(problem), stands=stands)


def _begun_only(problem: PlanProblem) -> WeekPlan | None:
    """Return of the plan before what tells which crew goes on with work under way."""
    if problem.previous is None:
        return None
    begun = {
        (record.job.number, task.number)
        for record in problem.jobs
        for task in record.tasks
        if task.open and task.started_at is not None
    }
    kept = tuple(
        placed
        for placed in problem.previous.placements
        if any((placed.key.job, number) in begun for number in placed.tasks)
    )
    return replace(problem.previous, placements=kept)


def alone(problem: PlanProblem, plan: WeekPlan, job: int) -> Alone | None:
    """Return how a job would be done if there were no other, None where it has no end then either.

    The planner's own plan of the job alone counts, or the plan in force where that ends no later.
    """
    just = only(replace(problem, now=plan.made_at), [job])
    record = just.jobs[0]
    made = plan_week(just)
    ends = {
        end: one for one in (plan, made) if (end := end_of(one, job)) is not None
    }  # of equal ends the plan of the job alone is told
    if not ends:
        return None
    end = min(ends)
    chain = chain_of(just if ends[end] is made else problem, ends[end], job)
    if chain is None:
        return None
    words = told(chain, floor_of(just if ends[end] is made else problem, ends[end]), record.job.site.zone)
    promised = record.job.promised
    late = promised is not None and last_day(record, end) > promised
    soon = soonest(just, job) if late else None
    proved = late and soon is not None and promised is not None and last_day(record, soon) > promised
    return Alone(end=end, told=words, late=late, proved=proved, need=_need(just, words, chain) if late else None)


# -- hours needed against hours there are


FACTS = (StepKind.DELIVERY, StepKind.ACCLIMATION, StepKind.PROMISE, StepKind.HOUSE, StepKind.FACT, StepKind.BEGUN)


READY = {
    StepKind.DELIVERY: "what was ordered comes",
    StepKind.ACCLIMATION: "its material is ready",
    StepKind.HOUSE: "the house is ready",
}
"""What becomes so when a fact of the chain has come."""


def _need(problem: PlanProblem, words: Told, chain: Chain) -> Need | None:
    """Return what is left after the last fact of a chain, against the hours of the best crew before the promise.

    None where it explains nothing: where there are hours enough, and no wait takes from them.
    """
    record = problem.jobs[0]
    floor = Floor(problem)
    promised = record.job.promised
    at = max((i for i, step in enumerate(words.steps) if step.kind in FACTS), default=-1)
    since = words.steps[at].until if at >= 0 else None
    rest = words.steps[at + 1 :]
    begin = max(since or problem.now, problem.now)
    blocks = [spot.block for spot in chain.spots if spot.work and spot.placement.end > begin]
    crews = [crew for crew in floor.crews if any(floor.able(block, crew) for block in blocks)]
    if promised is None or not crews:
        return None
    first, last = max(0, floor.axis.up(begin)), max(0, floor.day(record, promised)[1])
    has = {crew: _minutes(floor, record, crew, first, min(last, floor.axis.slots)) for crew in crews}
    best = max(has, key=lambda crew: has[crew])
    waits = [step for step in rest if step.kind is StepKind.CURE and step.since and step.until]
    found = Need(
        since=begin,
        until=floor.axis.at(last),
        work_min=sum(step.minutes for step in rest),
        wait_min=sum((step.until - step.since) // timedelta(minutes=1) for step in waits if step.since and step.until),
        crew=best,
        has_min=has[best],
        what=READY.get(words.steps[at].kind, "it can go on") if at >= 0 else "it can begin",
    )
    return found if found.since >= found.until or found.work_min > found.has_min or found.wait_min else None


def _minutes(floor: Floor, record: JobRecord, crew: str, first: int, last: int) -> int:
    if crew not in floor.crews or last <= first:
        return 0
    calendar = floor.calendar(record, crew)
    return (calendar.count(last) - calendar.count(first)) * QUARTER
