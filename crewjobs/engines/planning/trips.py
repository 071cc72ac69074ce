"""A second trip: work that waits days longer than the rest, done when its goods have come, the house closed between.

Rooms whose planks lie there are laid now although the stairs wait twelve days for their nose. What only serves the
waiting work (the carpet of those stairs) waits with it, so that nothing stays torn open meanwhile.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Link
from crewjobs.engines.planning.subs import lays

IDLE_DAYS: Final = 3
"""More days than this without work before the wait is over make two trips of it."""


def second_trip(
    record: JobRecord, links: Sequence[Link], known: Mapping[int, datetime], now: datetime
) -> frozenset[int]:
    """Return the open tasks that may be left for a second trip; none where no floor can be laid before.

    `links` are those among the open tasks, `known` the instants of tasks fixed by facts ahead.
    """
    if max(known.values(), default=now) <= now + timedelta(days=IDLE_DAYS):
        return frozenset()
    laying = [task.number for task in record.tasks if task.open and lays(task)]
    if not laying:
        return frozenset()
    into, out = _neighbors(links)
    ready = {number: max(known.get(n, now) for n in _reached([number], into)) for number in laying}
    far = min(ready.values()) + timedelta(days=IDLE_DAYS)
    waits = _reached([number for number, at in known.items() if at > far], out)
    first = [number for number in laying if number not in waits]
    if not waits or not first:
        return frozenset()
    late = [number for number in laying if number in waits]
    return waits | (_reached(late, into) - _reached(first, into))


def _neighbors(links: Sequence[Link]) -> tuple[dict[int, list[int]], dict[int, list[int]]]:
    into: dict[int, list[int]] = {}
    out: dict[int, list[int]] = {}
    for link in links:
        into.setdefault(link.after, []).append(link.before)
        out.setdefault(link.before, []).append(link.after)
    return into, out


def _reached(numbers: Iterable[int], steps: Mapping[int, Sequence[int]]) -> frozenset[int]:
    """Return tasks and all that can be reached from them."""
    seen = set(numbers)
    look = list(seen)
    while look:
        for other in steps.get(look.pop(), ()):
            if other not in seen:
                seen.add(other)
                look.append(other)
    return frozenset(seen)
