"""Whether a subfloor is flat enough for a room's new floor, by what was read last under the straightedge.

Nothing read says nothing. What was leveled since is read again before the first row: the reading decides.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final

from crewjobs.domain.evening import Finding
from crewjobs.domain.house import Room
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.reading import Reading, ReadingKind
from crewjobs.domain.tasks import ScopeKind
from crewjobs.engines.heights.flatness import flatness_limit, gap_words, limit_words, within, worst
from crewjobs.engines.readiness.found import way_taken, work_task

LEVELS: Final = frozenset({"patch", "pour-leveler", "skim-for-sheet"})
"""Task templates after which a subfloor is another one. A test holds them to the catalogue."""
UNEVEN: Final = frozenset({"hump", "dip"})
"""Kinds of findings that are about flatness. A test holds them to the catalogue."""


def flat_read(record: JobRecord, room: Room, at: datetime) -> Reading | None:
    """Return the last reading under the straightedge in a room by an instant; None where none was taken.

    One that a way on from a hump or a dip was decided after says nothing any more: that decision stands in its place.
    """
    read = [
        one for one in record.readings if one.kind is ReadingKind.FLATNESS and one.room == room.name and one.at <= at
    ]
    last = max(reversed(read), key=lambda one: one.at, default=None)  # of one minute the last recorded
    if last is None or any(_decided(record, finding, last.at, at) for finding in _uneven(record, room, at)):
        return None
    return last


def flat_why(record: JobRecord, room: Room, material: Material, at: datetime) -> str:
    """Return why a room is not flat enough for a material, as it was read last; empty where it is, or nothing was read."""
    read, limit = flat_read(record, room, at), flatness_limit(material)
    if read is None or within(gap := worst(read.values, limit), limit):
        return ""
    free, most = gap_words(gap, "us"), limit_words(gap, limit, "us")
    return f"{free} under the straightedge, {most} in 10 ft at most"


def nobody_levels(record: JobRecord, room: Room, at: datetime) -> bool:
    """Return whether nothing of a room's work levels it, since it was read last or still to come."""
    read = flat_read(record, room, at)
    if read is None:
        return False
    here = [
        task
        for task in record.tasks
        if task.key.template in LEVELS
        and task.key.scope.kind in (ScopeKind.ROOM, ScopeKind.SECTION)
        and task.key.scope.name == room.name
        and not task.not_needed
    ]
    here += [task for finding in _uneven(record, room, at) if (task := work_task(record, finding)) is not None]
    return not any(task.open or (task.done_at is not None and task.done_at > read.at) for task in here)


def _uneven(record: JobRecord, room: Room, at: datetime) -> list[Finding]:
    return [one for one in record.findings if one.kind in UNEVEN and one.place == room.name and one.at <= at]


def _decided(record: JobRecord, finding: Finding, read: datetime, at: datetime) -> bool:
    way = way_taken(record, finding, at)
    return way is not None and way.at >= read
