"""The solver's view of a few blocks: what it knows of the plan, and how its answers come back to the board."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from crewjobs.domain.crew import SharedTool
from crewjobs.domain.plan import BlockKey
from crewjobs.domain.tasks import Link, Pause, Phase
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.list_schedule import first_board, plan_week
from crewjobs.engines.planning.objective import Objective, Weights
from crewjobs.engines.planning.problem import Earliest
from crewjobs.engines.planning.solving import booked, freed, model_of
from crewjobs.engines.scheduling.solver import solve
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


def test_what_the_solver_is_told_of_waits_tools_and_the_way() -> None:
    """Waits at least and at most in slots, each shared tool with its number, and the drive between two houses."""
    records = []
    for number in (1, 2):
        net = Network(job=job(number, drive=20))
        prime = net.add("Prime", Phase.SUBFLOOR_PREP, 100, pause=Pause.LUNCH)
        pour = net.add("Pour leveler", Phase.SUBFLOOR_PREP, 240)
        net.links.append(Link(before=prime, after=pour, wait_min=120, name="primer dries", most_min=1440))
        records.append(net.record())
    week = problem(records, replace(shop(crew("Birch", 2)), tools=(SharedTool(name="mixer", count=1),)))
    week = replace(week, tools={(1, 2): frozenset({"mixer"}), (2, 2): frozenset({"mixer"})})
    board, _ = first_board(week)
    keys = [key for settled in board.settled.values() for key in settled.bookings]
    found = freed(board, board.floor, keys)
    assert found is not None
    # Two people are done with 100 minutes of labor 10 minutes before their fourth quarter is over.
    assert [(lag.least, lag.most) for lag in found.problem.lags] == [(8, (1440 - 10) // 15)] * 2
    assert found.problem.pools == (1,)
    assert {key.task: activity.uses for key, activity in zip(found.keys, found.problem.activities, strict=True)} == {
        1: (),
        2: ((0, 1),),
    }
    assert found.problem.setups == {(1, 2): 3, (2, 1): 3}, "40 minutes by way of the shop"


def solved(board: Board) -> dict[BlockKey, tuple[str, int, int]]:
    """Return the crew, start and end the solver finds for every loose block of a board, to proof."""
    keys = [key for settled in board.settled.values() for key in settled.bookings]
    found = freed(board, board.floor, keys)
    assert found is not None
    answer = solve(model_of(found, board, board.floor, Objective(board.floor), Weights()))
    assert answer.proven
    assert answer.schedule is not None
    return {
        key: (crews[place.mode], place.start, place.end)
        for key, crews, place in zip(found.keys, found.crews, answer.schedule, strict=True)
    }


def test_the_solver_puts_back_what_moved_for_nothing() -> None:
    """Planned for one of two like crews and put with the other, work goes back to the one that has it in the plan before."""
    net = Network(job=job(1, drive=0))
    net.add("Lay rows", Phase.INSTALL, 240)
    week = problem([net.record()], shop(crew("Birch", 2), crew("Cedar", 2)))
    plan = plan_week(week)
    (placed,) = plan.placements
    other = "Cedar" if placed.crew == "Birch" else "Birch"
    board, _ = first_board(replace(week, previous=plan))
    settled = board.lift(1)
    board.put(1, replace(settled, bookings={key: b._replace(crew=other) for key, b in settled.bookings.items()}))
    ((crew_found, _, _),) = solved(board).values()
    assert crew_found == placed.crew


def test_the_solver_keeps_time_before_a_promise() -> None:
    """Two days' work with a promise and one day's without: shortest first ends sooner in sum, but loses half days kept."""
    records = []
    for number, days, promised in ((1, 2, MONDAY + timedelta(days=3)), (2, 1, None)):
        net = Network(job=job(number, drive=0, promised=promised, weight=3))
        net.add("Lay rows", Phase.INSTALL, days * 16 * 60)
        record = net.record()
        tasks = tuple(
            replace(task, estimate=replace(task.estimate, high=2 * task.estimate.likely)) for task in record.tasks
        )
        records.append(replace(record, tasks=tasks))
    for kept, first in ((0, 2), (100, 1)):
        board, _ = first_board(problem(records, replace(shop(crew("Birch", 2)), kept_percent=kept)))
        starts = {key.job: start for key, (_, start, _) in solved(board).items()}
        assert min(starts, key=lambda number: starts[number]) == first
