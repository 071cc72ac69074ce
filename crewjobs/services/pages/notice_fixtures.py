"""What of a customer's house is taken out and put back, by the plan: toilets, sinks, ranges, washers and what else stands there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Final

from crewjobs.domain.house import FixtureKind
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, moment_words
from crewjobs.engines.readiness.shut import behind_shut, in_place, nobody_in
from crewjobs.paper.notice import FixtureOut
from crewjobs.services.findings.hanging import IF_SETTLED, hanging
from crewjobs.services.jobs.known import (
    APPLIANCES_OUT,
    GAS_APPLIANCES_OUT,
    PLUMBED_APPLIANCES_OUT,
    TOILET_BACK,
    TOILET_OUT,
)
from crewjobs.services.pages.notice_no_day import NO_DAY, NOT_KNOWN
from crewjobs.services.weeks.cut_off import Cut
from crewjobs.services.weeks.lead_closed import behind_closed, closings
from crewjobs.services.weeks.overnight import out_meanwhile, without_any
from crewjobs.services.weeks.repaired import opened_by, still_shut
from crewjobs.services.weeks.toilets import shut_toilets, toilet_rooms
from crewjobs.services.weeks.usable import Times, places, usable_from, working
from crewjobs.services.weeks.visits import Planned

SHUT: Final = "of use now"
UNSHUT: Final = "once what was found there is settled; we tell you"
OPEN_AGAIN: Final = "once what was found on the way there is settled; we tell you"
"""Of what is in a room that is shut for what was found there."""
CALL: Final = (
    "nothing is agreed with you yet. Please call us at once: a rented toilet or nights away are for you and us to agree"
)
BACK_AND_WHAT: Final = {
    "sink-out": ("sink-back", (FixtureKind.PEDESTAL_SINK,)),
    APPLIANCES_OUT: (
        "appliances-back",
        (
            FixtureKind.ELECTRIC_RANGE,
            FixtureKind.HARD_WIRED_RANGE,
            FixtureKind.REFRIGERATOR,
            FixtureKind.ELECTRIC_DRYER,
        ),
    ),
    PLUMBED_APPLIANCES_OUT: (
        "plumbed-appliances-back",
        (FixtureKind.DISHWASHER, FixtureKind.HARD_WIRED_DISHWASHER, FixtureKind.WASHER),
    ),
    GAS_APPLIANCES_OUT: ("gas-appliances-back", (FixtureKind.GAS_RANGE, FixtureKind.GAS_DRYER)),
}
"""By the template that takes something out: the one that puts it back, and what it is about; a test holds them to the catalogue."""


def toilets_out(
    found: Planned | None, record: JobRecord, ahead: Times, now: datetime, cut: Mapping[str, Sequence[Cut]]
) -> Iterator[FixtureOut]:
    """Yield each toilet that is out or comes out, or that nobody gets to; where all listed ones do, what is used meanwhile.

    `ahead` are the minutes of the plan that still hold, `cut` is when nobody comes to a room by its only way. One in a room that is shut for what was found there is out of use from
    now, whatever the plan says of it, and back on no day, unless that is repaired by the plan, as the customer agreed.
    """
    opened = opened_by(record, ahead, now)
    site, shut = record.job.site, nobody_in(record, now)
    rooms, behind = toilet_rooms(record), behind_closed(record)
    closed = behind | closings(record)
    reset = {out.where for out, _ in _reset(record)} | closed.keys()
    every = all(room in shut or room in reset for room in rooms)
    none = without_any(found, record, cut) if found else []
    toilets = {out.where: (out, back) for out, back in _reset(record)}
    toilets |= {room: closed[room] for room in rooms if room in closed and room not in toilets}
    for room in rooms:
        if room in shut:
            back = toilets[room][1] if room in toilets and toilets[room][1].open else None
            meanwhile = "another toilet in the house stays" if not every else "another toilet in the house"
            if room in shut_toilets(record, now):
                meanwhile = (
                    f"{site.toilet_meanwhile}, needed from now on: please call us at once"
                    if site.toilet_meanwhile
                    else CALL
                )
            yield FixtureOut(
                what="toilet",
                room=room,
                out=SHUT,
                back=_unshut(found, record, room, back, opened, ahead, now),
                meanwhile=f"Meanwhile: {meanwhile}.",
            )
    for room, (out, back) in toilets.items():
        if room in shut or not (back.open or (room in closed and closed[room][1].open)):
            continue
        meanwhile = CALL if every else "another toilet in the house stays"
        if site.toilet_meanwhile and every:
            meanwhile = site.toilet_meanwhile
        way = (
            f"You get there only through {behind[room][0].key.scope.name}, closed off for lead paint. "
            if room in behind
            else ""
        )
        yield FixtureOut(
            what="toilet",
            room=room,
            out=_out(found, record, out, ahead, now),
            back=_back(found, record, back, ahead, now),
            meanwhile=f"{way}Meanwhile: {meanwhile}.",
        )
    yield from _cut_off(found, record, none, cut, still_shut(record, opened, now), now)


def _cut_off(
    found: Planned | None,
    record: JobRecord,
    none: Sequence[tuple[datetime, datetime]],
    cut: Mapping[str, Sequence[Cut]],
    shut: frozenset[str],
    now: datetime,
) -> Iterator[FixtureOut]:
    """Yield each toilet nobody comes to while a floor on the only way to it sets or lies half laid; with `none` is no toilet at all.

    Not of those in rooms that are `shut` with no day to be open again, nor of one that is taken out all the while: that is told of it.
    """
    site = record.job.site
    for room in toilet_rooms(record):
        for one in () if room in shut else cut.get(room, ()):
            if one.for_lead or (found is not None and out_meanwhile(found, record, room, one)):
                continue  # told with what is closed off for lead paint, or as what is taken out
            end = one.end
            every = any(out < (end or back) and one.start < back for out, back in none)
            meanwhile = (site.toilet_meanwhile or CALL) if every else "another toilet in the house stays"
            if one.maybe:
                meanwhile = f"the crew says each evening whether you may go through; where not: {meanwhile}"
            start = moment_words(to_wall(site.zone, one.start))
            yield FixtureOut(
                what="toilet",
                room=room,
                out=f"of use since about {start}" if one.start <= now else f"of use from about {start}",
                back=f"about {moment_words(to_wall(site.zone, end))}" if end else NOT_KNOWN,
                meanwhile=f"You get there only through {one.words}. Meanwhile: {meanwhile}.",
            )


def _reset(record: JobRecord) -> list[tuple[Task, Task]]:
    """Return the tasks that take out and put back a toilet, of each room in which both are needed."""
    needed = [task for task in record.tasks if not task.not_needed]
    back = {task.where: task for task in needed if task.key.template == TOILET_BACK}
    return [(task, back[task.where]) for task in needed if task.key.template == TOILET_OUT and task.where in back]


def fixtures_out(found: Planned | None, record: JobRecord, ahead: Times, now: datetime) -> Iterator[FixtureOut]:
    """Yield what else is out or comes out of each room: what it is, from when to when, by the minutes `ahead` that still hold.

    What is in a room that is shut for what was found there is out of use from now.
    """
    shut, opened = nobody_in(record, now), opened_by(record, ahead, now)
    for out in record.tasks:
        if out.key.template not in BACK_AND_WHAT or out.not_needed:
            continue
        template, kinds = BACK_AND_WHAT[out.key.template]
        back = next((t for t in record.tasks if (t.key.template, t.where) == (template, out.where)), None)
        room = next((room for room in record.job.rooms if room.name == out.key.scope.name), None)
        there = [kind.value for kind in kinds if room is not None and room.has(kind)]
        if back is None or not back.open or not there:
            continue
        yield FixtureOut(
            what=listed(there, most=6),
            room=out.where,
            out=SHUT if out.where in shut else _out(found, record, out, ahead, now),
            back=_unshut(found, record, out.where, back, opened, ahead, now)
            if out.where in shut
            else _back(found, record, back, ahead, now),
        )


def _unshut(
    found: Planned | None,
    record: JobRecord,
    room: str,
    back: Task | None,
    opened: Mapping[str, datetime],
    ahead: Times,
    now: datetime,
) -> str:
    """Return when what is in a room that is shut can be used again: with no work that brings it `back`, once the room is `opened`."""
    if room in opened:
        if back is not None:
            return _back(found, record, back, ahead, now)
        return f"once that is repaired, planned to be done by {moment_words(to_wall(record.job.site.zone, opened[room]))}; we tell you"
    return OPEN_AGAIN if room in behind_shut(record, now) else UNSHUT


def _walked_on(found: Planned | None, record: JobRecord, room: str, ahead: Times) -> bool:
    """Return whether it is known when the floors of a room, those it gets, may be walked on."""
    for name, tasks, _ in places(record):
        laying = [task for task in working(tasks) if task.phase is Phase.INSTALL]
        if laying and in_place(record, name, {room}) and usable_from(found, ahead, record, laying)[False] is None:
            return False
    return True


def _out(found: Planned | None, record: JobRecord, out: Task, ahead: Times, now: datetime) -> str:
    """Return since or from when something is out; of a day gone by and not ticked it is known only that it was planned.

    Where its room is closed off for lead paint first, nobody gets to it from then on.
    """
    closing, check = (behind_closed(record) | closings(record)).get(out.key.scope.name, (out, None))
    if check is not None and (out.open or check.open):
        out = closing
    if not out.open:
        return "already"
    placed = found.placement(record.job.number, out.number) if found else None
    if placed is None:
        return NO_DAY
    when = moment_words(to_wall(record.job.site.zone, placed.start))
    if out.number not in ahead and found is not None and found.task_minutes(record)[out.number][1] <= now:
        return f"since about {when}, as it was planned"
    return f"about {when}{_hangs(record, out, now)}"


def _back(found: Planned | None, record: JobRecord, back: Task, ahead: Times, now: datetime) -> str:
    """Return when something is put back by the plan; nobody knows it where nobody knows when its floor may be walked on.

    In a room closed off for lead paint it is not back before the dust check.
    """
    room = back.where
    _, check = (behind_closed(record) | closings(record)).get(back.key.scope.name, (None, None))
    if check is not None and check.open and check is not back:
        checked = found.placement(record.job.number, check.number) if found else None
        mine = found.placement(record.job.number, back.number) if found and back.open else None
        if checked is None or mine is None or checked.end > mine.end or not back.open:
            back = check
    placed = found.placement(record.job.number, back.number) if found else None
    if placed is None or back.number not in ahead or not _walked_on(found, record, room, ahead):
        return NOT_KNOWN
    return f"about {moment_words(to_wall(record.job.site.zone, placed.end))}{_hangs(record, back, now)}"


def _hangs(record: JobRecord, task: Task, now: datetime) -> str:
    return f", {IF_SETTLED}" if task.number in hanging(record, now) else ""
