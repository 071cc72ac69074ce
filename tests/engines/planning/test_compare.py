"""What moves from one plan to another."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.engines.planning.compare import agree, moves
from crewjobs.engines.planning.list_schedule import plan_week
from tests import thorough
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


def test_a_plan_agrees_with_itself_and_with_nothing_that_lies_elsewhere() -> None:
    """Another crew, start, end or number of people of one block is another plan; less than is told as moved is, too."""
    plan = plan_week(booked_weeks(3, 2, 2, 1))
    zones = {placed.key.job: CENTRAL for placed in plan.placements}
    last = max(plan.placements, key=lambda placed: placed.start)
    others = tuple(placed for placed in plan.placements if placed is not last)
    assert agree(plan, plan, zones)
    for changed in (
        replace(last, crew="somebody else"),
        replace(last, start=last.start + timedelta(minutes=15)),
        replace(last, end=last.end + timedelta(minutes=15)),
        replace(last, people=last.people + 1),
    ):
        assert not agree(plan, replace(plan, placements=(*others, changed)), zones)


def test_the_rest_of_what_runs_agrees_where_its_crew_ends_it_that_day_within_the_hour() -> None:
    """A block that has begun when the second plan is made is placed from then on, in parts maybe."""
    plan = plan_week(booked_weeks(3, 2, 2, 1))
    zones = {placed.key.job: CENTRAL for placed in plan.placements}
    first = min((one for one in plan.placements if len(one.tasks) > 1), key=lambda one: (one.start, one.key))
    now = first.start + timedelta(minutes=15)
    others = tuple(one for one in plan.placements if one.start > now)
    for end, crew, holds in (
        (first.end, first.crew, True),
        (first.end + timedelta(minutes=45), first.crew, True),
        (first.end + timedelta(minutes=75), first.crew, False),
        (first.end + timedelta(days=1), first.crew, False),
        (first.end, "somebody else", False),
    ):
        begun = replace(first, tasks=first.tasks[:1], start=now, end=now + timedelta(minutes=15))
        rest = replace(first, tasks=first.tasks[1:], start=begun.end, end=end, crew=crew)
        assert agree(plan, replace(plan, made_at=now, placements=(begun, rest, *others)), zones) is holds, end


@settings(max_examples=thorough.examples(15, 6), deadline=None)
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
