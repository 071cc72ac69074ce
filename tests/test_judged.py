"""The judge of all plans made in tests sees a bad one, wherever it is made, once, unless the test opted out."""

from __future__ import annotations

import pytest

from crewjobs.engines.answering import trial, when
from crewjobs.engines.planning import improve, list_schedule
from crewjobs.engines.planning.board import Board
from tests.engines.planning.networks import crew, house, problem, shop
from tests.judged import Judging

WEEK = problem([house(1), house(2)], shop(crew("Birch")))


@pytest.fixture
def planner_loses_a_block(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have the planner hand out plans without their last block."""
    placements = Board.placements
    monkeypatch.setattr(Board, "placements", lambda board: placements(board)[:-1])


def test_every_way_to_a_plan_is_judged() -> None:
    """Whoever makes plans does so by the function that is watched."""
    for module in (improve, trial, when):
        assert module.plan_of is list_schedule.plan_of  # type: ignore[attr-defined]
    assert list_schedule.plan_of.__module__ == "tests.judged"


@pytest.mark.usefixtures("planner_loses_a_block")
def test_a_bad_plan_fails_with_the_judges_sentences(judging: Judging) -> None:
    """A block that is nowhere is said at once, and is kept for a test that swallows what is raised."""
    with pytest.raises(AssertionError, match=r"job 2, task \d+: is in the plan 0 times, not once\."):
        list_schedule.plan_week(WEEK)
    with pytest.raises(AssertionError, match="the judge finds"):
        improve.planned_cost(WEEK)
    assert judging.faults
    judging.faults.clear()  # else this test fails, as it should


@pytest.mark.contradictory("the planner is made to lose a block")
@pytest.mark.usefixtures("planner_loses_a_block")
def test_who_opts_out_is_not_judged(judging: Judging) -> None:
    """A test whose facts contradict each other says so, with a reason, and its plans are not looked at."""
    before = judging.judged
    assert list_schedule.plan_week(WEEK).placements
    assert judging.judged == before


def test_a_plan_is_judged_once(judging: Judging) -> None:
    """The same plan of the same problem is not judged again in a test."""
    before = judging.judged
    list_schedule.plan_week(WEEK)
    list_schedule.plan_week(WEEK)
    assert judging.judged == before + 1


def test_a_job_that_is_lifted_is_not_missed(judging: Judging) -> None:
    """A board without one of its jobs gives a plan of the others: that is judged, without the job."""
    board, left_out = list_schedule.first_board(WEEK)
    board.lift(2)
    before = judging.judged
    assert {placed.key.job for placed in list_schedule.plan_of(WEEK, board, left_out).placements} == {1}
    assert judging.judged == before + 1
