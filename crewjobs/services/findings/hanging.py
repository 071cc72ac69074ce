"""What of a job hangs on something that was found: its days hold only if that is settled by then.

Work that a finding holds is planned after the day on which an answer is usual or promised. To a customer such a day is told
with its "if" beside it, not as one that only the plan could move.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import WHOLE_HOUSE
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase, Task
from crewjobs.engines.readiness.found import after_its_work, held_by, way_taken
from crewjobs.engines.readiness.house import is_looking

IF_SETTLED: Final = "if what was found in your house is settled by then"
ALL_HANGS: Final = f"Only {IF_SETTLED}."
PART_HANGS: Final = f"Part of it only {IF_SETTLED}."
TO_CREW: Final = {
    ALL_HANGS: "Only if what was found in the house is settled by then.",
    PART_HANGS: "Part of it only if what was found in the house is settled by then.",
}
"""What a crew is told of such a day, by what its house is."""
DAYS_HANG: Final = f"These days hold only {IF_SETTLED}."
FOUND_THERE: Final = "Something was found there that is to be settled first."
"""Of a room whose work is held, to its customer: not what it is, which is for others to say."""
ONLY_IF: Final = "only if what was found there is settled by then"
"""Beside a day on which a job ends, to the shop."""


def hanging(record: JobRecord, now: datetime) -> frozenset[int]:
    """Return the open tasks that something found and not settled holds, and those that come after them.

    Not what is planned after the crew's own work about it, which the customer has agreed to.
    """
    found = {number for one in _unsettled(record, now) for number in _held(record, one, now)}
    look = list(found)
    while look:
        number = look.pop()
        more = {link.after for link in record.links if link.before == number} - found
        found |= more
        look += more
    return frozenset(task.number for task in record.tasks if task.open and task.number in found)


def finish_hangs(record: JobRecord, now: datetime) -> bool:
    """Return whether the day on which a job ends holds only if something found is settled: some of its open work hangs on it."""
    return bool(hanging(record, now))


def hanging_on(record: JobRecord, now: datetime) -> tuple[str, ...]:
    """Return what was found, and where, that is not settled and that open work hangs on; in the order it was found."""
    held = (one for one in _unsettled(record, now) if any(_held(record, one, now)))
    return tuple(dict.fromkeys(f"{one.kind} found in {one.place}" for one in held))


def found_in(record: JobRecord, now: datetime) -> frozenset[str]:
    """Return the rooms and stairs in which something was found that is not settled and holds work."""
    places = {one.place for one in _unsettled(record, now) if any(_held(record, one, now))}
    if WHOLE_HOUSE in places:
        places |= {room.name for room in record.job.rooms} | {flight.name for flight in record.job.stairs}
    return frozenset(places - {WHOLE_HOUSE})


def hangs_words(tasks: Iterable[Task], hung: frozenset[int]) -> str:
    """Return that what is done in one coming hangs on what was found, or part of it; empty where nothing of it does.

    Looking and what is done around the work say nothing of a coming in which there is work, as they are not told of it.
    """
    still = [task for task in tasks if task.open]
    work = [task for task in still if task.phase is not Phase.HOUSE and not is_looking(task)] or still
    hang = [task.number in hung for task in work]
    if not any(hang):
        return ""
    return ALL_HANGS if all(hang) else PART_HANGS


def _unsettled(record: JobRecord, now: datetime) -> list[Finding]:
    return [one for one in record.findings if one.at <= now and way_taken(record, one, now) is None]


def _held(record: JobRecord, finding: Finding, now: datetime) -> list[int]:
    planned = after_its_work(record, finding, now)
    still = {task.number for task in record.tasks if task.open}
    return [number for number in held_by(record, finding, now) if number in still and number not in planned]
