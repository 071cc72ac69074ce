"""The judge's view of what waits for what, from the bare records."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement
from crewjobs.domain.tasks import Link, Task

Placements = Mapping[tuple[int, int], Placement]
"""Where tasks are planned, by job and number."""


def raw_links(record: JobRecord, begun: Callable[[Task], bool]) -> Iterator[Link]:
    """Yield what open tasks wait for among open tasks, through tasks that are not needed; at least only."""
    tasks = {task.number: task for task in record.tasks}
    for task in record.tasks:
        if not task.open or begun(task):
            continue
        look, seen = [task.number], {task.number}
        while look:
            number = look.pop()
            for link in record.links:
                if link.after != number:
                    continue
                if tasks[link.before].open:
                    yield Link(before=link.before, after=task.number, wait_min=link.wait_min, name=link.name)
                elif tasks[link.before].not_needed and link.before not in seen:
                    seen.add(link.before)
                    look.append(link.before)


def followed_soon(record: JobRecord) -> list[tuple[int, int]]:
    """Return the pairs of open tasks of which the second must follow the first soon."""
    tasks = {task.number: task for task in record.tasks}
    ties = [(link.before, link.after) for link in record.links if link.most_min is not None]
    return [(before, after) for before, after in ties if tasks[before].open and tasks[after].open]


def too_late(
    now: datetime,
    record: JobRecord,
    planned: Placements,
    begun: Callable[[Task], bool],
    times: Callable[[Placement, int], tuple[datetime, datetime]],
) -> Iterator[str]:
    """Yield each task that starts later after another than their link says at most; `times` gives when one is done.

    What was ticked counts from the tick, as long as that time had not run out when the plan was made. What must be
    followed soon is not planned alone.
    """
    job, tasks = record.job.number, {task.number: task for task in record.tasks}
    for link in record.links:
        before, after = tasks[link.before], tasks[link.after]
        if link.most_min is None or before.not_needed or not after.open or begun(after):
            continue
        first, then = planned.get((job, link.before)), planned.get((job, link.after))
        most = timedelta(minutes=link.most_min)
        said = f"job {job}: task {link.after} starts more than {link.most_min} minutes after task {link.before}"
        if before.done_at is not None:
            by = before.done_at + most
            if then is not None and before.done_at <= now <= by and times(then, link.after)[0] > by:
                yield f"{said}, which is done."
        elif first is not None and then is None and not begun(before):
            yield f"job {job}: task {link.before} is planned, task {link.after} that must follow soon is not."
        elif (
            first is not None and then is not None and times(then, link.after)[0] - times(first, link.before)[1] > most
        ):
            yield f"{said}."
