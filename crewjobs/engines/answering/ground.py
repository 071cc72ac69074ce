"""What all trials of one answer share: each job's work, and how soon it could end with every crew free."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.engines.answering.effort import AHEAD, WORK, Effort
from crewjobs.engines.answering.forward import soonest_on
from crewjobs.engines.answering.standing import last_day
from crewjobs.engines.planning.jobwork import Floor, JobWork, job_work
from crewjobs.engines.planning.problem import PlanProblem


class Ground:
    """A problem with what was computed about its jobs.

    `bare` is a floor on which nothing is ever booked; `whole` says of jobs that were looked at whether all of their work
    has a place there.
    """

    def __init__(self, problem: PlanProblem, effort: Effort) -> None:
        self.problem = problem
        self.effort = effort
        self.records: Mapping[int, JobRecord] = {record.job.number: record for record in problem.jobs}
        self.bare = Floor(problem)
        self.whole: dict[int, bool] = {}
        self._works: dict[int, JobWork | None] = {}
        self._soonest: dict[int, datetime | None] = {}

    def beginning(self, plan: WeekPlan) -> Ground:
        """Return the ground for trials in which work begins where a plan has it; what was found out stays known."""
        found = Ground(replace(self.problem, previous=plan), self.effort)
        found._soonest, found.whole = self._soonest, self.whole
        return found

    def work(self, number: int) -> JobWork | None:
        """Return the work of a job, None where its links go in a circle."""
        if number not in self._works:
            try:
                found = job_work(self.records[number], self.bare)
            except Refused:
                found = None
            self._works[number] = found
            self.effort.spend(WORK * len(found.blocks) if found is not None else 1)
        return self._works[number]

    def soonest(self, number: int) -> datetime | None:
        """Return the instant before which no plan can end a job, None where some of it has no place at all."""
        if number not in self._soonest:
            work = self.work(number)
            self._soonest[number] = soonest_on(self.bare, work) if work is not None else None
            self.effort.spend(AHEAD * len(work.blocks) if work is not None else 1)
        return self._soonest[number]

    def never(self, number: int) -> bool:
        """Return whether it is proved that no plan keeps a promise, even with every crew free."""
        promised, end = self.records[number].job.promised, self.soonest(number)
        return end is None or (promised is not None and last_day(self.records[number], end) > promised)
