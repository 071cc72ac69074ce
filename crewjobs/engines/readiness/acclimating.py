"""How many hours of acclimation count, by what the air of the rooms was read to be.

A reading speaks for the time after it until the next one in the same place. Out of range in any of a material's rooms,
hours stop, or all of them are counted anew, as the material's rule says, until every room was read in range again. Hours before
the first reading, and those more than a day after the last, are counted too, and said to be unread: nobody knows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from crewjobs.domain.conditions import Conditions, Outside
from crewjobs.engines.readiness.air_read import RoomAir, out_of_range

SPEAKS_FOR: Final = timedelta(hours=24)
"""How long after it a reading says how the air is; common practice, no source: read once a day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """The hours of a material that lies in its rooms, at an instant. Instants are UTC, spans whole minutes.

    `since` is from when they are counted: later than asked for where they were counted anew. `ready_at` is when enough have
    counted, if the air stays as it was read last; None while it is out of range, and `earliest` is when they would have counted if
    it were in range from now on. `unread_min` are those counted by now that no reading speaks for; `lost_min` those out of range.
    `out` is the reading that stops them now, `out_since` the instant from which they have stood still.
    """

    since: datetime
    minutes: int
    ready_at: datetime | None
    earliest: datetime
    unread_min: int
    lost_min: int = 0
    out: RoomAir | None = None
    out_since: datetime | None = None
    read: bool = False

    @property
    def verified(self) -> bool:
        """Return whether readings speak for all hours counted so far."""
        return self.read and not self.unread_min


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A stretch of time with the reading that is out of range in it (None: in range), and until when readings speak."""

    start: datetime
    end: datetime
    out: RoomAir | None
    read_until: datetime | None


def count_hours(
    read: Sequence[RoomAir],
    rooms: frozenset[str],
    asks: Conditions,
    since: datetime,
    needed: timedelta,
    at: datetime,
) -> Counted:
    """Return how the hours stand at an instant.

    Args:
        read: what was read of the rooms' air, in the order of time; samples after `at` are not looked at.
        rooms: the rooms it lies in.
        asks: the range, and what a reading out of it does.
        since: from when the material lies in its rooms with the air running.
        needed: the hours it asks for, by the clock.
    """
    counted, unread, lost = timedelta(), timedelta(), timedelta()
    starts, ready_at = since, since if not needed else None
    out, out_since = None, None
    for stretch in _stretches(read, rooms, asks, since, at):
        if stretch.out is not None:
            lost += stretch.end - stretch.start
            if out is None:
                out_since = stretch.start
            out = stretch.out
            if asks.outside is Outside.STARTS_AGAIN:
                counted, unread, ready_at = timedelta(), timedelta(), None
                starts = stretch.end
            continue
        out = out_since = None
        span = stretch.end - stretch.start
        if ready_at is None and counted + span >= needed:
            ready_at = stretch.start + (needed - counted)
        if ready_at is None or stretch.start < ready_at:
            end = stretch.end if ready_at is None else min(stretch.end, ready_at)
            unread += max(timedelta(), end - max(stretch.start, stretch.read_until or stretch.start))
        counted += span
    earliest = ready_at or at + (needed - min(counted, needed))
    if ready_at is None and out is None:
        ready_at = max(since, at) + (needed - counted)
        earliest = ready_at
    return Counted(
        since=starts,
        minutes=_minutes(min(counted, needed)),
        ready_at=ready_at,
        earliest=earliest,
        unread_min=_minutes(unread),
        lost_min=_minutes(lost),
        out=out,
        out_since=out_since,
        read=any(one.sample.at <= at for one in read),
    )


def _stretches(
    read: Sequence[RoomAir], rooms: frozenset[str], asks: Conditions, since: datetime, at: datetime
) -> Iterator[_Stretch]:
    """Yield the time from `since` to an instant, cut at every reading; at least one stretch, of no length if need be."""
    last: dict[str, list[RoomAir]] = {}
    spoke: datetime | None = None
    start = since
    for one in read:
        when = one.sample.at
        if when > at:
            break
        if when > start:
            yield _Stretch(start, when, _out(last, asks), spoke)
            start = when
        for room in [one.room] if one.room else rooms:  # what is read of the house is of every room
            before = last.get(room, [])
            last[room] = [*before, one] if before and before[-1].sample.at == when else [one]
        spoke = when + SPEAKS_FOR
    yield _Stretch(start, max(start, at), _out(last, asks), spoke)


def _out(last: dict[str, list[RoomAir]], asks: Conditions) -> RoomAir | None:
    return next((one for taken in last.values() if (one := out_of_range(taken, asks))), None)


def _minutes(span: timedelta) -> int:
    return span // timedelta(minutes=1)
