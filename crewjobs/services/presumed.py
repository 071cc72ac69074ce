"""Work that by the plan runs by now and that nobody has ticked yet: nobody types at seven in the morning."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.engines.readiness.house import HouseState, house
from crewjobs.engines.readiness.lots import is_carry_in

if TYPE_CHECKING:
    from crewjobs.domain.crew import Away, Shop
    from crewjobs.domain.job import JobRecord
    from crewjobs.domain.plan import Placement, WeekPlan


def as_planned_today(
    record: JobRecord,
    plans: Sequence[WeekPlan],
    shop: Shop,
    away: Sequence[Away],
    now: datetime,
    held: Callable[[int, datetime], bool],
) -> tuple[JobRecord, tuple[Placement, ...]]:
    """Return a job with today's work as far as it would be by the plan, and the places of what would be done of it.

    `plans` are those in force today, oldest first: a later one goes on with what ran by the one before. What would have
    ended is taken as done, what would run as begun, by whom and when it was planned. Only for the planner: a tick of one
    crew must not make another crew's morning start anew. `held` says whether a fact kept a task from beginning at an
    instant; that, a house answered not ready, a crew that has nobody there or has told its hours of today keep work from
    having begun. Cartons are carried in when somebody says so: hours run from then, and a truck comes when it comes.
    Nothing begins ahead of what it follows; of yesterday's work nothing is taken for granted.
    """
    latest = _of_today(record, plans[-1], now)
    runs = {task: placed.crew for placed in latest for task in placed.tasks if record.task(task).open}
    if not runs or house(record, now).state is HouseState.NOT_READY:
        return record, ()
    today = to_wall(record.job.site.zone, now).date()
    told = {hours.crew for hours in record.crew_hours if to_wall(record.job.site.zone, hours.start).date() == today}
    crews = {
        crew.name: crew
        for crew in with_parts(shop, away).crews
        if crew.name not in told and present(shop, away, crew.name, today)
    }
    begun: dict[int, datetime] = {}
    ended: dict[int, datetime] = {}
    for plan, until in zip(plans, [*(plan.made_at for plan in plans[1:]), now], strict=True):
        for placed in _of_today(record, plan, until):
            if placed.crew not in crews:
                continue
            last: dict[int, datetime] = {}
            for one in task_times(placed, record, shop, crews[placed.crew], plan.made_at):
                if one.start <= until and runs.get(one.task) == placed.crew and not held(one.task, one.start):
                    begun.setdefault(one.task, one.start)
                last[one.task] = max(one.end, last.get(one.task, one.end))
            ended.update({task: end for task, end in last.items() if task in begun and end <= until})
    begun = _with_all_before(record, begun)
    tasks = tuple(
        replace(
            task,
            started_at=task.started_at or begun[task.number],
            crew=runs[task.number],
            done_at=ended.get(task.number) if task.started_at is None else None,
        )
        if task.open and task.number in begun
        else task
        for task in record.tasks
    )
    done = {task.number for task in tasks if not task.open}
    stands = tuple(
        replace(placed, tasks=tuple(sorted(mine, key=placed.tasks.index)))
        for placed in latest
        if (mine := {task for task in placed.tasks if task in runs} & done)
    )
    return replace(record, tasks=tasks), stands


def _with_all_before(record: JobRecord, begun: dict[int, datetime]) -> dict[int, datetime]:
    """Return those tasks all of whose work before them is done or among them, and that carry nothing in."""
    found = {number: at for number, at in begun.items() if not is_carry_in(record.task(number))}
    while True:
        open_still = {task.number for task in record.tasks if task.open and task.number not in found}
        stuck = {link.after for link in record.links if link.before in open_still} & found.keys()
        if not stuck:
            return found
        found = {number: at for number, at in found.items() if number not in stuck}


def _of_today(record: JobRecord, plan: WeekPlan, until: datetime) -> list[Placement]:
    """Return where a plan has work of a job that began today, up to an instant."""
    zone = record.job.site.zone
    today = to_wall(zone, until).date()
    return [
        placed
        for placed in plan.placements
        if placed.key.job == record.job.number and placed.start <= until and to_wall(zone, placed.start).date() == today
    ]
