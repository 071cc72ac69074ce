"""A second trip: work that waits days longer than the rest, done when its goods have come, the house closed between.

Rooms whose planks lie there are laid now although the stairs wait twelve days for their nose. What only serves the
waiting work (the carpet of those stairs) waits with it, so that nothing stays torn open meanwhile.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Link, Phase, Task
from crewjobs.engines.planning.critical_path import neighbors, reached
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
    into, out = neighbors(links)
    ready = {number: max(known.get(n, now) for n in reached([number], into)) for number in laying}
    far = min(ready.values()) + timedelta(days=IDLE_DAYS)
    waits = reached([number for number, at in known.items() if at > far], out)
    first = [number for number in laying if number not in waits]
    if not waits or not first:
        return frozenset()
    late = [number for number in laying if number in waits]
    return waits | (reached(late, into) - reached(first, into))


def left_for_later(
    record: JobRecord,
    links: Sequence[Link],
    impossible: Mapping[int, str],
    one_day: Sequence[tuple[int, int]] = (),
) -> dict[int, str]:
    """Return the open tasks left out together with what has no date, each with that why, so that the rest goes on.

    What must be followed soon, or on its day (`one_day`), by something left out is left out, too. Left out is what only serves a floor that cannot
    be laid, and the floor of a room whose fixtures nobody can put back: no stairs are stripped for a nose without a
    date, no range is carried out for a plumber who names no day. A strip, base or the like without a date leaves only
    itself behind. Empty where no floor could be laid.

    `links` are those among the open tasks, `impossible` the tasks that have no date, each with its why.
    """
    tasks = {task.number: task for task in record.tasks if task.open}
    missing = {number: why for number, why in impossible.items() if number in tasks}
    tied = [(link.before, link.after) for link in links if link.most_min is not None]
    tied += [(first, last) for first, last in one_day if first in tasks and last in tasks]
    tied = [(before, after) for before, after in tied if tasks[before].started_at is None]
    while True:
        later = _left_with(tasks, links, missing)
        gone = reached(missing, neighbors(links)[1]) | later.keys()
        alone = {before: after for before, after in tied if after in gone and before not in gone}
        if not alone:
            return later
        why = missing[min(missing)]
        missing.update({before: later.get(after, missing.get(after, why)) for before, after in alone.items()})


def _left_with(tasks: Mapping[int, Task], links: Sequence[Link], impossible: Mapping[int, str]) -> dict[int, str]:
    if not impossible:
        return {}
    into, out = neighbors(links)
    bare = {tasks[number].where for number in impossible if tasks[number].phase is Phase.FIXTURES_RESET}
    waits = reached(impossible, out)
    laying = [number for number, task in tasks.items() if lays(task)]
    unlaid = reached([number for number in laying if tasks[number].where in bare], out)
    late = [number for number in laying if number in waits or number in unlaid]
    first = [number for number in laying if number not in late]
    if not first:
        return {}
    goes_on = reached(first, into)
    why = impossible[min(impossible)]
    shut = {tasks[number].where for number in late}
    torn = {number for number, task in tasks.items() if task.phase is Phase.DEMOLITION and task.where in shut}
    serves = (reached(late, into) | torn) - goes_on
    return {number: impossible.get(number, why) for number in sorted(waits | reached((*late, *serves), out))}
