"""Which tasks of a house stand side by side: three people are not one list.

Tasks that overlap by the clock and share nobody belong next to each other. People who share a
task share a lane for that stretch; a task of the whole crew (no initials) ends the stretch.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import time

from crewjobs.paper.model import TaskLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """The tasks of people who work together for a stretch, in the order of the day."""

    initials: tuple[str, ...]
    tasks: tuple[TaskLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Tasks to print together: one lane is a plain list, more stand side by side."""

    lanes: tuple[Lane, ...]

    @property
    def side_by_side(self) -> bool:
        """Whether people work apart at the same time here."""
        return len(self.lanes) > 1


def stretches(tasks: Sequence[TaskLine]) -> tuple[Stretch, ...]:
    """The tasks of one house in the order of the day, cut where the crew comes together again.

    Tasks without a time come last, in the order given.
    """
    timed = sorted((task for task in tasks if task.at is not None), key=_start)
    untimed = [task for task in tasks if task.at is None]
    return _merged([*(_split(group) for group in _overlapping(timed)), *(_plain([task]) for task in untimed)])


def _start(task: TaskLine) -> time:
    return task.at or time.min


def _end(task: TaskLine) -> time:
    """The planned end, never before the start."""
    return max(_start(task), task.until or _start(task))


def _overlapping(tasks: Sequence[TaskLine]) -> Iterator[list[TaskLine]]:
    """Groups whose people's work overlaps by the clock, one with the next."""
    group: list[TaskLine] = []
    busy_until = time.min
    for task in tasks:
        alone = not task.initials or (group and not group[-1].initials)
        if group and (alone or _start(task) >= busy_until):
            yield group
            group, busy_until = [], time.min
        group.append(task)
        busy_until = max(busy_until, _end(task))
    if group:
        yield group


def _plain(tasks: Sequence[TaskLine]) -> Stretch:
    return Stretch(lanes=(Lane(initials=_people(tasks), tasks=tuple(tasks)),))


def _people(tasks: Sequence[TaskLine]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(mark for task in tasks for mark in task.initials))


def _split(group: Sequence[TaskLine]) -> Stretch:
    """One lane for each set of people who share no task with the others."""
    lanes: list[list[TaskLine]] = []
    for task in group:
        joined = [lane for lane in lanes if set(_people(lane)) & set(task.initials)]
        lanes = [lane for lane in lanes if lane not in joined]
        lanes.append([*(earlier for lane in joined for earlier in lane), task])
    in_order = [sorted(lane, key=_start) for lane in lanes]
    in_order.sort(key=lambda lane: group.index(lane[0]))
    return Stretch(lanes=tuple(Lane(initials=_people(lane), tasks=tuple(lane)) for lane in in_order))


def _merged(found: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """Neighbouring plain lists as one list."""
    merged: list[Stretch] = []
    for stretch in found:
        if merged and not stretch.side_by_side and not merged[-1].side_by_side:
            before = merged.pop()
            stretch = _plain([*before.lanes[0].tasks, *stretch.lanes[0].tasks])
        merged.append(stretch)
    return tuple(merged)
