"""From when to when a place of a house cannot be used by the plan.

Each place has the minutes of its own tasks inside a block, by the quarter hour outward. Waits count from where the calendar, the
week and the crew's page count them (`Planned.waits_from`), so that a customer reads one instant everywhere. Waits whose name tells
of furniture end its being away; every other wait that begins with laying ends nobody walking there. Where nobody of the crew puts
anything back no link holds the wait for furniture: the template of the laying says it, since it is the customer's to know.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final, TypeAlias

from crewjobs.domain.house import Stairs
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, ScopeKind, Task
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import is_looking
from crewjobs.services.weeks.visits import Planned, quarter_after, quarter_before

Times: TypeAlias = Mapping[int, tuple[datetime, datetime]]
"""By task from when to when it is worked by the plan (UTC)."""
LEAD_CHECKED: Final = "lead-clean-check"
"""The template of cleaning after old paint, with the check of the certified renovator."""
FURNITURE: Final = "furniture"
"""In the name of a wait: what it keeps off the floor."""


def working(tasks: Sequence[Task]) -> list[Task]:
    """Return those of a place's tasks that keep people out of it."""
    return [task for task in tasks if not task.not_needed and not is_looking(task) and not is_carry_in(task)]


def places(record: JobRecord) -> Iterator[tuple[str, list[Task], list[Task]]]:
    """Yield the sections and stairs that get a floor by name, each with its own tasks, and those with its whole room's too."""
    for room in record.job.rooms:
        if room.floor is not None:
            for section in room.sections:
                name = ", ".join(filter(None, (room.name, section.name)))
                mine = [t for t in record.tasks if _at(t, room.name, section.name, whole=len(room.sections) == 1)]
                yield name, mine, [t for t in record.tasks if _at(t, room.name, section.name, whole=True)]
    for flight in record.job.stairs:
        if flight.floor is not None:
            mine = [task for task in record.tasks if task.key.scope.name == flight.name and on_stairs(task)]
            yield flight.name, mine, mine


def _at(task: Task, room: str, part: str, *, whole: bool) -> bool:
    scope = task.key.scope
    if scope.name != room:
        return False
    return (scope.kind is ScopeKind.SECTION and scope.part == part) or (whole and scope.kind is ScopeKind.ROOM)


def usable_from(
    found: Planned | None, times: Times, record: JobRecord, laying: Sequence[Task], catalogue: Catalogue | None = None
) -> dict[bool, datetime | None]:
    """Return when what is laid may be walked on (False) and furnished (True), waits counted; None where nobody knows.

    `catalogue`: whose templates say how long furniture waits where no task of the job does; None where walking alone is asked.
    """
    done = [end_of(times, task) for task in (*laying, *_checks(record))]
    if not laying or any(end is None for end in done):
        return {False: None, True: None}
    numbers = {task.number: found.waits_from(record, task) if found else task.done_at for task in laying}
    latest = {False: max(end for end in done if end), True: max(end for end in done if end)}
    for link in record.links:
        start = numbers.get(link.before)
        if start is not None and link.wait_min:
            kind = FURNITURE in link.name
            latest[kind] = max(latest[kind], start + timedelta(minutes=link.wait_min))
    held = {link.before for link in record.links if FURNITURE in link.name}
    for task in laying:
        start = numbers[task.number]
        if start is not None and task.number not in held:
            latest[True] = max(latest[True], start + timedelta(minutes=_furniture_min(catalogue, task)))
    return {False: latest[False], True: max(latest.values())}


def counts_as_laid(times: Times, record: JobRecord, laying: Sequence[Task], now: datetime) -> bool:
    """Return whether of what must be done before anybody walks on a floor something open was to be done by now: nobody has said it is."""
    return any(
        task.open and task.number in times and times[task.number][1] <= now for task in (*laying, *_checks(record))
    )


def _checks(record: JobRecord) -> list[Task]:
    # Where old paint was worked, nobody lives in the work area before it is cleaned and the certified renovator has checked it
    # (40 CFR 745.85, from memory).
    return [one for one in record.tasks if one.key.template == LEAD_CHECKED and not one.not_needed]


def _furniture_min(catalogue: Catalogue | None, task: Task) -> int:
    """Return how many minutes by the clock furniture waits after a task, by its template; 0 where it does not."""
    template = catalogue.template(task.key.template) if catalogue else None
    return max((wait.minutes for wait in template.waits if FURNITURE in wait.name), default=0) if template else 0


def end_of(times: Times, task: Task) -> datetime | None:
    """Return when a task was done or is planned to end, by the quarter hour; None if it is neither."""
    if task.done_at is not None:
        return task.done_at
    placed = times.get(task.number)
    return quarter_after(placed[1]) if placed else None


def start_of(times: Times, works: Sequence[Task]) -> datetime | None:
    """Return when the first of the planned tasks begins, by the quarter hour; None if none is planned."""
    known = [times[task.number][0] for task in works if task.number in times]
    return quarter_before(min(known)) if known else None


def on_stairs(task: Task) -> bool:
    """Return whether a task is done on stairs."""
    return task.key.scope.kind is ScopeKind.STAIRS


def floored_stairs(record: JobRecord) -> Iterator[tuple[Stairs, list[Task]]]:
    """Yield the stairs of a job that get a floor and are not done yet, each with its work."""
    for flight in record.job.stairs:
        works = working([task for task in record.tasks if task.key.scope.name == flight.name and on_stairs(task)])
        if flight.floor is not None and any(task.open for task in works):
            yield flight, works
