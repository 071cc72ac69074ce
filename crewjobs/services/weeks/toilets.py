"""A house people live in keeps a toilet over every night, unless something else was arranged for them.

Where one room has all the toilets that are listed, it is out and back on one day. Where several rooms have one each and
all are taken out, one comes back before the last goes out. A toilet in a room that is closed off for lead paint, or to which
one comes only through such rooms, is out from then until the dust check, whatever else is done there. Toilets nobody listed
are not known of.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from crewjobs.domain.house import MEANWHILE_IN_THE_FILE, FixtureKind
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Method
from crewjobs.domain.tasks import Link, Task
from crewjobs.domain.wording import listed
from crewjobs.engines.planning.critical_path import neighbors, reached
from crewjobs.engines.planning.problem import SameDay
from crewjobs.engines.readiness.shut import behind_shut, nobody_in
from crewjobs.services.jobs.known import TOILET_BACK, TOILET_OUT
from crewjobs.services.weeks.lead_closed import LEAD_CLOSED, behind_closed, closings

NO_TOILET: Final = f"the only toilet would be out over night: {{other}}a rented toilet or a night away, agreed with the customer {MEANWHILE_IN_THE_FILE}"
UNSETTLED: Final = "until it is settled"
"""Up to when what is shut for what was found is out of use, where no plan says it."""
OTHER_FLOOR: Final = "a click floor instead of one that cures, "


@dataclass(frozen=True, slots=True, kw_only=True)
class Outage:
    """From which task until which a room's toilet is out: taken out and put back, or nobody gets to it for lead paint."""

    room: str
    out: Task
    back: Task

    @property
    def for_lead(self) -> bool:
        """Return whether its room, or the only way to it, is closed off for lead paint."""
        return self.out.key.template == LEAD_CLOSED

    @property
    def way(self) -> str:
        """Return the room on the only way to it that is closed off for lead paint; empty where its own is, or none."""
        closed = self.out.key.scope.name
        return closed if self.for_lead and closed != self.room else ""

    @property
    def why(self) -> str:
        """Return what is closed off for lead paint; empty where it is taken out alone."""
        if not self.for_lead:
            return ""
        return (
            f"{self.way or self.room} closed off for lead paint{f', the only way to {self.room}' if self.way else ''}"
        )


def resets(record: JobRecord) -> tuple[Outage, ...]:
    """Return from which task until which the toilet of each room is out, by stage; none unless all rooms' are.

    A listed toilet that stays where people get to it serves the house meanwhile.
    """
    found = outages(record)
    return found if len(found) == len(toilet_rooms(record)) else ()


def outages(record: JobRecord) -> tuple[Outage, ...]:
    """Return from which task until which a room's toilet is out, by stage, of each room where it is some time.

    It is taken out and put back, or its room or the only way to it is closed off for lead paint until the dust check; such rooms
    come last, since their check is the whole house's.
    """
    rooms, closed = toilet_rooms(record), behind_closed(record) | closings(record)
    needed = [task for task in record.tasks if not task.not_needed]
    out = {task.where: task for task in needed if task.key.template == TOILET_OUT}
    back = {task.where: task for task in needed if task.key.template == TOILET_BACK}
    pairs = {room: (out[room], back[room]) for room in rooms if room in out and room in back} | closed
    found = [Outage(room=room, out=pairs[room][0], back=pairs[room][1]) for room in rooms if room in pairs]
    return tuple(sorted(found, key=lambda one: (one.for_lead, one.out.stage, one.out.number)))


def toilet_rooms(record: JobRecord) -> list[str]:
    """Return the rooms that have a listed toilet."""
    return [room.name for room in record.job.rooms if room.has(FixtureKind.TOILET)]


def shut_toilets(record: JobRecord, now: datetime) -> list[str]:
    """Return the rooms whose toilet nobody gets to for what was found there, where every listed one is shut or out by now."""
    shut, rooms = nobody_in(record, now), toilet_rooms(record)
    back = {task.where for task in record.tasks if task.key.template == TOILET_BACK and not task.open}
    out = {t.where for t in record.tasks if t.key.template == TOILET_OUT and t.done_at is not None} - back
    out |= {one.room for one in outages(record) if one.for_lead and _begun(one.out) and one.back.open}
    return [room for room in rooms if room in shut] if all(room in shut or room in out for room in rooms) else []


def _begun(task: Task) -> bool:
    """Return whether a task was begun or is done."""
    return task.started_at is not None or task.done_at is not None


def none_to_use(record: JobRecord, now: datetime) -> str:
    """Return that no listed toilet can be used by now for what was found, and what is used meanwhile; empty where one can be."""
    shut = shut_toilets(record, now)
    if not shut:
        return ""
    why = "cut off by" if {*shut} <= behind_shut(record, now) else "shut for"
    which = "the only one listed cannot" if len(toilet_rooms(record)) == 1 else "none that is listed can"
    meanwhile = record.job.site.toilet_meanwhile or "agree on another before anybody goes"
    return f"{which} be used, {listed(shut)} {'is' if len(shut) == 1 else 'are'} {why} what was found: {meanwhile}"


def shut_words(record: JobRecord, now: datetime, until: str = UNSETTLED) -> str:
    """Return that people live in the house and no listed toilet can be used from now on, and what is due; empty where one can be.

    `until` says up to when.
    """
    shut = shut_toilets(record, now) if record.job.site.occupied else []
    if not shut:
        return ""
    only = len(toilet_rooms(record)) == 1
    which = f"the only toilet listed is in {shut[0]}," if only else f"no toilet listed can be used, with {listed(shut)}"
    meanwhile = record.job.site.toilet_meanwhile
    due = (
        f"meanwhile: {meanwhile}, needed at once."
        if meanwhile
        else "nothing is noted for meanwhile: a rented toilet or nights away are for the lead and the customer to agree at once."
    )
    why = (
        "cut off by what was found on the way there"
        if {*shut} <= behind_shut(record, now)
        else "shut for what was found there"
    )
    return f"{which} {why}: out of use from now {until}; {due}"


def needed_by_night(record: JobRecord) -> bool:
    """Return whether people live in the house, and nothing was arranged for the nights without a toilet."""
    return record.job.site.occupied and not record.job.site.toilet_meanwhile


def put_back(record: JobRecord, outage: Outage) -> tuple[Task, ...]:
    """Return all that ends a toilet's being out: `back`, and after the dust check its own putting back where it comes out, too."""
    if not outage.for_lead:
        return (outage.back,)
    own = [t for t in record.tasks if t.key.template == TOILET_BACK and t.where == outage.room and not t.not_needed]
    return (outage.back, *own)


def back_the_same_day(record: JobRecord) -> tuple[SameDay, ...]:
    """Return that the toilet is back on the day it comes out, where it is the only one or all are out together."""
    pairs = resets(record) if needed_by_night(record) else ()
    if not pairs or _one_after_the_other(record, pairs) is not None:
        return ()
    first = pairs[0]
    if not first.out.open or not first.back.open:
        return ()
    other = OTHER_FLOOR if _cures(record, first.out) and not first.for_lead else ""
    why = NO_TOILET.format(other=f"{first.why}; " if first.way else other)
    if len(pairs) > 1:
        why = why.replace("the only toilet", "every toilet that is listed", 1)
    return tuple(
        SameDay(job=record.job.number, first=first.out.number, last=task.number, why=why)
        for task in put_back(record, first)
        if task.open
    )


def to_be_agreed(record: JobRecord) -> bool:
    """Return whether the only toilet is out over a night, for its floor cures, and nothing is arranged: no day is found."""
    return any(_cures(record, record.task(same_day.first)) for same_day in back_the_same_day(record))


def _cures(record: JobRecord, out: Task) -> bool:
    """Return whether the floor of the toilet's room is not walked on at once."""
    job = record.job
    floors = [room.floor for room in job.rooms if room.name == out.key.scope.name and room.floor is not None]
    return any(job.material(name).method is not Method.FLOATING for name in floors)


def with_one_in(record: JobRecord) -> JobRecord:
    """Return the record as it is planned: the last toilet goes out after another is back."""
    pairs = resets(record) if needed_by_night(record) else ()
    link = _one_after_the_other(record, pairs)
    if link is None or not record.task(link.after).open or not record.task(link.before).open:
        return record
    return replace(record, links=(*record.links, link))


def _one_after_the_other(record: JobRecord, pairs: tuple[Outage, ...]) -> Link | None:
    """Return that one toilet is back before the last one goes out; None where the work does not allow that order."""
    if len(pairs) < 2:
        return None
    first = next((pair for pair in pairs if not pair.out.open), pairs[0])
    last = next((pair for pair in reversed(pairs) if pair is not first), pairs[-1])
    before, after = first.back.number, last.out.number
    _, follow = neighbors(record.links)
    if before in reached([after], follow):
        return None
    return Link(before=before, after=after)
