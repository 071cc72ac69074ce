"""Why a job is finished when it is, which promises clash, and what can be done about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import LeftOut, WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, moment_words, upper
from crewjobs.engines.answering.chain import chain_of
from crewjobs.engines.answering.chain_steps import Step
from crewjobs.engines.answering.chain_words import Told, told
from crewjobs.engines.answering.planned_job import floor_of
from crewjobs.engines.answering.standing import Standing, standing
from crewjobs.engines.answering.standing_words import standing_sentence
from crewjobs.engines.answering.ways_out import WayOut
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.engines.planning.spare import Spare
from crewjobs.services.answers.why_promises import Asked, look_at, named, promises
from crewjobs.services.answers.why_rows import WhyJob, WhyStep, WhyView
from crewjobs.services.findings.hanging import hanging_on
from crewjobs.services.rows import WaitRow
from crewjobs.services.waiting.waits import waiting
from crewjobs.services.weeks.gone_by import behind_since
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.weeks.week import spared, stale_words
from crewjobs.services.wording import handed_over, task_words

if TYPE_CHECKING:
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """What is read for an answer."""

    problem: PlanProblem
    plan: WeekPlan
    proposal: WeekPlan | None
    before: WeekPlan | None
    stale: str
    waits: tuple[WaitRow, ...]
    spare: Spare | None
    """What the week says the job that is asked about has to spare."""
    behind: date | None
    """The first day before today of which work of that job is not ticked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What is shown, and the ways out in it by the names they are taken by; `based_on` is the last change it saw."""

    view: WhyView
    ways: Mapping[str, WayOut]
    based_on: int


def why(database: Database, now: datetime, job: int | None, stop: Stop) -> Answer:
    """Return why a job is finished when it is; without one, which promises clash in the plan in force.

    Nothing is kept; `stop` ends the search for ways out.

    Raises:
        Refused: unknown job, one that is not planned, or nothing is planned yet.
    """
    with database.reading() as uow:
        if job is not None:
            _check(uow.job(job))
        in_force = planned(uow)
        if in_force is None:
            raise Refused("nothing is planned yet: `crewjobs plan` does it.")
        plan = in_force.plan
        based_on = uow.last_change_number()
        earlier = uow.plans_until(plan.made_at, back_to=plan.made_at - timedelta(days=60))
        seen = _Seen(
            problem=problem_of(uow, now),
            plan=plan,
            proposal=uow.proposal(),
            before=next((one for one in reversed(earlier) if one.number < plan.number), None),
            stale=stale_words(uow, in_force, now),
            waits=waiting(uow, now, job) if job is not None else (),
            spare=_spare(uow, now, job) if job is not None else None,
            behind=_behind(in_force, uow.job(job), now) if job is not None else None,
        )
    asked = _asked(seen)
    if job is None:
        every = look_at(asked, stop)
        return Answer(view=promises(asked, every), ways=named(every), based_on=based_on)
    record = next(r for r in seen.problem.jobs if r.job.number == job)
    stands = standing(seen.problem, seen.plan, job)
    proved = stands is not None and stands.alone is not None and stands.alone.late and stands.alone.proved
    found = look_at(asked, stop, job) if stands is not None and not stands.holds else None
    # What any search of this answer found, the whole answer says.
    can_hold = (
        found is not None
        and not proved
        and any(job in (*way.keeps, *way.wins) for way in found.ways if not way.as_is and not way.spans)
    )
    row = _job(seen, record, stands, can_hold=can_hold)
    view = promises(asked, found, job) if found is not None else _nothing(seen)
    return Answer(view=replace(view, job=row), ways=named(found) if found is not None else {}, based_on=based_on)


def _spare(uow: UnitOfWork, now: datetime, job: int) -> Spare | None:
    found = planned(uow, [uow.job(job)])
    return spared(uow, found, found.records[job], now) if found is not None else None


def _behind(found: Planned, record: JobRecord, now: datetime) -> date | None:
    return behind_since(found.task_minutes(record), record, now)


def _check(record: JobRecord) -> None:
    job = record.job
    if job.state in (JobState.DONE, JobState.CLOSED, JobState.CALLED_OFF):
        raise Refused(f"job {job.number} is {job.state.value}: nothing of it is planned.")
    if job.state is JobState.BOOKED and record.tasks and not any(task.open for task in record.tasks):
        raise Refused(f"job {job.number} has nothing left to do: every task is done.")


def _asked(seen: _Seen) -> Asked:
    proposal = (seen.proposal,) if seen.proposal is not None else ()
    return Asked(problem=seen.problem, plan=seen.plan, stale=seen.stale, seen=proposal)


def _nothing(seen: _Seen) -> WhyView:
    return WhyView(plan_number=seen.plan.number, stale=seen.stale, job=None, late=(), clashes=(), order=None, note="")


# -- one job


def _job(seen: _Seen, record: JobRecord, stands: Standing | None, *, can_hold: bool) -> WhyJob:
    number, zone = record.job.number, record.job.site.zone
    left = tuple(one for one in seen.plan.left_out if one.job == number)
    chain = chain_of(seen.problem, seen.plan, number, seen.before)
    words = told(chain, floor_of(seen.problem, seen.plan), zone) if chain is not None else None
    if stands is not None:
        stands = replace(stands, spare=seen.spare)
    whole = words is not None and not left
    over = whole and words is not None and to_wall(zone, words.end).date() < to_wall(zone, seen.problem.now).date()
    found = stands.alone if stands is not None else None
    return WhyJob(
        job=number,
        title=record.job.title,
        finish=to_wall(zone, words.end) if words is not None and whole else None,
        promised=record.job.promised,
        holds=None if stands is None else stands.holds and not over and seen.behind is None,
        sentence=_sentence(record, words, left),
        steps=tuple(_step(step, zone) for step in (words.steps if words is not None else ())),
        promise=(
            *(_only_if(record, seen.problem.now) if words is not None else ()),
            *_promise(seen, stands, words, zone, can_hold=can_hold, over=over),
            *(handed_over(record) if found is not None and found.late and not over else ()),
        ),
        alone=to_wall(zone, found.told.end) if found is not None else None,
        possible=None if found is None else not (found.late and found.proved),
        left_out=(*(_left(record, one) for one in left), *_unkept(record, seen)),
        gives_a_date=tuple(_gives_a_date(record, left, seen)) if left else (),
    )


def _only_if(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what was found that the planned days hang on: its day in the plan is one on which an answer is usual, not the answer."""
    if found := hanging_on(record, now):
        yield f"The days hold only if what was found there is settled by then: {listed(list(found), most=4)}."


def _promise(
    seen: _Seen, stands: Standing | None, words: Told | None, zone: str, *, can_hold: bool, over: bool
) -> Iterator[str]:
    if stands is not None and words is not None and over:
        ended = moment_words(to_wall(zone, words.end), words.today)
        yield (
            f"Promised {day_words(stands.promised, words.today)}: by the plan it ended {ended}, but it is not all ticked: tick what is "
            "done, or plan again."
        )
    elif stands is not None and words is not None and stands.holds and seen.behind is not None:
        yield (
            f"Promised {day_words(stands.promised, words.today)}: whether it holds cannot be told, work planned before today is not "
            f"ticked (since {day_words(seen.behind, words.today)}): tick what is done, or plan again."
        )
    elif stands is not None and words is not None:
        yield standing_sentence(stands, words, zone, can_hold=can_hold)
    elif stands is not None:
        yield f"Promised {day_words(stands.promised, seen.problem.today)}: the plan does not finish it, so the promise is not kept."


def _sentence(record: JobRecord, words: Told | None, left: Sequence[LeftOut]) -> str:
    number = record.job.number
    if words is None:
        return f"Job {number} has no finish: nothing of it is planned."
    if left:
        return f"Job {number} has no finish: some of it is not planned. What is planned ends {_rest(words)}."
    return words.sentence


def _rest(words: Told) -> str:
    return f"{words.head.partition(' ends ')[2]}: {words.because}"


def _step(step: Step, zone: str) -> WhyStep:
    return WhyStep(
        kind=step.kind.value,
        words=step.words,
        since=to_wall(zone, step.since) if step.since else None,
        until=to_wall(zone, step.until) if step.until else None,
        crew=step.crew,
        job=step.job,
        minutes=step.minutes,
    )


def _left(record: JobRecord, left: LeftOut) -> str:
    open_tasks = {task.number for task in record.tasks if task.open}
    numbers = [number for number in left.tasks if number in open_tasks]
    if open_tasks <= set(left.tasks) or not numbers:
        return f"Not planned: {left.why}."
    return f"Not planned: {left.why} (task{'s' if len(numbers) > 1 else ''} {listed([str(number) for number in numbers], most=6)})."


def _unkept(record: JobRecord, seen: _Seen) -> Iterator[str]:
    """Yield which pins of work that has yet to begin the plan in force does not keep; the reasons of the places say why."""
    number, zone = record.job.number, record.job.site.zone
    at = {task: placed for placed in seen.plan.placements if placed.key.job == number for task in placed.tasks}
    for pin in seen.problem.pins:
        placed = at.get(pin.task)
        if pin.job != number or placed is None or record.task(pin.task).started_at is not None:
            continue
        if (placed.crew, to_wall(zone, placed.start).date()) != (pin.crew, pin.day):
            where = f"pinned to {pin.crew} on {day_words(pin.day, seen.problem.today)}, and the plan does not keep that"
            lets = f"`crewjobs unpin {number} {pin.task}` lets it go"
            yield f"{upper(task_words(record.task(pin.task)))} is {where}: {lets}."


def _gives_a_date(record: JobRecord, left: Sequence[LeftOut], seen: _Seen) -> Iterator[str]:
    """Yield what would give work that is left out a date: the next step for each thing without one."""
    number = record.job.number
    if record.job.state in (JobState.ASKED, JobState.QUOTED):
        yield f"Book it, then plan again: `crewjobs amend {number} --state booked`."
    said = {one.why.casefold() for one in left}
    for row in seen.waits:
        if row.job == number and row.ready_at is None and row.call and row.what.casefold() not in said:
            yield f"{row.what}: {row.call}."
