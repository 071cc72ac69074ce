"""The weeks as PyJobShop takes them: an easier problem than ours, so that what it falls behind is not ours to blame.

Crews are machines whose breaks are their nights, lunches and days off, blocks are tasks with a mode a crew, waits are
delays, and the one objective is total weighted tardiness against the ends of the promised days, in slots. It is told
nothing of drives, site hours, days a customer excludes or houses that stand open.
"""

from __future__ import annotations

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.board import Board
from crewjobs.engines.planning.buffers import promise_instant
from crewjobs.engines.planning.calendars import Calendar, slots_of


def lateness_of_peer(board: Board, seconds: float, workers: int, seed: int) -> tuple[int | None, int]:
    """Return the slots late by weight of the peer's answer, None where it has none in time, and its bound."""
    try:
        from pyjobshop import Model
    except ImportError:
        raise Refused("the peer is not installed: pip install -e '.[bench]'.") from None
    floor = board.floor
    model = Model()
    machines = {
        crew: model.add_machine(breaks=_breaks(floor.calendars.crew(crew), floor.axis.slots), name=crew)
        for crew in floor.crews
    }
    for work in board.works.values():
        promise, weight = promise_instant(work.record), work.record.job.weight
        due = 2 * floor.axis.slots if promise is None else floor.axis.down(promise)  # the peer wants one of every job
        job = model.add_job(weight=weight, due_date=due)
        tasks = {}
        for key in work.order:
            block, fact = work.blocks[key], work.ready.get(key)
            tasks[key] = model.add_task(
                job=job,
                earliest_start=0 if fact is None else floor.axis.up(fact.at),
                allow_breaks=block.pause is not Pause.NONE,
            )
            for crew, machine in machines.items():
                if floor.able(block, crew):
                    model.add_mode(tasks[key], machine, floor.slots(block, crew))
            for link in work.into[key]:
                model.add_end_before_start(tasks[link.before], tasks[key], delay=slots_of(link.wait_min))
    model.set_objective(weight_total_tardiness=1)
    result = model.solve(time_limit=seconds, num_workers=workers, display=False, random_seed=seed)
    if not result.best.tasks:
        return None, round(result.lower_bound)
    return round(result.objective), round(result.lower_bound)


def _breaks(hours: Calendar, slots: int) -> list[tuple[int, int]]:
    """Return when a crew does not work."""
    edges = [0, *(edge for window in zip(hours.starts, hours.ends, strict=True) for edge in window), slots + 1]
    return [(start, end) for start, end in zip(edges[::2], edges[1::2], strict=True) if start < end]
