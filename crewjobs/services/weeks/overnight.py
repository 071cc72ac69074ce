"""What the people of a house cannot use over a night of the plan, or from now on: toilets and stairs, with what is to be agreed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import TypeAlias

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.shut import behind_shut, nobody_in
from crewjobs.services.weeks.cut_off import Cut, cuts
from crewjobs.services.weeks.gone_by import not_ticked_words, still_ahead
from crewjobs.services.weeks.repaired import opened_by
from crewjobs.services.weeks.toilets import UNSETTLED, Outage, outages, put_back, shut_words, toilet_rooms
from crewjobs.services.weeks.usable import floored_stairs, start_of, usable_from
from crewjobs.services.weeks.visits import Planned
from crewjobs.services.wording import at_site


def toilet_warnings(found: Planned, now: datetime, since: date | None = None) -> Iterator[str]:
    """Yield a sentence for each occupied house without any listed toilet over a night of the plan, or from now on.

    With `since`, what is back before that day is left out: nothing is left to be agreed.
    """
    for record in found.records.values():
        job, zone = record.job, record.job.site.zone
        cut = cuts_by_plan(found, record, now)
        if shut := shut_words(record, now, _until(zone, _open_again(found, record, cut, now))):
            yield f"Job {job.number} {job.title}: {shut}"
            continue
        for out, back in nights_without(found, record, cut):
            if since is not None and to_wall(zone, back).date() < since:
                continue
            yield f"Job {job.number} {job.title}: {_without_words(found, record, cut, (out, back), now)}"


def _open_again(found: Planned, record: JobRecord, cut: Mapping[str, Sequence[Cut]], now: datetime) -> datetime | None:
    """Return when the first of the toilets nobody gets to for what was found can be used again by the plan; None where nobody knows it.

    What shuts it is repaired by then, as the customer agreed, and what follows there is over.
    """
    opened = opened_by(record, still_ahead(found.task_minutes(record), record, now), now)
    spans = [
        _joined([(now, opened[room]), *_gone(found, record, cut, room)])
        for room in toilet_rooms(record)
        if room in opened
    ]
    ends = [end for mine in spans for start, end in mine if start <= now and (end is None or end > now)]
    return min((end for end in ends if end is not None), default=None)


def _until(zone: str, at: datetime | None) -> str:
    return f"to {at_site(zone, at)} by the plan" if at is not None else UNSETTLED


def cuts_by_plan(found: Planned, record: JobRecord, now: datetime) -> Mapping[str, Sequence[Cut]]:
    """Return when nobody comes to which room of a house people live in, by the whole plan; empty where nobody lives there."""
    times = found.task_minutes(record)
    return cuts(found, record, times, times, now) if record.job.site.occupied else {}


def nights_without(
    found: Planned, record: JobRecord, cut: Mapping[str, Sequence[Cut]]
) -> Iterator[tuple[datetime, datetime]]:
    """Yield from when until when (UTC) a house people live in is without any listed toilet over a night."""
    zone = record.job.site.zone
    for out, back in without_any(found, record, cut) if record.job.site.occupied else ():
        if to_wall(zone, out).date() != to_wall(zone, back).date():
            yield out, back


def without_any(found: Planned, record: JobRecord, cut: Mapping[str, Sequence[Cut]]) -> list[tuple[datetime, datetime]]:
    """Return from when until when (UTC) no listed toilet of a house is there or come to; what nobody knows the end of is left out."""
    rooms = toilet_rooms(record)
    spans: list[_Span] | None = None
    for room in rooms:
        mine = _joined(_gone(found, record, cut, room))
        spans = mine if spans is None else [both for one in spans for other in mine if (both := _both(one, other))]
    return [(out, back) for out, back in spans or () if back is not None]


_Span: TypeAlias = tuple[datetime, datetime | None]


def _gone(found: Planned, record: JobRecord, cut: Mapping[str, Sequence[Cut]], room: str) -> list[_Span]:
    """Return from when until when nobody comes to a room's toilet, or it is out, by the plan."""
    mine = [(one.start, one.end) for one in cut.get(room, ())]
    return mine + [
        own for one in outages(record) if one.room == room and (own := _span(found, record, one)) is not None
    ]


def _joined(spans: Sequence[_Span]) -> list[_Span]:
    """Return spans in the order of time, those that touch made one."""
    found: list[_Span] = []
    for start, end in sorted(spans, key=lambda one: one[0]):
        last = found[-1] if found else None
        if last is not None and (last[1] is None or start <= last[1]):
            found[-1] = last[0], None if last[1] is None or end is None else max(last[1], end)
        elif end is None or start < end:
            found.append((start, end))
    return found


def _both(one: _Span, other: _Span) -> _Span | None:
    """Return what is in both spans; None where nothing is."""
    start = max(one[0], other[0])
    ends = [end for end in (one[1], other[1]) if end is not None]
    return (start, min(ends, default=None)) if not ends or start < min(ends) else None


def _without_words(
    found: Planned,
    record: JobRecord,
    cut: Mapping[str, Sequence[Cut]],
    span: tuple[datetime, datetime],
    now: datetime,
) -> str:
    """Return that a house is without its toilets from when to when, why, and what is used meanwhile."""
    out, back = span
    site, rooms = record.job.site, toilet_rooms(record)
    pairs = [one for one in outages(record) if (own := _span(found, record, one)) is not None and _both(span, own)]
    ways = {
        room: one
        for room in rooms
        for one in cut.get(room, ())
        if not one.for_lead and _both(span, (one.start, one.end)) and not out_meanwhile(found, record, room, one)
    }
    agreed = (
        f"meanwhile: {site.toilet_meanwhile}."
        if site.toilet_meanwhile
        else "nothing is noted for the nights: a rented toilet or nights away are for the lead and the customer to agree now."
    )
    if not site.toilet_meanwhile and not pairs and all(one.maybe for one in ways.values()):
        agreed = (
            "whether people may go through, the crew says each evening; where not, a rented toilet or nights away are for the "
            "lead and the customer to agree first."
        )
    gone = "out" if any(pair.out.key.scope.name == pair.room for pair in pairs) else "cut off"
    which = f"the only toilet listed is {gone}" if len(rooms) == 1 else f"all toilets listed are {gone}"
    closed = listed([pair.room for pair in pairs if pair.for_lead and not pair.way])
    why = [f"{closed} closed off for lead paint until the dust check has passed"] if closed else []
    why += [
        f"{pair.way} closed off for lead paint until the dust check has passed, the only way to {pair.room}"
        for pair in pairs
        if pair.way
    ]
    why += [f"the only way to {room} is through {one.words}" for room, one in ways.items()]
    still = bool(ways) or any(task.open for pair in pairs for task in (pair.out, pair.back))
    behind = not_ticked_words(found.task_minutes(record), record, now) if still else ""
    because = f" ({'; '.join(why)})" if why else ""
    return f"{which} from {at_site(site.zone, out)} to {at_site(site.zone, back)}{because}{behind}; {agreed}"


def out_meanwhile(found: Planned, record: JobRecord, room: str, cut: Cut) -> bool:
    """Return whether the toilet of a room is out, whatever the way to it, all the time nobody comes to that room."""
    spans = [own for one in outages(record) if one.room == room and (own := _span(found, record, one)) is not None]
    return any(start <= cut.start and (end is None or (cut.end is not None and cut.end <= end)) for start, end in spans)


def _span(found: Planned, record: JobRecord, outage: Outage) -> _Span | None:
    """Return from when until when a toilet is out, the end None where nobody knows it; None where its start is not known."""
    start = _when(found, record, outage.out, last=False)
    return None if start is None else (start, _back(found, record, outage))


def _back(found: Planned, record: JobRecord, outage: Outage) -> datetime | None:
    """Return when a toilet can be used again: when all that ends its being out is done, or is planned to end."""
    ends = [_when(found, record, task, last=True) for task in put_back(record, outage)]
    return None if any(end is None for end in ends) else max(end for end in ends if end is not None)


def _when(found: Planned, record: JobRecord, task: Task, *, last: bool) -> datetime | None:
    """Return when a task was done, or is planned to begin or end; None if it is neither."""
    if task.done_at is not None:
        return task.done_at
    placement = found.placement(record.job.number, task.number)
    return (placement.end if last else placement.start) if placement else None


def stair_warnings(found: Planned, now: datetime, since: date | None = None) -> Iterator[str]:
    """Yield a sentence for each flight of an occupied house that is closed over a night of the plan, or from now on.

    With `since`, what may be used again before that day is left out: nothing is left to be agreed.
    """
    for record in found.records.values():
        job, zone = record.job, record.job.site.zone
        if not job.site.occupied:
            continue
        times = found.task_minutes(record)
        cut = behind_shut(record, now)
        shut, late = nobody_in(record, now), not_ticked_words(times, record, now)
        opened = opened_by(record, still_ahead(times, record, now), now)
        agree = "nights included; another way out and to the bathroom, or nights away, is for the lead and the customer to agree"
        yield from (
            f"Job {job.number} {job.title}: {flight.name} {'cut off by what was found on the way there' if flight.name in cut else 'shut for what was found there'}, from now {_until(zone, opened.get(flight.name))}, {agree} at once."
            for flight in job.stairs
            if flight.name in shut
        )
        for flight, works in floored_stairs(record):
            if flight.name in shut and flight.name not in opened:
                continue
            laying = [task for task in works if task.phase is Phase.INSTALL]
            behind = late if any(task.open for task in laying) else ""
            begun = [at for task in works if (at := task.started_at or task.done_at) is not None]
            out = min(begun, default=start_of(times, works))
            back = usable_from(found, times, record, laying)[False]
            if out is None or back is None or to_wall(zone, out).date() == to_wall(zone, back).date():
                continue
            if since is not None and to_wall(zone, back).date() < since:
                continue
            yield (
                f"Job {job.number} {job.title}: {flight.name} cannot be used from {at_site(zone, out)} to {at_site(zone, back)}"
                f"{behind}, {agree} first."
            )
