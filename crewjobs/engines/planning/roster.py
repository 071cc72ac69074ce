"""Who is with which crew on which day: people out, lent to another crew, or working by themselves."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import NamedTuple

from crewjobs.domain.crew import Away, Crew, Shop, Skill, Worker
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.problem import Errand


def with_parts(shop: Shop, away: Sequence[Away]) -> Shop:
    """Return the shop with a crew more for every part of a crew that works by itself on some days.

    A part has the hours, skills and truck of the crew it came from; its first person leads it. A crew of which nobody is
    there on a day has that day off: what it is at goes on after it, and goes on today.
    """
    names = {crew.name for crew in shop.crews}
    found: dict[str, Crew] = {}
    for one in away:
        origin = next((crew for crew in shop.crews if crew.name == one.crew), None)
        worker = _worker(origin, one) if origin else None
        if not one.to or one.to in names or origin is None or worker is None:
            continue
        part = found.get(one.to)
        if part is None:
            lead = replace(worker, lead=True)
            found[one.to] = replace(origin, name=one.to, workers=(lead,), only=frozenset({one.day}), sub=None)
            continue
        known = any(other.name == worker.name for other in part.workers)
        workers = part.workers if known else (*part.workers, replace(worker, lead=False))
        found[one.to] = replace(part, workers=workers, only=part.only | {one.day})
    whole = replace(shop, crews=(*shop.crews, *found.values()))
    return replace(whole, crews=tuple(_with_days_off(whole, away, crew) for crew in whole.crews))


def _with_days_off(shop: Shop, away: Sequence[Away], crew: Crew) -> Crew:
    """Return a crew with the days off on which everybody of it is away and nobody is lent to it."""
    days = sorted({one.day for one in away if one.crew == crew.name})
    empty = [day for day in days if crew.comes(day) and not present(shop, away, crew.name, day)]
    hours = crew.hours
    for day in empty:
        hours = hours.with_single(day, ())
    return replace(crew, hours=hours) if empty else crew


def present(shop: Shop, away: Sequence[Away], crew: str, day: date) -> tuple[Worker, ...]:
    """Return who works in a crew on a day of the shop: its own people who are not away, then those lent to it.

    `shop` may hold the parts that `with_parts` adds: these have those sent to them that day.
    """
    own = next((one for one in shop.crews if one.name == crew), None)
    if own is None:
        return ()
    gone = {one.worker for one in away if one.crew == crew and one.day == day}
    sent = {(one.crew, one.worker) for one in away if one.to == crew and one.day == day}
    if own.only:
        return tuple(worker for worker in own.workers if worker.name in {name for _, name in sent})
    there = [worker for worker in own.workers if worker.name not in gone]
    lent = [
        replace(worker, lead=False)  # whoever they lead elsewhere, here the crew's own lead does
        for other in shop.crews
        for worker in other.workers
        if (other.name, worker.name) in sent
    ]
    return (*there, *lent)


class Hands(NamedTuple):
    """What a crew could bring on its best day: what it can lay, how many people, and who they are."""

    skills: frozenset[Skill]
    people: int
    workers: tuple[Worker, ...]


class Roster:
    """Who is present, by crew and day, for one plan."""

    def __init__(self, shop: Shop, away: Sequence[Away], errands: Sequence[Errand] = ()) -> None:
        self._shop = shop
        self._away = tuple(away)
        self._errands = tuple(errands)
        left = [(one.crew, to_wall(shop.zone, moment).date()) for one in errands for moment in (one.start, one.end)]
        self._days: dict[str, frozenset[date]] = {
            crew.name: crew.only
            or frozenset(one.day for one in away if crew.name in (one.crew, one.to))
            | frozenset(day for name, day in left if name == crew.name)
            for crew in shop.crews
        }
        self._there: dict[tuple[str, date], tuple[Worker, ...]] = {}
        self._counts: dict[str, tuple[int, ...]] = {}
        self._usual = {crew.name: crew.workers for crew in shop.crews}
        cards = {(crew.name, worker.name): worker.cards for crew in shop.crews for worker in crew.workers}
        self._scarce = [(card, one.day) for one in away for card in cards.get((one.crew, one.worker), ())]
        self.hands = tuple(
            Hands(skills=crew.skills, people=self.most(crew.name), workers=self.anyone(crew.name))
            for crew in shop.crews
        )

    def days(self, crew: str) -> frozenset[date]:
        """Return the days on which a crew is not as it usually is."""
        return self._days[crew]

    def on(self, crew: str, day: date) -> tuple[Worker, ...]:
        """Return who works in a crew on a day."""
        if day not in self._days[crew]:
            return self._usual[crew]
        if (crew, day) not in self._there:
            self._there[crew, day] = present(self._shop, self._away, crew, day)
        return self._there[crew, day]

    def scarce(self, days: Collection[date] = ()) -> frozenset[str]:
        """Return the cards of somebody who is not with their crew on one of these days, or on any if none is named."""
        return frozenset(card for card, day in self._scarce if not days or day in days)

    def between(self, crew: str, day: date, start: datetime, end: datetime) -> tuple[Worker, ...]:
        """Return who of a crew is there on a day for all of a stretch of time: not who leaves for a small visit in it."""
        gone = {one.worker for one in self._errands if one.start < end and start < one.end}
        there = self.on(crew, day)
        return tuple(worker for worker in there if worker.name not in gone) if gone else there

    def back(self, crew: str, start: datetime, end: datetime) -> datetime | None:
        """Return when the first of a crew's people who are elsewhere in a stretch of time is back, None if nobody is."""
        names = {worker.name for worker in self.anyone(crew)}
        return min(
            (one.end for one in self._errands if one.worker in names and one.start < end and start < one.end),
            default=None,
        )

    def gone_min(self, worker: str, start: datetime, end: datetime) -> float:
        """Return the minutes of a stretch of time in which somebody is at a small visit or on the way there or back."""
        spans = sorted((max(start, one.start), min(end, one.end)) for one in self._errands if one.worker == worker)
        gone, until = timedelta(0), start
        for begin, stop in spans:
            gone += max(timedelta(0), stop - max(begin, until))
            until = max(until, stop)
        return gone / timedelta(minutes=1)

    def most(self, crew: str) -> int:
        """Return the most people a crew has on any day."""
        return max(len(self._usual[crew]), *(len(self.on(crew, day)) for day in self._days[crew]), 0)

    def counts(self, crew: str) -> tuple[int, ...]:
        """Return how many people a crew may have at some time: its usual number first, then from the most on down."""
        if crew not in self._counts:
            usual = len(self._usual[crew])
            found = {len(self.on(crew, day)) for day in self._days[crew]} - {0}
            if any(one.worker in {worker.name for worker in self.anyone(crew)} for one in self._errands):
                found |= set(range(1, self.most(crew)))
            self._counts[crew] = (usual, *sorted(found - {usual}, reverse=True))
        return self._counts[crew]

    def next_unusual(self, crew: str, day: date) -> date | None:
        """Return the first day from a day on on which a crew is not as it usually is, None if there is none."""
        return min((one for one in self._days[crew] if one >= day), default=None)

    def next_errand(self, crew: str, since: datetime) -> datetime | None:
        """Return when the next of those who work in a crew leaves for a small visit, from an instant on; None if nobody."""
        names = {worker.name for worker in self.anyone(crew)}
        return min((one.start for one in self._errands if one.worker in names and one.start >= since), default=None)

    def anyone(self, crew: str) -> tuple[Worker, ...]:
        """Return everybody who works in a crew on some day."""
        lent = [worker for day in sorted(self._days[crew]) for worker in self.on(crew, day)]
        return tuple(dict.fromkeys((*self._usual[crew], *lent)))


def _worker(crew: Crew, away: Away) -> Worker | None:
    return next((worker for worker in crew.workers if worker.name == away.worker), None)
