"""What stays shut, and off, for what was found in a house until it is settled."""

from __future__ import annotations

from collections.abc import Set
from datetime import datetime

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, TURNED_OFF, WHOLE_HOUSE
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.reach import cut_off
from crewjobs.engines.readiness.found import looked_at, way_taken


def nobody_in(record: JobRecord, now: datetime) -> frozenset[str]:
    """Return the rooms and stairs nobody goes into at an instant for what was found there.

    Until a way on is taken, or until the crew's own work about it is done: a yes to that repairs nothing yet.
    What was found in the whole house is found in each of them. So is nobody where one comes only through such a place.
    """
    found = _shut(record, now)
    if WHOLE_HOUSE in found:
        found |= {room.name for room in record.job.rooms} | {flight.name for flight in record.job.stairs}
    return frozenset(found - {WHOLE_HOUSE}) | behind_shut(record, now)


def behind_shut(record: JobRecord, now: datetime) -> frozenset[str]:
    """Return the rooms and stairs in which nothing was found, and to which one comes only through places nobody goes into."""
    shut = _shut(record, now)
    return frozenset() if not shut or WHOLE_HOUSE in shut else cut_off(record.job, shut)


def _shut(record: JobRecord, now: datetime) -> set[str]:
    """Return where something was found for which nobody goes in at an instant."""
    return {one.place for one in shutting(record, now)}


def shutting(record: JobRecord, now: datetime) -> tuple[Finding, ...]:
    """Return what was found for which nobody goes in at an instant where it is."""
    return tuple(
        one
        for one in record.findings
        if one.kind in NOBODY_IN
        and one.at <= now
        and way_taken(record, one, now) is None
        and not _worked_on(record, one, now)
    )


def _worked_on(record: JobRecord, finding: Finding, now: datetime) -> bool:
    """Return whether the crew's own work about a finding is done at an instant, and dry."""
    since = looked_at(record, finding)
    return since is not None and since <= now


def left_off(record: JobRecord, now: datetime) -> frozenset[ReadyItem]:
    """Return what of a house was turned off for what was found there, and is left to whoever decides about that."""
    unsettled = (one for one in record.findings if one.at <= now and way_taken(record, one, now) is None)
    return frozenset(item for one in unsettled for item in TURNED_OFF.get(one.kind, ()))


def air_left_off(record: JobRecord, now: datetime) -> bool:
    """Return whether heat and air of a house are left to whoever decides about what was found there."""
    return ReadyItem.AIR in left_off(record, now)


def in_place(record: JobRecord, name: str, places: Set[str]) -> bool:
    """Return whether a section told by the name of its room and its own, a room or stairs lies in one of the places."""
    rooms = {
        ", ".join(filter(None, (room.name, section.name))): room.name
        for room in record.job.rooms
        for section in room.sections
    }
    return name in places or rooms.get(name, name) in places
