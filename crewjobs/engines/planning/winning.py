"""Promises that a repair would lose, won back where that moves little more: such a job is placed before what stays.

What stays has its places first, so that a job which a fact hits finds the gaps between, days after its promise at times,
though another crew could be at it for an hour before its own work. Every plan tried here is a whole board of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.objective import Objective

WORTH = 4
"""Blocks that a promise won back may move besides: what a day is worth where plans are compared (`common practice`)."""
MOST = 3
"""Promises that are tried to be won back; a repair answers at once."""


class _Loss(NamedTuple):
    """What a repaired plan costs people who know the plan before: for another to win, no part of it may be more."""

    missing: int
    """Blocks without a place."""
    late: int
    """Days after promises, by the jobs' weights."""
    moved: int
    """Blocks with another crew or more than four hours from where they were."""


def won_back(board: Board, again: Callable[[int, str], Board]) -> Board:
    """Return a repaired board, or one on which fewer promises are lost and no more than they are worth is moved.

    `again` makes the board anew with a job placed with a crew before all that stays.
    """
    lost = sorted(_lost(board), key=lambda number: (-board.works[number].record.job.weight, number))
    best, least = board, _loss(board)
    for number in lost[:MOST]:
        for crew in _in_time(board, number):
            if number not in _lost(best):
                break
            other = again(number, crew)
            loss, won = _loss(other), len(_lost(best)) - len(_lost(other))
            worth = least._replace(moved=least.moved + WORTH * won)
            if won > 0 and all(part <= known for part, known in zip(loss, worth, strict=True)):
                best, least = other, loss
    return best


def _in_time(board: Board, number: int) -> list[str]:
    """Return the crews that would keep a job's promise if they had nothing else to do; the board is left as it was."""
    settled = {one: board.lift(one) for one in list(board.settled)}
    work = board.works[number]
    found = [(crew, board.with_crew(crew)(work, 0)) for crew in board.floor.crews]
    for one, before in settled.items():
        board.put(one, before)
    return [crew for crew, one in found if not (one.refused or one.over_night or one.cost.missing or one.cost.late)]


def _lost(board: Board) -> frozenset[int]:
    """Return the jobs without pins whose promise the plan before kept and a board does not."""
    floor, previous, found = board.floor, board.floor.problem.previous, set[int]()
    for number, settled in board.settled.items():
        work = board.works[number]
        promised = work.record.job.promised
        before = [p.end for p in previous.placements if p.key.job == number] if previous is not None else []
        ends = [booking.end for booking in board.bookings_of(number).values()]
        if promised is None or work.pins or not before or not ends:
            continue
        was, now = (floor.date_of(work.record, slot - 1) for slot in (floor.axis.up(max(before)), max(ends)))
        if was <= promised and (now > promised or settled.missing):
            found.add(number)
    return frozenset(found)


def _loss(board: Board) -> _Loss:
    objective = Objective(board.floor)
    costs = [
        objective.of_job(board.works[number], board.bookings_of(number), settled.missing)
        for number, settled in board.settled.items()
    ]
    return _Loss(
        missing=sum(cost.missing for cost in costs),
        late=sum(cost.late for cost in costs),
        moved=sum(cost.moved for cost in costs),
    )
