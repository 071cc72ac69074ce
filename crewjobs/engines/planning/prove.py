"""Whether a plan is proven best up to the days of its cost: every job as good as it could be if it had all crews to itself.

Costs of a plan are sums over its jobs, and sums keep an order in which the first difference decides: where no job
could be better alone, no plan of all of them can be better. Each job alone is settled by the solver, to proof, in
days late, crews and days; nothing is missing, told otherwise, moved or short, which is the least of each. Visits and the
slots at which jobs end, which decide only between plans equal in all that, are not proven. Nothing is claimed where the
solver's model is not exact: people out, second trips, night shifts, pins, days told to customers, work that moves,
promises with too little time kept, work without a place. That a plan is not proven best does not mean there is a better.
"""

from __future__ import annotations

from concurrent.futures import Executor, Future

from crewjobs.domain.crew import Crew
from crewjobs.domain.wall import DAY
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.objective import OPEN, QUARTERS, SHORT, Objective, PlanCost, Weights
from crewjobs.engines.planning.problem import Stop
from crewjobs.engines.planning.solving import Freed, freed, model_of
from crewjobs.engines.scheduling.solver import Answer, solve

EXACT = Weights(late_day=1_000_000, crew=1_000, told=0, short=0, day=1, moved=0, end=0)
"""Days late before crews before days: for one job no part can outgrow the next one's unit."""
NIGHT_MIN = 2 * 60
"""Who works this close to midnight may end on another day of the site than the model counts."""
SOLVER_WORK = 4.0
"""What a solver may do for one job, in its own count of work, before nothing is claimed."""


def proven(board: Board, floor: Floor, objective: Objective, pool: Executor, stop: Stop | None = None) -> bool:
    """Return whether no plan is better in blocks placed, days late, crews, what was told, days and what moves.

    Visits and ends within a day (`PlanCost.comings`, `PlanCost.end`) are not looked at. False says only that it is not
    proven.
    """
    if any(floor.roster.days(crew) for crew in floor.crews) or any(map(_by_night, floor.crews.values())):
        return False
    running: list[tuple[int, Future[Answer]]] = []
    for number in board.works:
        cost = _cost(board, objective, number)
        work = board.works[number]
        settled = board.settled[number]
        wish_dropped = work.record.job.wished is not None and not settled.wished and not work.under_way
        if cost.missing or cost.told or cost.short or cost.moved or work.pins or board.unkept or wish_dropped:
            return False
        if any(block.second for block in work.blocks.values()):
            return False
        if not settled.bookings:
            continue
        alone = _alone(board, floor, number)
        if alone is None:
            return False
        model = model_of(alone, board, floor, objective, EXACT)
        running.append(
            (number, pool.submit(solve, model, deterministic=SOLVER_WORK, workers=1, stop=stop or (lambda: False)))
        )
    answers = [(number, future.result()) for number, future in running]
    return all(answer.proven and answer.value == _value(board, objective, number) for number, answer in answers)


def _by_night(crew: Crew) -> bool:
    spans = [span for day in crew.hours.every for span in day]
    return any(span.start < NIGHT_MIN or span.end > DAY - NIGHT_MIN for span in spans)


def _cost(board: Board, objective: Objective, number: int) -> PlanCost:
    settled = board.settled[number]
    return objective.of_job(board.works[number], board.bookings_of(number), settled.missing)


def _alone(board: Board, floor: Floor, number: int) -> Freed | None:
    """Return a job with all other jobs off the board, which is as before when this returns."""
    others = {other: board.lift(other) for other in list(board.settled) if other != number}
    try:
        return freed(board, floor, list(board.settled[number].bookings))
    finally:
        for other, settled in others.items():
            board.put(other, settled)


def _value(board: Board, objective: Objective, number: int) -> int:
    """Return what a job costs as it is, by the weights of the proof and the model's count of crews."""
    work, cost = board.works[number], _cost(board, objective, number)
    fixed = board.bookings_of(number).keys() - board.settled[number].bookings.keys()
    bookings = board.bookings_of(number)
    here = {bookings[key].crew for key in fixed}.union(work.crews_seen)
    new = {booking.crew for booking in bookings.values()} - here
    first_day = OPEN if any(key not in work.ahead for key in bookings) else 0  # the model counts nights, not days
    days = cost.days // QUARTERS - SHORT * cost.short - first_day
    return EXACT.late_day * cost.late + EXACT.crew * len(new) + EXACT.day * days
