"""Early and late times of tasks and links, without crews: what is critical and how much play the rest has.

Times are minutes from the start of the first task. Source of the method: Hendrickson, Project Management
for Construction, chapter 10 (forward pass, backward pass, total and free float).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Link


class Circle(Refused):
    """Links that go in a circle; `tasks` are on it in order, the first named again at the end."""

    def __init__(self, tasks: Sequence[int], words: Sequence[str] = ()) -> None:
        self.tasks = tuple(tasks)
        named = " → ".join(words or [str(task) for task in tasks])
        super().__init__(f"the links go in a circle: {named}; take one of them out.")


Arc = tuple[int, int, int]
"""Task before, task after, minutes by the clock between the end of one and the start of the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """Early and late times of one task and its floats, in minutes.

    `free_float` is how far it may slip without moving any task after it; `tail` is the longest way from its
    start to the end of everything, its own minutes and all waits included.
    """

    early_start: int
    early_finish: int
    late_start: int
    late_finish: int
    free_float: int
    tail: int

    @property
    def total_float(self) -> int:
        """Return how far it may slip without moving the end of everything."""
        return self.late_start - self.early_start

    @property
    def critical(self) -> bool:
        """Return whether every minute it slips is a minute lost."""
        return self.total_float == 0


def in_order(tasks: Sequence[int], arcs: Sequence[Arc]) -> tuple[int, ...]:
    """Return the tasks so that each comes after all it waits for; among free ones the lowest number first.

    Raises:
        Refused: the links go in a circle, which is named task by task.
    """
    waiting = dict.fromkeys(tasks, 0)
    after: dict[int, list[int]] = {task: [] for task in tasks}
    for before, then, _ in arcs:
        waiting[then] += 1
        after[before].append(then)
    free = [task for task in tasks if waiting[task] == 0]
    heapq.heapify(free)
    order = []
    while free:
        task = heapq.heappop(free)
        order.append(task)
        for then in after[task]:
            waiting[then] -= 1
            if waiting[then] == 0:
                heapq.heappush(free, then)
    if len(order) < len(waiting):
        raise Circle(_circle([task for task in tasks if waiting[task]], arcs))
    return tuple(order)


def neighbors(links: Sequence[Link]) -> tuple[dict[int, list[int]], dict[int, list[int]]]:
    """Return what comes right before each task, and what right after it, by the links."""
    into: dict[int, list[int]] = {}
    out: dict[int, list[int]] = {}
    for link in links:
        into.setdefault(link.after, []).append(link.before)
        out.setdefault(link.before, []).append(link.after)
    return into, out


def reached(numbers: Iterable[int], steps: Mapping[int, Sequence[int]]) -> frozenset[int]:
    """Return tasks and all that can be reached from them by steps one way: what comes before, or what comes after."""
    seen = set(numbers)
    look = list(seen)
    while look:
        for other in steps.get(look.pop(), ()):
            if other not in seen:
                seen.add(other)
                look.append(other)
    return frozenset(seen)


def _circle(stuck: Sequence[int], arcs: Sequence[Arc]) -> list[int]:
    """Walk back from a stuck task to one that is stuck too, until one is met again."""
    left = frozenset(stuck)
    before = {then: first for first, then, _ in sorted(arcs, reverse=True) if first in left and then in left}
    seen = [min(stuck)]
    while before[seen[-1]] not in seen:
        seen.append(before[seen[-1]])
    again = before[seen[-1]]
    return [again, *reversed(seen[seen.index(again) :])]


def critical_path(minutes: Mapping[int, int], arcs: Sequence[Arc]) -> dict[int, Times]:
    """Return the times of every task, given its minutes and what waits for what.

    Raises:
        Refused: the links go in a circle.
    """
    order = in_order(tuple(minutes), arcs)
    into: dict[int, list[tuple[int, int]]] = {task: [] for task in order}
    out: dict[int, list[tuple[int, int]]] = {task: [] for task in order}
    for before, after, wait in arcs:
        into[after].append((before, wait))
        out[before].append((after, wait))
    start: dict[int, int] = {}
    for task in order:
        start[task] = max((start[before] + minutes[before] + wait for before, wait in into[task]), default=0)
    end = max((start[task] + minutes[task] for task in order), default=0)
    tail: dict[int, int] = {}
    for task in reversed(order):
        tail[task] = minutes[task] + max((wait + tail[after] for after, wait in out[task]), default=0)
    return {
        task: Times(
            early_start=start[task],
            early_finish=start[task] + minutes[task],
            late_start=end - tail[task],
            late_finish=end - tail[task] + minutes[task],
            free_float=min((start[after] - wait for after, wait in out[task]), default=end)
            - start[task]
            - minutes[task],
            tail=tail[task],
        )
        for task in order
    }
