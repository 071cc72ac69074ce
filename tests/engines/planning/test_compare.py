"""What moves from one plan to another."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.engines.planning.compare import moves
from crewjobs.engines.planning.list_schedule import plan_week
from tests.engines.planning.networks import CENTRAL, booked_weeks, random_problem


def test_equal_plans_move_nothing_and_one_block_moves_alone() -> None:
    """A plan against itself moves nothing; one block an hour and a quarter later, or with another crew, is named alone."""
    plan = plan_week(booked_weeks(3, 2, 2, 1))
    zones = {placed.key.job: CENTRAL for placed in plan.placements}
    assert moves(plan, plan, zones) == ()
    first, *others = plan.placements
    within = replace(first, start=first.start + timedelta(hours=1))
    assert moves(plan, replace(plan, placements=(within, *others)), zones) == ()
    later = replace(first, start=first.start + timedelta(minutes=75))
    [move] = moves(plan, replace(plan, placements=(later, *others)), zones)
    assert (move.job, move.tasks, move.was, move.now) == (first.key.job, first.tasks, first.start, later.start)
    lent = replace(first, crew="somebody else")
    [move] = moves(plan, replace(plan, placements=(lent, *others)), zones)
    assert (move.was_crew, move.crew) == (first.crew, "somebody else")


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 100_000))
def test_there_and_back_moves_the_same_tasks(seed: int) -> None:
    """What moves from a plan to another moves back from the other to the one, with crews and instants exchanged."""
    problem = random_problem(seed)
    one = plan_week(problem)
    other = plan_week(replace(problem, now=problem.now + timedelta(days=1)))
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    there = {(move.job, task, move.was_crew, move.crew) for move in moves(one, other, zones) for task in move.tasks}
    back = {(move.job, task, move.crew, move.was_crew) for move in moves(other, one, zones) for task in move.tasks}
    assert there == back
