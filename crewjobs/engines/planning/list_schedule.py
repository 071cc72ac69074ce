"""Serial schedule generation: one job after the other, each with the crew that serves its promise best.

The order of jobs is `jobwork.rank`: work begun and pins, then promises by the time left, then wished starts.
A job goes to one crew wherever that crew can do its blocks; a block only another crew can do goes to that
one. Every block takes the earliest gap its links, waits and facts allow, then the job is packed towards its
end so that the house is open as few days as it can be. Every crew is tried, the best ones in a few more ways
(`placing.Way`), and the least `Cost` wins. Jobs placed do not move again here; `search` moves them.
The same problem always gives the same plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import NO_ROOMS, NOT_BOOKED, LeftOut, WeekPlan
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.calmest import calmest
from crewjobs.engines.planning.critical_path import Circle
from crewjobs.engines.planning.jobwork import Floor, JobWork, job_work, rank
from crewjobs.engines.planning.problem import PlanProblem, Progress, Stop


def plan_week(problem: PlanProblem, progress: Progress | None = None, stop: Stop | None = None) -> WeekPlan:
    """Return a plan of all open work of booked jobs, with a reason for every place and a why for all left out.

    `progress` is told after every job; `stop` is asked before every job and ends the planning with the
    jobs planned so far. Jobs that cannot be planned never stop the others.
    """
    return plan_of(problem, *first_board(problem, progress, stop))


def plan_of(problem: PlanProblem, board: Board, left_out: Sequence[LeftOut]) -> WeekPlan:
    """Return what is settled on a board as a plan, with what stands of today and the jobs that never came onto it."""
    left = (*left_out, *board.left_out())
    return WeekPlan(
        made_at=problem.now,
        until=problem.now + timedelta(days=problem.days),
        placements=(*problem.stands, *board.placements()),
        left_out=tuple(sorted(left, key=lambda left: (left.job, left.tasks))),
        unkept=tuple(board.unkept_pins()),
    )


def first_board(
    problem: PlanProblem, progress: Progress | None = None, stop: Stop | None = None, *, keeping: bool = False
) -> tuple[Board, tuple[LeftOut, ...]]:
    """Return a board with every job settled, and the jobs that never came onto it.

    `keeping` repairs the plan before and leaves what can stay, whether or not anything better is possible by now; a
    promise that would be lost is won back where that moves little more (`calmest`).
    """
    stopped, left_out, works, floor = False, list[LeftOut](), list[JobWork](), Floor(problem)
    for record in sorted(problem.jobs, key=lambda record: record.job.number):
        work = _taken_up(record, floor, left_out)
        if work is not None:
            works.append(work)
    works.sort(key=lambda work: rank(work, floor))

    def ends() -> bool:
        nonlocal stopped
        stopped = stopped or (stop is not None and stop())
        return stopped

    def make(*, slides: bool = True, first: tuple[int, str] | None = None) -> Board:
        nonlocal progress
        board = Board(floor.emptied(), works, keeping=keeping, slides=slides, first=first)
        _settle(board, works, ends, progress)
        progress = None  # told of the first board alone
        return board

    return calmest(make) if keeping else make(), tuple(left_out)


def _settle(board: Board, works: Sequence[JobWork], ends: Stop, progress: Progress | None) -> None:
    """Settle every job that is not yet; those whose turn does not come before `ends` says so are left out."""
    for done, work in enumerate(works):
        if work.number in board.settled:
            continue
        if ends():
            board.stopped(work.number)
            continue
        board.place(work.number, unpin=True)
        if progress is not None:
            progress(done + 1, len(works), f"job {work.number}")


def _taken_up(record: JobRecord, floor: Floor, left_out: list[LeftOut]) -> JobWork | None:
    """Return the work of a booked job; note why another is left out."""
    job = record.job
    open_tasks = tuple(task.number for task in record.tasks if task.open)
    if job.state in (JobState.ASKED, JobState.QUOTED):
        left_out.append(LeftOut(job=job.number, tasks=open_tasks, why=f"{job.state.value}{NOT_BOOKED}"))
    if job.state is JobState.BOOKED and not record.tasks and record.to_do:
        left_out.append(LeftOut(job=job.number, tasks=(), why=NO_ROOMS))
    if job.state is not JobState.BOOKED or not open_tasks:
        return None
    try:
        return job_work(record, floor)
    except Circle as circle:
        named = Circle(circle.tasks, [f"{n} '{record.task(n).title}'" for n in circle.tasks])
        left_out.append(LeftOut(job=job.number, tasks=open_tasks, why=str(named).removesuffix(".")))
        return None
