"""Bringing a job's tasks in line with what it wants now, without losing what has happened."""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import replace

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import WHOLE_HOUSE
from crewjobs.domain.job import JobRecord
from crewjobs.domain.shut_for_found import cut_off_by
from crewjobs.domain.tasks import Link, Phase, Task, TaskKey
from crewjobs.domain.tear_out import OFF_STAIRS, TAKES_OUT
from crewjobs.domain.work import ExtraWork
from crewjobs.engines.estimating.wanted import Wanted, WantedTask


def reconcile(record: JobRecord, wanted: Wanted) -> JobRecord:
    """Return the record with the tasks and links wanted now; `version` is left to whoever stores it.

    Kept by key: a number is never used for anything else. New tasks get the next numbers in working order. What is
    no longer wanted is marked not needed, what is wanted again is unmarked; a done task stays done. Started and done
    tasks keep their estimate and a done one the wait it started, all others are as the catalogue says today. What a way
    on from a finding took off the job stays off it.
    """
    wants = {task.key: task for task in wanted.tasks}
    tasks = [_kept(task, wants.get(task.key)) for task in record.tasks]
    numbers = {task.key: task.number for task in tasks}
    following = max(numbers.values(), default=0) + 1
    for want in wanted.tasks:
        if want.key not in numbers:
            numbers[want.key] = following
            tasks.append(_new(want, following))
            following += 1
    dropped = {number for way in record.ways_taken for number in way.drops}
    tasks = [replace(task, not_needed=True) if task.open and task.number in dropped else task for task in tasks]
    return replace(record, tasks=tuple(tasks), links=_links(record, wanted, numbers))


def _kept(task: Task, want: WantedTask | None) -> Task:
    if task.done_at is not None:
        return replace(task, not_needed=False)
    if want is None:
        return replace(task, not_needed=True)
    if task.started_at is not None:
        return replace(task, not_needed=False)
    return _new(want, task.number)


def _new(want: WantedTask, number: int) -> Task:
    return Task(
        number=number,
        key=want.key,
        title=want.title,
        phase=want.phase,
        stage=want.stage,
        quantity=want.quantity,
        unit=want.unit,
        estimate=want.estimate,
        people=want.people,
        least_people=want.least_people,
        pause=want.pause,
        skill=want.skill,
        needs_material=want.needs_material,
        needs_goods=want.needs_goods,
        card=want.card,
        elevator=want.elevator,
    )


def _links(record: JobRecord, wanted: Wanted, numbers: dict[TaskKey, int]) -> tuple[Link, ...]:
    """A wait that a tick has started runs as it was then; everything else is as wanted now."""
    done = {task.number for task in record.tasks if task.done_at is not None}
    running = {(link.before, link.after): link for link in record.links if link.before in done}
    links = []
    for want in wanted.links:
        pair = (numbers[want.before], numbers[want.after])
        link = Link(before=pair[0], after=pair[1], wait_min=want.wait_min, name=want.name, most_min=want.most_min)
        links.append(running.get(pair, link))
    known = {(link.before, link.after) for link in links}
    links += [
        Link(before=before, after=after)
        for before, after in _under(record, wanted, numbers)
        if (before, after) not in known
    ]
    return tuple(sorted(links, key=lambda link: (link.before, link.after)))


def _under(record: JobRecord, wanted: Wanted, numbers: dict[TaskKey, int]) -> Iterator[tuple[int, int]]:
    """Yield what is taken out of a place before work under its present floor that was not begun: both by their numbers.

    What comes out only behind something that waits for this work is not meant: the second half of a room that is laid in halves,
    a hall behind the room that is reached through it. There whoever does the work lifts what lies over it.
    """
    begun = {task.key for task in record.tasks if task.started_at is not None or task.done_at is not None}
    done = {task.key for task in record.tasks if task.done_at is not None}
    known = {one.key: one for one in wanted.tasks}
    for entry in (one for one in record.job.work if one.under):
        works = [one.key for one in wanted.tasks if one.key.cause == entry.what and one.key.scope.name == entry.place]
        first = set[TaskKey]().union(*(_still_before(key, wanted, done) for key in works))
        found = next((one for one in record.findings if _is_about(one, entry)), None)
        behind = frozenset[str]() if found is None else cut_off_by(record, found)
        covers = [
            out.key
            for out in wanted.tasks
            if (out.key.template in TAKES_OUT or out.key.template in OFF_STAIRS)
            and (out.key.scope.name == entry.place or (found is not None and not entry.place))
            and (
                found is None
                or not any(
                    _comes_after(known[key], entry.place, behind)
                    for key in _still_before(out.key, wanted, done) - first
                )
            )
        ]
        for work in works:
            if work not in begun:
                yield from ((numbers[out], numbers[work]) for out in covers)


def _comes_after(task: WantedTask, place: str, behind: Set[str]) -> bool:
    """Return whether a task waits for work on what was found in a place: it lays the floor there, or is done only behind it.

    What else is done there, as moving the furniture or taking off base and doors, may go before; so may it in rooms reached another way.
    """
    if not place or place in task.places:
        return task.phase is Phase.INSTALL
    return not behind.isdisjoint(task.places)


def _is_about(finding: Finding, entry: ExtraWork) -> bool:
    return finding.work == entry.what and finding.place == (entry.place or WHOLE_HOUSE)


def _still_before(key: TaskKey, wanted: Wanted, done: Set[TaskKey]) -> set[TaskKey]:
    """Return all that a task still waits for."""
    found, look = set[TaskKey](), [key]
    while look:
        after = look.pop()
        more = {link.before for link in wanted.links if link.after == after} - found - done
        found |= more
        look += more
    return found
