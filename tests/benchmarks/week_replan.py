"""Planning again in the second week: on Wednesday noon a task takes 60 % longer, a crew is ill the next day.

All until then was done as planned; it is the longest task that runs, and the crew with the most work on that day.
Ways to plan the rest are measured side by side; the plainest is the right shift: every block with the crew and in the
order it had, later as far as it must.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from crewjobs.domain.crew import Away
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, WeekPlan
from crewjobs.domain.tasks import Task
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.buffers import promise_instant
from crewjobs.engines.planning.calendars import axis_from
from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.jobwork import SPARE_DAYS, Floor, job_work
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.list_schedule import first_board, plan_of
from crewjobs.engines.planning.objective import MOVED_SLOTS
from crewjobs.engines.planning.packing import link_slot
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.timeline import Booking
from tests.engines.planning.networks import MONDAY, at

ROUNDS = 12
"""Rounds of search for the proposal."""
LONGER = 1.6
"""How many times its estimate the running task takes."""
Places = dict[tuple[int, int], tuple[str, datetime, datetime]]
"""Crew, start and end of each task (job, task)."""


def wednesday(problem: PlanProblem, plan: WeekPlan) -> PlanProblem:
    """Return the problem as it stands on the second Wednesday at noon."""
    now = at(MONDAY + timedelta(days=9), "12:00")
    records = {record.job.number: record for record in problem.jobs}
    crews = {crew.name: crew for crew in problem.shop.crews}
    states: dict[tuple[int, int], Task] = {}
    running = []
    for placed in plan.placements:
        if placed.start >= now:
            continue
        job = placed.key.job
        for one in task_times(placed, records[job], problem.shop, crews[placed.crew], problem.now):
            task = records[job].task(one.task)
            if one.end <= now:
                states[job, one.task] = replace(task, started_at=one.start, done_at=one.end, crew=placed.crew)
            elif one.start < now:
                states[job, one.task] = replace(task, started_at=one.start, crew=placed.crew)
                running.append((job, one.task))
    if running:
        pair = max(running, key=lambda one: (states[one].estimate.likely, one))
        states[pair] = replace(states[pair], estimate=states[pair].estimate.times(LONGER))
    thursday = MONDAY + timedelta(days=10)
    begin, end = at(thursday, "00:00"), at(thursday + timedelta(days=1), "00:00")
    hours = {
        crew.name: sum(
            (min(one.end, end) - max(one.start, begin)).total_seconds()
            for one in plan.placements
            if one.crew == crew.name and one.start < end and one.end > begin
        )
        for crew in problem.shop.crews
    }
    ill = max(problem.shop.crews, key=lambda crew: hours[crew.name])
    return replace(
        problem,
        now=now,
        days=problem.days - 9,
        jobs=tuple(_with(record, states) for record in problem.jobs),
        away=tuple(Away(crew=ill.name, worker=worker.name, day=thursday) for worker in ill.workers),
        earliest={pair: facts for pair, facts in problem.earliest.items() if pair not in states},
        previous=plan,
    )


def _with(record: JobRecord, states: Mapping[tuple[int, int], Task]) -> JobRecord:
    return replace(record, tasks=tuple(states.get((record.job.number, task.number), task) for task in record.tasks))


def right_shift(problem: PlanProblem) -> tuple[Places, WeekPlan | None]:
    """Return the rest of the plan before with the crew and in the order it had, each block as soon as it can be then."""
    before = problem.previous
    assert before is not None
    was = _places_of(before)
    bare = replace(problem, previous=None)
    floor = Floor(bare)
    works = {record.job.number: job_work(record, floor) for record in problem.jobs}
    board = Board(floor, list(works.values()))
    booked: dict[BlockKey, Booking] = {}
    for number in works:
        booked.update(board.bookings_of(number))
    last = dict.fromkeys(floor.crews, 0)
    for booking in booked.values():
        last[booking.crew] = max(last[booking.crew], booking.end)
    loose = [(was[key.job, key.task], key) for work in works.values() for key in work.order if key not in booked]
    # Blocks of one place before follow the job's own order.
    place = {key: i for work in works.values() for i, key in enumerate(work.order)}
    for (crew, _, _), key in sorted(loose, key=lambda one: (one[0][1], one[1].job, place[one[1]])):
        work = works[key.job]
        fact = work.ready.get(key)
        mine = {k: b for k, b in booked.items() if k.job == key.job}
        earliest = max(last[crew], link_slot(work, key, mine), 0 if fact is None else floor.axis.up(fact.at))
        booking = floor.first(work.record, work.blocks[key], crew, earliest)
        assert booking is not None, "the spare weeks hold what goes later"
        floor.timelines[crew].add(booking)
        booked[key], last[crew] = booking, booking.end
    return {
        (key.job, task.number): (booking.crew, floor.axis.at(booking.start), floor.axis.at(booking.end))
        for key, booking in booked.items()
        for task in works[key.job].blocks[key].tasks
    }, None


def repaired(problem: PlanProblem) -> tuple[Places, WeekPlan]:
    """Return the rest as the plan follows a fact: what can stay, stays."""
    board, left_out = first_board(problem, keeping=True)
    plan = plan_of(problem, board, left_out)
    return _places_of(plan), plan


def proposed(problem: PlanProblem) -> tuple[Places, WeekPlan]:
    """Return the rest as it would be proposed after some rounds of search."""
    plan = improve(problem, rounds=ROUNDS).plan
    return _places_of(plan), plan


def _places_of(plan: WeekPlan) -> Places:
    return {
        (placed.key.job, task): (placed.crew, placed.start, placed.end)
        for placed in plan.placements
        for task in placed.tasks
    }


Way = Callable[[PlanProblem], tuple[Places, WeekPlan | None]]
WAYS: dict[str, Way] = {"right shift": right_shift, "repaired": repaired, "proposed": proposed}
"""Ways to plan the rest, by name; the first is what the others are held against."""


def replanned(problem: PlanProblem, plan: WeekPlan) -> dict[str, dict[str, Any]]:
    """Return each way's seconds, blocks moved and slots late by weight, and the open blocks there are."""
    event = wednesday(problem, plan)
    rows = {}
    for name, way in WAYS.items():
        began = time.perf_counter()
        places, made = way(event)
        seconds = time.perf_counter() - began
        wrong = check_plan(event, made) if made is not None else ()
        assert not wrong, wrong
        rows[name] = {"seconds": seconds, **_harm(event, places)}
    return rows


def _harm(problem: PlanProblem, places: Places) -> dict[str, int]:
    """Return the blocks of the plan before whose work moved more than four hours or to another crew, and the lateness."""
    before = problem.previous
    assert before is not None
    axis = axis_from(problem.now, problem.days + SPARE_DAYS)
    far = MOVED_SLOTS * timedelta(minutes=15)
    moved = still = 0
    for placed in before.placements:
        mine = [places[placed.key.job, task] for task in placed.tasks if (placed.key.job, task) in places]
        if placed.start < problem.now or not mine:
            continue
        still += 1
        moved += abs(min(start for _, start, _ in mine) - placed.start) > far or {c for c, _, _ in mine} != {
            placed.crew
        }
    late = 0
    for record in problem.jobs:
        promise = promise_instant(record)
        ends = [end for (job, _), (_, _, end) in places.items() if job == record.job.number]
        if promise is not None and ends:
            late += record.job.weight * max(0, axis.up(max(ends)) - axis.down(promise))
    left = sum(task.open for record in problem.jobs for task in record.tasks)
    return {"blocks": still, "moved": moved, "late_slots": late, "without_place": left - len(places)}
