"""What open work still waits for, at least and at most."""

from __future__ import annotations

from collections.abc import Container, Sequence

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Link
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.planning.calendars import Calendar
from crewjobs.engines.planning.problem import BlockLink


def open_links(record: JobRecord, begun: Container[int], among: Sequence[int] | None = None) -> tuple[Link, ...]:
    """Return what open tasks (or the tasks `among`) still wait for among each other.

    A task that is not needed passes on what it waited for at least, not what it waited for at most: that was meant for
    the task itself. What is done waits for nothing, and work under way has stopped waiting. Of several links between
    two tasks the longest wait is kept, and beside it the shortest at most.
    """
    tasks = {task.number: task for task in record.tasks}
    alive = frozenset(among) if among is not None else frozenset(task.number for task in record.tasks if task.open)
    into: dict[int, list[Link]] = {}
    for link in record.links:
        into.setdefault(link.after, []).append(link)
    found: dict[tuple[int, int], Link] = {}
    tight: dict[tuple[int, int], Link] = {}
    for number in sorted(alive):
        if number in begun:
            continue
        look, seen = list(into.get(number, ())), {number}
        while look:
            link = look.pop(0)
            if link.before in alive:
                pair = (link.before, number)
                if pair not in found or found[pair].wait_min < link.wait_min:
                    found[pair] = Link(before=pair[0], after=pair[1], wait_min=link.wait_min, name=link.name)
                if link.most_min is not None and link.after == number:
                    tight[pair] = min(tight.get(pair, link), link, key=_most)
            elif tasks[link.before].not_needed and link.before not in seen:
                seen.add(link.before)
                look.extend(into.get(link.before, ()))
    if not tight:
        return tuple(found[pair] for pair in sorted(found))
    kept = []
    for pair in sorted(found):
        if pair not in tight or tight[pair].wait_min < found[pair].wait_min:
            kept.append(found[pair])
        if pair in tight:
            kept.append(tight[pair])
    return tuple(kept)


def _most(link: Link) -> int:
    assert link.most_min is not None
    return link.most_min


def most_slots(link: BlockLink, spare_min: int) -> int:
    """Return the slots by which block `after` may start at most after the last slot of block `before`, rounded down.

    The work of `before` is done `spare_min` minutes before its last slot is over, so these are taken off: on the clock
    the wait is never longer than said. Too short a wait gives fewer slots than none: it cannot be planned.
    """
    assert link.most_min is not None
    return (link.most_min - spare_min) // QUARTER


def start_to_end_by(calendar: Calendar, work: int, slot: int) -> int:
    """Return the earliest slot at which `work` slots of work can start that end no sooner than a slot."""
    index = max(0, calendar.count(slot - 1) - work + 1)
    return calendar.slot(index) if index < calendar.total else slot


def end_of_start_by(calendar: Calendar, work: int, slot: int) -> int:
    """Return the slot at which `work` slots end that start no later than a slot; what ends later starts later."""
    index = calendar.count(slot + 1) - 1
    if index < 0:
        return 0
    last = min(index + work, calendar.total) - 1
    return calendar.slot(last) + 1
