"""What a crew takes for a task: its own pace beside the book's; paid by the foot or step, its own day's capacity.

A full day is the longest of the crew's week without the drive to the site and back. Laying is counted by the floor's
ft² or the steps against what the crew does in such a day; where a crew names no steps, and for all other work, the
estimate stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from crewjobs.domain.crew import Crew
from crewjobs.domain.house import Site
from crewjobs.domain.job import Job
from crewjobs.domain.tasks import Driver, Task
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.planning.calendars import slots_of
from crewjobs.engines.planning.paces import Paces

INCLUDED: Final = frozenset({"nail-first-rows", "nail-last-rows", "fit-stairs", "rough-cut-sheet", "roll-sheet"})
"""Laying that is part of another task's ft² or steps: a sub's day counts each floor and step once."""


def labor_minutes(task: Task) -> int:
    """Return the labor minutes a task takes one person by its estimate, at least one."""
    return max(1, round(task.estimate.expected))


def lays(task: Task) -> bool:
    """Return whether a task lays a floor, or part of one, that a sub is paid for by the foot or step."""
    return task.needs_material is not None and task.unit in (Driver.AREA, Driver.STEPS)


def labor_with(crew: Crew, job: Job, task: Task, paces: Paces) -> int:
    """Return the labor minutes a task of a job takes a crew's people together: a sub's laying by its capacity."""
    by_pace = max(1, round(task.estimate.expected * paces.of(crew.name, job.number, task.number)))
    if crew.sub is None or not lays(task):
        return by_pace
    if task.key.template in INCLUDED:
        return 1
    a_day = crew.sub.area_ft2 if task.unit is Driver.AREA else crew.sub.steps
    if not a_day:
        return by_pace
    return max(1, round(task.quantity / a_day * full_day(crew, job.site) * crew.people))


def full_day(crew: Crew, site: Site) -> int:
    """Return the minutes at a site in the longest day of a crew's week, a quarter hour at least.

    Single days do not count: on one with other hours a sub does as much as these hours are of its full day.
    """
    longest = max(sum(span.minutes for span in spans) for spans in crew.hours.days)
    return max(QUARTER, longest - 2 * slots_of(site.drive_min) * QUARTER)


def manned(crew: Crew, tasks: Sequence[Task]) -> tuple[Task, ...]:
    """Return tasks as a crew mans them: all of a sub's people lay, since its capacity is that of all of them."""
    if crew.sub is None:
        return tuple(tasks)
    return tuple(replace(task, people=max(task.people, crew.people)) if lays(task) else task for task in tasks)
