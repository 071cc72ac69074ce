"""When a plan is called proven best."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta

import pytest

from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.list_schedule import first_board
from crewjobs.engines.planning.objective import Objective
from crewjobs.engines.planning.prove import proven
from tests.engines.planning.networks import MONDAY, booked_weeks, crew, house, problem, shop


@pytest.mark.parametrize("seed", [1, 2])
def test_what_is_proven_no_search_betters(seed: int) -> None:
    """Small weeks with a crew a job are proven; searches from other seeds find nothing better up to the days."""
    week = booked_weeks(2, 3, 3, seed)
    found = improve(week, rounds=8, seed=0)
    assert found.proven
    for other in (1, 2):
        assert improve(week, rounds=4, seed=other, workers=0).cost[:5] >= found.cost[:5]


def test_a_job_that_could_be_sooner_is_not_proven() -> None:
    """One house, one crew: as planned it is proven; put back a day later it is not."""
    board, _ = first_board(problem([house(1)], shop(crew("Birch"))))
    with ThreadPoolExecutor(1) as pool:
        assert proven(board, board.floor, Objective(board.floor), pool)
        settled = board.lift(1)
        assert settled.way is not None
        since = board.floor.day(board.works[1].record, MONDAY + timedelta(days=9))[0]
        later = replace(settled.way, since=since)
        board.place(1, lambda work, _: board.chooser.attempt(work, later))
        assert not proven(board, board.floor, Objective(board.floor), pool)


def test_two_jobs_for_one_crew_are_not_proven() -> None:
    """Where one waits for the other's crew, alone it would be sooner: nothing is claimed."""
    board, _ = first_board(problem([house(1), house(2)], shop(crew("Birch"))))
    with ThreadPoolExecutor(1) as pool:
        assert not proven(board, board.floor, Objective(board.floor), pool)


def test_nothing_is_claimed_with_work_left_out() -> None:
    """A job without a place, whatever the reason, leaves the plan unproven."""
    week = problem([house(1), house(2)], shop(crew("Birch"), crew("Cedar")), impossible={(2, 7): "oak is not ordered"})
    assert not improve(week, rounds=7).proven
