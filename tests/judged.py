"""Every plan made in any test is judged: what the planner hands out goes through the judge before the test sees it.

`list_schedule.plan_of` is where every `WeekPlan` is made, whoever asks: planning, repairing, searching, answering. Each
plan is judged once in a test, at once, so that the failing test shows where it was made (and Hypothesis can shrink it);
a fault is kept too, for tests that swallow what is raised. Plans made in processes of their own are not seen.

A problem whose facts contradict each other on purpose opts out: ``@pytest.mark.contradictory("why")``.
"""

from __future__ import annotations

import sys
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

import pytest

from crewjobs.domain.plan import LeftOut, WeekPlan
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning import list_schedule
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.problem import PlanProblem


class Judging:
    """Judges plans as they are made while a test runs that did not opt out."""

    def __init__(self) -> None:
        self.faults: list[str] = []
        self.judged = 0
        self.on = True
        # A problem is kept with what was found, so that no other gets its id.
        self._seen: dict[tuple[int, WeekPlan], tuple[PlanProblem, tuple[str, ...]]] = {}

    def begin(self, *, on: bool) -> None:
        """Forget what was judged before a test."""
        self.faults, self._seen, self.on = [], {}, on

    def judge(self, problem: PlanProblem, plan: WeekPlan, without: Collection[int] = ()) -> None:
        """Judge a plan of a problem, `without` some of its jobs, if this test has not judged it yet.

        Raises:
            AssertionError: it breaks a rule; the judge's sentences.
        """
        if not self.on:
            return
        if (id(problem), plan) not in self._seen:
            jobs = tuple(record for record in problem.jobs if record.job.number not in without)
            self.judged += 1
            self._seen[id(problem), plan] = problem, check_plan(replace(problem, jobs=jobs), plan)
        _, wrong = self._seen[id(problem), plan]
        if wrong:
            self.faults += wrong
            raise AssertionError("the judge finds in a plan:\n" + "\n".join(wrong))

    @contextmanager
    def installed(self) -> Iterator[None]:
        """Have every plan judged, wherever the function that makes it was imported to."""
        made = list_schedule.plan_of

        def plan_of(problem: PlanProblem, board: Board, left_out: Sequence[LeftOut]) -> WeekPlan:
            plan = made(problem, board, left_out)
            lifted = board.works.keys() - board.settled.keys()  # a plan without a job is one of the other jobs
            self.judge(problem, plan, lifted)
            return plan

        with pytest.MonkeyPatch.context() as patch:
            for name, module in list(sys.modules.items()):
                if name.startswith(("crewjobs.", "tests.")) and vars(module).get("plan_of") is made:
                    patch.setattr(module, "plan_of", plan_of)
            yield
