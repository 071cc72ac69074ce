"""Which steps of a chain a sentence names, over whole weeks."""

from __future__ import annotations

from datetime import timedelta

import pytest

from crewjobs.engines.answering.chain import chain_of
from crewjobs.engines.answering.chain_steps import StepKind
from crewjobs.engines.answering.chain_words import told
from crewjobs.engines.answering.planned_job import floor_of
from crewjobs.engines.planning.list_schedule import plan_week
from tests import thorough
from tests.engines.planning.networks import booked_weeks

WAITS = (StepKind.CURE, StepKind.ACCLIMATION)


@pytest.mark.parametrize("weeks", thorough.of([(9, 2, 4, 19), (12, 3, 4, 27), (9, 2, 4, 1), (12, 3, 4, 2)], 2))
def test_where_work_stands_beside_other_work_is_named_after_every_long_wait(weeks: tuple[int, int, int, int]) -> None:
    """That the plan keeps work together is no cause: a cure or an acclimation over a night is never left out for it."""
    the_problem = booked_weeks(*weeks)
    plan = plan_week(the_problem)
    floor = floor_of(the_problem, plan)
    for record in the_problem.jobs:
        chain = chain_of(the_problem, plan, record.job.number)
        if chain is None:
            continue
        found = told(chain, floor, record.job.site.zone)
        named = {link.until for link in found.links}
        long = [
            step
            for step in found.steps
            if step.kind in WAITS and step.since and step.until and step.until - step.since >= timedelta(hours=12)
        ]
        if any(link.kind is StepKind.TOGETHER for link in found.links):
            assert all(step.until in named for step in long), found.sentence
