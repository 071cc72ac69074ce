"""One day of the season worked: the plan at the true paces, crews keeping their order, and what is written down of it.

Steps and calendars are those of the odds (`odds_network`), with one sample and nothing unsure: every block takes what its tasks really
take its crew. What ended by the night is ticked, of what is under way it is said how far it is, and of hours only each crew's sum
at each house is written down, to the quarter hour.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from math import ceil

import numpy as np

from crewjobs.domain.evening import HowFar, latest
from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import DoneTask, WorkedDay
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.estimating.worked import conditions
from crewjobs.engines.planning.odds import sample
from crewjobs.engines.planning.odds_network import BlockPace, Spreads, network_of
from crewjobs.engines.planning.paces import paces_in
from crewjobs.engines.planning.problem import PlanProblem
from tests.benchmarks.season_shop import Truth

ALL_BUT = 0.995
"""Of a task this share is all of it."""


@dataclass(frozen=True, slots=True)
class Evening:
    """What a day brought: jobs as they are that night, and the hours as they were written down."""

    records: Mapping[int, JobRecord]
    days: tuple[WorkedDay, ...]


@dataclass(slots=True)
class _Work:
    """What is done of one crew at one house on the day: true labor minutes, and shares of tasks."""

    labor: float
    shares: dict[int, float]


def worked_day(problem: PlanProblem, plan: WeekPlan, truth: Truth, day: date, night: datetime) -> Evening:
    """Return a day worked, from the problem's `now` to the night; its `earliest` are when things really come."""
    records = {record.job.number: record for record in problem.jobs}
    placed = {one.key: one for one in plan.placements}
    lefts = {one.key: _left(records[one.key.job], one, truth, problem.now) for one in plan.placements}
    paces = {key: BlockPace(factor=_factor(placed[key], records, left), sigma=0.0) for key, left in lefts.items()}
    built = network_of(problem, plan, Spreads(blocks=paces))
    run = sample(built.network, np.random.default_rng(0), 1)
    over, works = built.axis.up(night), dict[tuple[str, int], _Work]()
    for key, step, end in zip(built.keys, built.network.steps, run.ends[:, 0].tolist(), strict=True):
        work = max(1, ceil(step.minutes / QUARTER - 1e-6))
        first = step.calendar.count(end - 1) + 1 - work
        done = min(1.0, max(0, step.calendar.count(over) - first) / work) if end > over else 1.0
        if done <= 0:
            continue
        record, left, crew = records[key.job], lefts[key], placed[key].crew
        mine = works.setdefault((crew, key.job), _Work(0.0, {}))
        ended = built.axis.at(end) if end <= over else night
        records[key.job] = _ticked(record, placed[key], left, done, problem.now, ended, mine)
    return Evening(records=records, days=tuple(_written(records, works, day)))


def _share_left(record: JobRecord, number: int, now: datetime) -> float:
    said = latest(record.how_far, number, now)
    return 1.0 if said is None else 1.0 - said.share


def _left(record: JobRecord, placed: Placement, truth: Truth, now: datetime) -> dict[int, float]:
    """Return the true labor minutes left of a block's open tasks."""
    return {
        number: truth.minutes(record, placed.crew, number) * _share_left(record, number, now)
        for number in placed.tasks
        if record.task(number).open
    }


def _factor(placed: Placement, records: Mapping[int, JobRecord], left: Mapping[int, float]) -> float:
    """Return how many times its planned minutes a block takes."""
    record, paces = records[placed.key.job], paces_in([placed])
    planned = 0.0
    for number, minutes in left.items():
        if minutes > 0:
            said = latest(record.how_far, number)
            share = 1.0 if said is None else 1.0 - said.share
            planned += record.task(number).estimate.expected * share * paces.of(placed.crew, placed.key.job, number)
    return sum(left.values()) / planned if planned > 0 else 1.0


def _ticked(
    record: JobRecord,
    placed: Placement,
    left: Mapping[int, float],
    done: float,
    began: datetime,
    ended: datetime,
    mine: _Work,
) -> JobRecord:
    """Return a job with a share of a block done, in the order of its tasks; note the labor and the shares."""
    room = done * sum(left.values()) if done < 1 else float("inf")
    tasks = {task.number: task for task in record.tasks}
    far = list(record.how_far)
    for number, minutes in left.items():
        took = min(minutes, room)
        if done < 1 and room <= 0 and minutes > 0:
            break
        room -= took
        share = took / minutes if minutes > 0 else 1.0
        before = _share_left(record, number, ended)
        mine.labor += took
        mine.shares[number] = mine.shares.get(number, 0.0) + before * share
        if share >= ALL_BUT:
            tasks[number] = replace(tasks[number], done_at=ended, crew=placed.crew)
        else:
            so_far = 1 - before * (1 - share)
            far.append(HowFar(task=number, at=ended, done=so_far, whole=1, unit="of it"))
            tasks[number] = replace(tasks[number], started_at=tasks[number].started_at or began, crew=placed.crew)
    return replace(record, tasks=tuple(tasks[task.number] for task in record.tasks), how_far=tuple(far))


def _written(records: Mapping[int, JobRecord], works: Mapping[tuple[str, int], _Work], day: date) -> list[WorkedDay]:
    found = []
    for (crew, job), work in works.items():
        record = records[job]
        done = tuple(
            DoneTask(
                number=number,
                template=record.task(number).key.template,
                book_min=record.task(number).estimate.expected * share,
                conditions=conditions(record, record.task(number)),
            )
            for number, share in sorted(work.shares.items())
            if record.task(number).estimate.expected * share > 0
        )
        if done and work.labor > 0:
            said = max(float(QUARTER), QUARTER * round(work.labor / QUARTER))
            found.append(WorkedDay(job=job, crew=crew, day=day, labor_min=said, done=done))
    return found
