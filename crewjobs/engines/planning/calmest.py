"""A repaired plan, the best of a few: fewer promises lost, and less moved, than what stays leaves by itself.

What stays has its places first, so that a job which a fact hits finds the gaps between, days after its promise at times,
though another crew could be at it for an hour before its own work; and where keeping what can stay would lose a promise,
all may slide behind what takes longer, though one job elsewhere would do. Every plan tried here is a whole board.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.jobwork import JobWork
from crewjobs.engines.planning.objective import Objective

WORTH = 4
"""Blocks that a promise won back may move besides: what a day is worth where plans are compared (`common practice`)."""
MOST = 3
"""Promises that are tried to be won back; a repair answers at once."""


class Make(Protocol):
    """Makes a repaired board: with `slides` jobs may slide behind others, `first` is a job and the crew that has it first."""

    def __call__(self, *, slides: bool = True, first: tuple[int, str] | None = None) -> Board:
        """Return a board with every job settled."""
        ...


class _Loss(NamedTuple):
    """What a repaired plan costs people who know the plan before; of two the one is better of which no part is more."""

    missing: int = 0
    """Blocks without a place."""
    lost: int = 0
    """Promises that the plan before kept and this one does not."""
    crews: int = 0
    """Crews that come to a house beyond the first."""
    told: int = 0
    """Blocks of today and the next day that move, and days by which finishes are others than customers were told."""
    moved: int = 0
    """Blocks with another crew or more than four hours from where they were."""
    late: int = 0
    """Days after promises, by the jobs' weights."""

    def no_more_than(self, other: _Loss) -> bool:
        """Return whether no part is more than the other's."""
        return all(mine <= theirs for mine, theirs in zip(self, other, strict=True))


def calmest(make: Make) -> Board:
    """Return the repaired board that costs people least, of those that are tried."""
    first = make()
    best = _won_back(first, make, slides=True)
    if first.slid:
        other = _won_back(make(slides=False), make, slides=False)
        less, least = _loss(other)._replace(told=0), _loss(best)._replace(told=0)
        if less < least and less.no_more_than(least):
            best = other
    _nearer(best)
    return best


def _won_back(board: Board, make: Make, *, slides: bool) -> Board:
    """Return a board, or one on which fewer promises are lost and no more than they are worth is moved.

    To keep a promise another crew may come, and the pages that are out change.
    """
    lost = sorted(_lost(board), key=lambda number: (-board.works[number].record.job.weight, number))
    best, least = board, _loss(board)
    for number in lost[:MOST]:
        for crew in _in_time(board, number):
            if number not in _lost(best):
                break
            other = make(slides=slides, first=(number, crew))
            loss = _loss(other)
            won = least.lost - loss.lost
            worth = least._replace(crews=loss.crews, told=loss.told, moved=least.moved + WORTH * won)
            if won > 0 and loss.no_more_than(worth):
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


def _nearer(board: Board) -> None:
    """Put each job that moves back where that costs nobody more, now that all others have their places.

    What follows its own work begun stays with that.
    """
    objective = Objective(board.floor)
    for number, work in board.works.items():
        least = _loss_of(board, objective, number)
        if work.pins or not least.moved or board.keeper.goes_on_sooner(work):
            continue
        best = board.lift(number)
        for choose in (board.chooser.best, board.keeper.nearest):
            settled = board.place(number, choose)
            loss = _loss_of(board, objective, number)
            board.lift(number)
            if loss < least and loss.no_more_than(least):
                best, least = settled, loss
        board.put(number, best)


def _loss(board: Board) -> _Loss:
    objective = Objective(board.floor)
    parts = [_loss_of(board, objective, number) for number in board.settled]
    return _Loss(*(sum(part) for part in zip(*parts, strict=True)))


def _loss_of(board: Board, objective: Objective, number: int) -> _Loss:
    settled, work = board.settled[number], board.works[number]
    cost = objective.of_job(work, board.bookings_of(number), settled.missing)
    lost = _is_lost(board, work)
    return _Loss(missing=cost.missing, lost=lost, crews=cost.crews, told=cost.told, moved=cost.moved, late=cost.late)


def _lost(board: Board) -> frozenset[int]:
    """Return the jobs without pins whose promise the plan before kept and a board does not."""
    return frozenset(n for n in board.settled if not board.works[n].pins and _is_lost(board, board.works[n]))


def _is_lost(board: Board, work: JobWork) -> bool:
    floor, previous, promised = board.floor, board.floor.problem.previous, work.record.job.promised
    before = [p.end for p in previous.placements if p.key.job == work.number] if previous is not None else []
    ends = [booking.end for booking in board.bookings_of(work.number).values()]
    if promised is None or not before or not ends:
        return False
    was, now = (floor.date_of(work.record, slot - 1) for slot in (floor.axis.up(max(before)), max(ends)))
    return was <= promised and (now > promised or board.settled[work.number].missing > 0)
