"""Leaving out the links that longer ways already say."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from crewjobs.domain.tasks import TaskKey
from crewjobs.engines.estimating.wanted import WantedLink


def needed_links(
    links: Sequence[WantedLink], order: Sequence[TaskKey], kept: Collection[tuple[TaskKey, TaskKey]] = ()
) -> tuple[WantedLink, ...]:
    """Return the links without those that a longer way implies with as long a wait or a longer one.

    `order` is a working order of the tasks; pairs in `kept` stay whatever else is said, and so does a wait at most,
    which no longer way says. Between any two tasks the longest wait stays what it was, so nothing may start earlier
    than before.
    """
    place = {key: number for number, key in enumerate(order)}
    ways = [(place[link.before], place[link.after], link.wait_min) for link in links]
    detours = _longest_detours(ways, len(place))
    needed = [
        link
        for link, (start, end, wait) in zip(links, ways, strict=True)
        if detours.get((start, end), -1) < wait or (link.before, link.after) in kept or link.most_min is not None
    ]
    return tuple(sorted(needed, key=lambda link: (place[link.before], place[link.after])))


def _longest_detours(ways: Sequence[tuple[int, int, int]], count: int) -> dict[tuple[int, int], int]:
    """Return, for each way (from, to, wait) that has a detour, the longest wait on one; places are in working order."""
    out: list[list[tuple[int, int]]] = [[] for _ in range(count)]
    for start, end, wait in ways:
        out[start].append((end, wait))
    detours: dict[tuple[int, int], int] = {}
    for start in range(count):
        direct = dict(out[start])
        if len(direct) < 2:
            continue
        around: dict[int, int] = {}
        last = max(direct)
        for middle in range(start + 1, last):
            so_far = max(direct.get(middle, -1), around.get(middle, -1))
            if so_far < 0:
                continue
            for end, wait in out[middle]:
                if so_far + wait > around.get(end, -1):
                    around[end] = so_far + wait
        detours.update({(start, end): around[end] for end in direct if end in around})
    return detours
