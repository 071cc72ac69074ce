"""The solver's view of a few blocks: what it knows of the plan, and how its answers come back to the board."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from crewjobs.domain.plan import BlockKey
from crewjobs.domain.tasks import Phase
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.list_schedule import first_board
from crewjobs.engines.planning.problem import Earliest
from crewjobs.engines.planning.solving import booked, freed
from tests.engines.planning.networks import MONDAY, Network, at, crew, job, problem, shop

TEAR, LAY = BlockKey(job=1, task=1), BlockKey(job=1, task=2)


def planks_after_the_plan() -> Board:
    """Return a week with a house to tear out, whose planks come two days after the plan's end."""
    net = Network(job=job(1, drive=0))
    net.add("Tear out", Phase.DEMOLITION, 240)
    net.add("Lay rows", Phase.INSTALL, 480, 1)
    come = Earliest(at=at(MONDAY + timedelta(days=9), "07:30"), reason="planks come")
    board, _ = first_board(problem([net.record()], shop(crew("Birch")), days=7, earliest={(1, 2): (come,)}))
    return board


def test_a_house_that_opens_after_the_plans_end_is_no_worse_for_the_solver() -> None:
    """Packed, the house opens next to its planks after the plan's end: the solver's answer with the same places is taken."""
    board = planks_after_the_plan()
    was = board.bookings_of(1)
    assert was[TEAR].start >= board.floor.until
    found = freed(board, board.floor, list(was))
    assert found is not None
    settled = booked(found, found.hint, board, board.floor)
    assert settled is not None
    assert settled[1].bookings == was


def test_where_packing_opens_a_house_too_late_it_stays_as_it_was_placed() -> None:
    """Opened in the plan's time and packed out of it, a house is taken as the solver placed it."""
    board = planks_after_the_plan()
    floor, settled = board.floor, board.lift(1)
    early = floor.first(board.works[1].record, board.works[1].blocks[TEAR], "Birch", 0)
    assert early is not None
    board.put(1, replace(settled, bookings={**settled.bookings, TEAR: early}))
    before = list(floor.timelines["Birch"].bookings)
    found = freed(board, floor, [TEAR, LAY])
    assert found is not None
    answer = booked(found, found.hint, board, floor)
    assert answer is not None
    assert answer[1].bookings[TEAR] == early
    assert floor.timelines["Birch"].bookings == before, "the board is as it was"
