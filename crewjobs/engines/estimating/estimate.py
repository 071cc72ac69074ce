"""Hours of a job: expected minutes and spread by task, phase and job, and the pace they mean."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, hypot

from crewjobs.domain.tasks import Driver, Phase, Task, TaskTemplate
from crewjobs.engines.estimating.quantities import MAN_DAY_MIN, duration_days, man_days
from crewjobs.engines.estimating.wanted import WantedTask


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """Labor minutes of one person: the sum of the tasks' PERT means, and the root of their summed variances.

    Source: Malcolm, Roseboom, Clark, Fazar 1959 (MEMORY); tasks are taken as independent.
    """

    expected: float = 0.0
    spread: float = 0.0

    @property
    def hours(self) -> float:
        """Return the expected labor in hours of one person."""
        return self.expected / 60

    @property
    def man_days(self) -> float:
        """Return the expected labor in man-days of 8 h."""
        return man_days(self.expected)

    def days(self, people: int) -> int:
        """Return the whole working days of 8 h that a crew takes where everybody is busy all the time."""
        return ceil(round(duration_days(self.man_days, people), 9))


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTotals:
    """The labor of a job and of each of its phases, in the order of paper."""

    all: Total
    phases: tuple[tuple[Phase, Total], ...]


def total(tasks: Iterable[Task | WantedTask]) -> Total:
    """Return the labor of tasks together, leaving out what is not needed."""
    estimates = [task.estimate for task in tasks if not (isinstance(task, Task) and task.not_needed)]
    return Total(
        expected=sum(estimate.expected for estimate in estimates),
        spread=hypot(*(estimate.spread for estimate in estimates)),
    )


def job_totals(tasks: Iterable[Task | WantedTask]) -> JobTotals:
    """Return the labor of a job's tasks, phase by phase."""
    every = tuple(tasks)
    phases = ((phase, total(task for task in every if task.phase is phase)) for phase in Phase)
    return JobTotals(all=total(every), phases=tuple((phase, labor) for phase, labor in phases if labor.expected))


def per_man_day(work: TaskTemplate | Task | WantedTask) -> float | None:
    """Return how much of its unit (ft², ft, steps …) one person does in a man-day of 8 h.

    A template's fixed minutes are left out, a task's are in. None for work done once or agreed by the hour, or
    without minutes.
    """
    if isinstance(work, TaskTemplate):
        amount, minutes, unit = 1.0, work.rate.expected, work.driver
    else:
        amount, minutes, unit = work.quantity, work.estimate.expected, work.unit
    if unit in (Driver.ONCE, Driver.HOURS) or minutes <= 0:
        return None
    return amount * MAN_DAY_MIN / minutes
