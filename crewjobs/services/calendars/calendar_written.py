"""Which event of now is which that was written before, and how it is written so that an import changes and does not double.

A visit is what it was while it does the same work: of those written that are still to come, the one that shares most of its
tasks, whatever day or crew it went to. All else is known by its name.

The same visit stands in the calendar of one crew at a time. Gone to another crew it is cancelled in the first one's with the
next number, and confirmed in the other's with a number above that one, whichever file is written first; so a program that
is given both ends with the visit where it is.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from uuid import UUID, uuid5

from crewjobs.domain.calendar import EventKind, WrittenEvent, crew_calendar, job_calendar
from crewjobs.services.calendars.calendar_events import PlannedEvent, Said

OURS = UUID("6f0b8a51-5d6e-4c0f-9f7e-2f6f6c1f0a9d")
"""Under which our UIDs are made (RFC 9562, version 5)."""
NO_LONGER = "No longer planned: "


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """An event with the UID it has, and what it is called among those of its kind at its job."""

    event: PlannedEvent
    uid: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToWrite:
    """An event of one calendar as it is written now: `row` is what is kept of it, `said` None where it is cancelled."""

    row: WrittenEvent
    said: Said | None
    before: WrittenEvent | None

    @property
    def new(self) -> bool:
        """Return whether the calendar did not have it, or had it cancelled."""
        return self.said is not None and (self.before is None or self.before.cancelled)

    @property
    def changed(self) -> bool:
        """Return whether the calendar had it otherwise."""
        there = self.before is not None and not self.before.cancelled and self.said is not None
        return there and self.before is not None and self.row.sequence != self.before.sequence


def named(
    events: Sequence[PlannedEvent],
    written: Sequence[WrittenEvent],
    *,
    seed: str,
    to_crews: bool,
    now: datetime,
    been: Set[str] = frozenset(),
) -> tuple[Named, ...]:
    """Return the events with their UIDs in the calendars of crews, or in those of jobs; `seed` is the shop's own.

    `been` are the UIDs of what was begun: what of it is left for another time is a visit of its own.
    """
    mine = [row for row in written if row.calendar.startswith("crew ") == to_crews]
    same = _same_visits(events, mine, now, been)
    numbers = {row.job: 0 for row in mine} | {event.job: 0 for event in events}
    for row in mine:
        if row.kind is EventKind.VISIT:
            numbers[row.job] = max(numbers[row.job], int(row.what))
    found = []
    for place, event in enumerate(events):
        what = event.what
        if event.kind is EventKind.VISIT:
            known = same.get(place)
            if known is not None:
                found.append(Named(event=event, uid=known.uid, what=known.what))
                continue
            numbers[event.job] += 1
            what = str(numbers[event.job])
        reader = "crew" if to_crews else "house"
        uid = str(uuid5(OURS, json.dumps([seed, reader, event.job, event.kind.value, what])))
        found.append(Named(event=event, uid=uid, what=what))
    return tuple(found)


def _same_visits(
    events: Sequence[PlannedEvent], written: Sequence[WrittenEvent], now: datetime, been: Set[str]
) -> dict[int, WrittenEvent]:
    """Return which written visit each planned one (by its place) is, as it was written last."""
    last: dict[str, WrittenEvent] = {}
    for row in written:
        if row.kind is EventKind.VISIT and (row.uid not in last or row.sequence > last[row.uid].sequence):
            last[row.uid] = row
    pairs = [
        (-_alike(event.tasks, row.tasks), row.cancelled, abs(row.start - event.start), _moved(event, row), uid, place)
        for place, event in enumerate(events)
        if event.kind is EventKind.VISIT
        for uid, row in last.items()
        if row.job == event.job and row.end > now and set(row.tasks) & set(event.tasks)
        if uid not in been or event.start <= now
    ]
    found: dict[int, WrittenEvent] = {}
    taken: set[str] = set()
    for *_, uid, place in sorted(pairs):
        if uid not in taken and place not in found:
            found[place] = last[uid]
            taken.add(uid)
    return found


def _alike(one: Sequence[int], other: Sequence[int]) -> float:
    """Return the share of all tasks of two visits that both do (Jaccard's index)."""
    return len(set(one) & set(other)) / len(set(one) | set(other))


def _moved(event: PlannedEvent, row: WrittenEvent) -> bool:
    return row.calendar not in (crew_calendar(event.crew), job_calendar(event.job))


def to_write(
    calendar: str,
    events: Sequence[Named],
    written: Sequence[WrittenEvent],
    now: datetime,
    been: Set[str] = frozenset(),
    *,
    today: datetime,
) -> tuple[ToWrite, ...]:
    """Return what a calendar's file says now: its events, then those cancelled that it had and that are to come no more.

    What has gone by, or was begun (`been`), is never cancelled: where it is not among the events it stands as it was written. What is cancelled is told in every
    file until its day is past (`today` is when this one began): nobody knows which file a phone was given.
    """
    own = {row.uid: row for row in written if row.calendar == calendar}
    others: dict[str, list[WrittenEvent]] = {}
    for row in written:
        if row.calendar != calendar:
            others.setdefault(row.uid, []).append(row)
    confirmed = tuple(_confirmed(calendar, one, own.get(one.uid), others.get(one.uid, ()), now) for one in events)
    return (*confirmed, *_cancelled(own, {one.uid for one in events}, been, now, today))


def _confirmed(
    calendar: str, named: Named, before: WrittenEvent | None, others: Sequence[WrittenEvent], now: datetime
) -> ToWrite:
    event = named.event
    said = event.to_crew if calendar.startswith("crew ") else event.to_house
    row = WrittenEvent(
        calendar=calendar,
        uid=named.uid,
        job=event.job,
        kind=event.kind,
        what=named.what,
        tasks=event.tasks,
        start=event.start,
        end=event.end,
        day=event.day,
        summary=said.summary,
        sequence=0,
        cancelled=False,
        digest=_digest(event, said),
        changed_at=now,
    )
    above = max((other.sequence + (not other.cancelled) for other in others), default=-1)
    if before is not None and not before.cancelled and before.digest == row.digest and before.sequence > above:
        row = replace(row, sequence=before.sequence, changed_at=before.changed_at)
    else:
        row = replace(row, sequence=max(above, before.sequence if before is not None else -1) + 1)
    return ToWrite(row=row, said=said, before=before)


def _cancelled(
    own: Mapping[str, WrittenEvent], there: Set[str], been: Set[str], now: datetime, today: datetime
) -> Iterator[ToWrite]:
    for uid, row in own.items():
        if uid in there:
            continue
        if row.cancelled:
            if row.end > today:
                yield ToWrite(row=row, said=None, before=row)
        elif uid not in been and row.end > now:
            gone = replace(
                row, sequence=row.sequence + 1, cancelled=True, changed_at=now, summary=NO_LONGER + row.summary
            )
            yield ToWrite(row=gone, said=None, before=row)


def _digest(event: PlannedEvent, said: Said) -> str:
    """Return the SHA-256 of all that is said of an event."""
    told = [event.kind.value, event.start.isoformat(), event.end.isoformat(), str(event.day)]
    return sha256(json.dumps([*told, said.summary, said.address, said.lines]).encode()).hexdigest()
