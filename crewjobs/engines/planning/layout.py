"""A block's tasks laid onto the people of a crew, to the minute: how long the block takes, and the day plan.

Minutes of a layout are minutes of work from the block's start: lunch, nights and drive come in only when
they are laid onto a calendar.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import NamedTuple

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.engines.planning.blocks import begun_tasks, by_elevator, open_links
from crewjobs.engines.planning.calendars import Axis, crew_days, site_calendar, site_windows, slots_of
from crewjobs.engines.planning.paces import paces_in
from crewjobs.engines.planning.problem import UNDER_WAY, Block
from crewjobs.engines.planning.subs import labor_with, manned
from crewjobs.engines.readiness.found_first import after_found_work


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskSpan:
    """One task from `start` to `end` in minutes of work, with the places in the crew of the people on it."""

    task: int
    start: int
    end: int
    people: tuple[int, ...]


def lay_out(
    tasks: Sequence[Task], labor: Sequence[int], inner: Sequence[tuple[int, int]], people: int
) -> tuple[TaskSpan, ...]:
    """Return when each task is done by whom; the same input always gives the same answer.

    A task's labor minutes are shared evenly by up to its `people`, at least its `least_people` (or the whole
    crew where that is smaller), who stay until it is done. Links are kept; what they allow runs side by side.
    The shortest of four plain rules is taken: all hands on one task or spread over what is ready, in the
    order of the longest way to the end or of the tasks as given.
    """
    parts = tuple(
        _Part(task.number, task.where, task.least_people, task.people, minutes)
        for task, minutes in zip(tasks, labor, strict=True)
    )
    return _laid_out(parts, tuple(inner), people)


class _Part(NamedTuple):
    """What a layout depends on of a task."""

    number: int
    where: str
    least_people: int
    people: int
    labor: int


# One layout is asked for again and again: by each plan tried with the block, by each question about it, by who reads the day.
@lru_cache(maxsize=8192)
def _laid_out(parts: tuple[_Part, ...], inner: tuple[tuple[int, int], ...], people: int) -> tuple[TaskSpan, ...]:
    jobs = _jobs(parts, inner, people)
    bound = max(-(-sum(part.labor for part in parts) // people), max((job.tail for job in jobs), default=0))
    best: tuple[int, tuple[TaskSpan, ...]] | None = None
    for rank in (_by_tail, _by_order):
        for share in (_all_hands, _spread):
            spans = _run(sorted(jobs, key=rank), people, share)
            length = makespan(spans)
            if best is None or length < best[0]:
                best = (length, spans)
            if length <= bound:
                return best[1]
    assert best is not None
    return best[1]


def makespan(spans: Sequence[TaskSpan]) -> int:
    """Return when the last task ends, in minutes of work."""
    return max((span.end for span in spans), default=0)


def block_minutes(block: Block, people: int) -> int:
    """Return the minutes a block takes a crew of so many people, one at least."""
    return max(1, makespan(lay_out(block.tasks, block.labor, block.inner, people)))


@dataclass(slots=True, kw_only=True, eq=False)
class _Job:
    place: int
    task: int
    where: str
    labor: int
    least: int
    most: int
    after: list[_Job]
    waiting: int
    tail: int = 0


def _jobs(parts: Sequence[_Part], inner: Sequence[tuple[int, int]], people: int) -> list[_Job]:
    jobs = {}
    for place, part in enumerate(parts):
        least = min(max(1, part.least_people), people)
        most = max(least, min(part.people, people))
        jobs[part.number] = _Job(
            place=place,
            task=part.number,
            where=part.where,
            labor=part.labor,
            least=least,
            most=most,
            after=[],
            waiting=0,
        )
    for before, after in inner:
        jobs[before].after.append(jobs[after])
        jobs[after].waiting += 1
    for job in reversed(jobs.values()):  # tasks come in an order that keeps their links
        job.tail = -(-job.labor // job.most) + max((after.tail for after in job.after), default=0)
    return list(jobs.values())


def _by_tail(job: _Job) -> tuple[int, int]:
    return -job.tail, job.place


def _by_order(job: _Job) -> tuple[int, int]:
    return job.place, 0


Share = Callable[[Sequence[_Job], int], list[tuple[_Job, int]]]


def _all_hands(ready: Sequence[_Job], free: int) -> list[tuple[_Job, int]]:
    """Give each task in turn as many people as can work on it."""
    given = []
    for job in ready:
        if job.least <= free:
            given.append((job, min(job.most, free)))
            free -= given[-1][1]
    return given


def _spread(ready: Sequence[_Job], free: int) -> list[tuple[_Job, int]]:
    """Start as many tasks as there are people for, then hand out who is left one by one."""
    given: dict[int, int] = {}
    for i, job in enumerate(ready):
        if job.least <= free:
            given[i] = job.least
            free -= job.least
    more = True
    while free and more:
        more = False
        for i in given:
            if free and given[i] < ready[i].most:
                given[i] += 1
                free -= 1
                more = True
    return [(ready[i], count) for i, count in given.items()]


def _run(ranked: Sequence[_Job], people: int, share: Share) -> tuple[TaskSpan, ...]:
    waiting = {job.place: job.waiting for job in ranked}
    todo = list(ranked)
    last_at = [""] * people
    free = list(range(people))
    running: list[tuple[int, int, _Job, tuple[int, ...]]] = []
    spans, now = [], 0
    while todo or running:
        ready = [job for job in todo if waiting[job.place] == 0]
        for job, count in share(ready, len(free)):
            # Who just worked in the same room goes on there; then by place in the crew.
            crew = sorted(sorted(free, key=lambda i: (last_at[i] != job.where, i))[:count])
            end = now + -(-job.labor // count)
            spans.append(TaskSpan(task=job.task, start=now, end=end, people=tuple(crew)))
            heapq.heappush(running, (end, job.place, job, tuple(crew)))
            todo.remove(job)
            for i in crew:
                last_at[i] = job.where
                free.remove(i)
        now = running[0][0]
        while running and running[0][0] == now:
            _, _, job, crew_done = heapq.heappop(running)
            free = sorted((*free, *crew_done))
            for after in job.after:
                waiting[after.place] -= 1
    return tuple(spans)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskTime:
    """A stretch of one task without a break, from `start` to `end` (UTC, to the minute).

    `people` are the places of those on it among who is there that day (`roster.present`), `part` counts the
    stretches of the task from 1.
    """

    job: int
    task: int
    start: datetime
    end: datetime
    people: tuple[int, ...]
    part: int


def placement_spans(
    placement: Placement, record: JobRecord, shop: Shop, crew: Crew, at: datetime
) -> tuple[TaskSpan, ...]:
    """Return the layout of a placement's tasks as it was planned at an instant, in minutes of work.

    A place that begins before that instant stands as an earlier plan has it: what was under way then goes on in it.
    """
    tasks = tuple(record.task(number) for number in placement.tasks)
    people = placement.people or crew.people
    paces = paces_in([placement])
    begun = begun_tasks(record, shop, min(at, placement.start), None, paces)
    labor = [
        begun[task.number].labor if task.number in begun else labor_with(crew, record.job, task, paces)
        for task in tasks
    ]
    ordered = after_found_work(record, at)
    inner = [(link.before, link.after) for link in open_links(ordered, begun, among=placement.tasks)]
    return lay_out(manned(crew, tasks), labor, inner, people)


def task_times(placement: Placement, record: JobRecord, shop: Shop, crew: Crew, at: datetime) -> tuple[TaskTime, ...]:
    """Return when each task of a placement is worked by whom, cut at lunch and nights.

    `at` is when the plan was made: what was under way then counts with what was left of it. Ticks made since
    change nothing, so that the page in the crew's hands stays the plan.
    """
    spans = placement_spans(placement, record, shop, crew, at)
    work = max(1, slots_of(makespan(spans)))
    days = (placement.end - placement.start) // timedelta(days=1) + 2
    axis = Axis(origin=placement.start, slots=days * 24 * 60 // QUARTER)
    site = record.job.site
    elevator = any(by_elevator(record, record.task(number)) for number in placement.tasks)
    open_at = site_windows(axis, site, record.job.blocked, elevator=elevator)
    calendar = site_calendar(axis, crew_days(axis, shop, crew), site, open_at)
    if _begun_by_the_plan(placement, record, at):
        until = (placement.end - placement.start) // timedelta(minutes=QUARTER)
        open_slots = sum(max(0, min(last, until) - first) for first, last in calendar.windows_from(0, work))
        spans = _in_short(spans, open_slots * QUARTER)
    found: list[TaskTime] = []
    passed = 0
    for first, last in calendar.windows_from(0, work):
        begin, length = axis.at(first), (last - first) * QUARTER
        for span in spans:
            start, end = max(span.start, passed), min(span.end, passed + length)
            if start < end:
                found.append(
                    TaskTime(
                        job=record.job.number,
                        task=span.task,
                        start=begin + timedelta(minutes=start - passed),
                        end=begin + timedelta(minutes=end - passed),
                        people=span.people,
                        part=1 + sum(time.task == span.task for time in found),
                    )
                )
        passed += length
    return tuple(sorted(found, key=lambda time: (time.start, time.people, time.task)))


def _begun_by_the_plan(placement: Placement, record: JobRecord, at: datetime) -> bool:
    """Return whether work counted as begun when it was placed, by the plan before: nobody has recorded that, nor what was left."""
    tasks = (record.task(number) for number in placement.tasks)
    recorded = any(task.started_at is not None and task.started_at <= min(at, placement.start) for task in tasks)
    return placement.reason.startswith(UNDER_WAY) and not recorded


def _in_short(spans: tuple[TaskSpan, ...], minutes: int) -> tuple[TaskSpan, ...]:
    """Return spans in so many minutes of work, each with its share of them, where they take more."""
    whole = makespan(spans)
    if not 0 < minutes < whole:
        return spans
    cut = ((span, span.start * minutes // whole) for span in spans)
    return tuple(replace(span, start=at, end=max(at + 1, span.end * minutes // whole)) for span, at in cut)


def day_pieces(
    plan: WeekPlan,
    shop: Shop,
    records: Sequence[JobRecord],
    crew: str,
    day: date,
) -> tuple[TaskTime, ...]:
    """Return what a crew does on a date of the shop, task by task to the minute.

    Raises:
        Refused: there is no such crew.
    """
    found = next((one for one in shop.crews if one.name == crew), None)
    if found is None:
        raise Refused(f"there is no crew '{crew}': the crews are {', '.join(one.name for one in shop.crews)}.")
    jobs = {record.job.number: record for record in records}
    times = [
        time
        for placement in plan.placements
        if placement.crew == crew
        and placement.key.job in jobs
        and to_wall(shop.zone, placement.start).date() <= day <= to_wall(shop.zone, placement.end).date()
        for time in task_times(placement, jobs[placement.key.job], shop, found, plan.made_at)
        if to_wall(shop.zone, time.start).date() == day
    ]
    return tuple(sorted(times, key=lambda time: (time.start, time.people, time.job, time.task)))
