"""The crews' pace as it is learned from the records: the one place everything that needs it asks.

What was learned is kept in the database, for a shop with years of hours learns for seconds. It stands on a change of the log: jobs
touched since are read again, and where their hours or what was done in them differ, they are learned on from one by one. The
scales, how much crews and jobs differ, are learned anew with everything else when a tenth of the jobs have been learned on; until
then rates differ from those learned anew by a small part of their band. Nothing here writes: what is worth keeping is left with
the transaction (`UnitOfWork.to_keep`), and the faces that answer from it keep it when it is over.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import DoneTask, HoursKind, WorkedDay
from crewjobs.domain.wall import to_wall
from crewjobs.engines.estimating.worked import worked_days
from crewjobs.engines.learning.kept import as_bytes, from_bytes
from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.learning.updating import with_job

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

VERSION: Final = 3
"""Raised with every change of how days are made of records: what was kept before is then read anew."""
MOST_LEARNED_ON: Final = 10
"""One in so many jobs learned on from; beyond, all is learned anew."""
MOST_READ: Final = 500
"""So many jobs are read again one by one; more, and all are read."""

NOTHING: Final = ""
"""What tells of a job that it has no hours."""

Days = dict[int, tuple[WorkedDay, ...]]
"""The days of all jobs by the job's number, those to come too, subs' left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The crews' pace with the shop's pins, and the days it was learned from: those up to today."""

    pace: Pace
    days: tuple[WorkedDay, ...]


def learned(uow: UnitOfWork, now: datetime) -> Pace:
    """Return what the hours of all jobs tell of each crew's pace by now; without any, the book's, as sure as its prior."""
    return known(uow, now).pace


def pace_to_plan(uow: UnitOfWork, now: datetime) -> Pace:
    """Return the same pace, without what it was learned from: quickly, since the plan follows every tick.

    As long as what was changed since it was kept told nothing new of hours, only the rates are read. What they were learned from
    (`Pace.told`, `Pace.jobs`) is left out.
    """
    return _quickly(uow, now) or learned(uow, now)


def _quickly(uow: UnitOfWork, now: datetime) -> Pace | None:
    shop, parts = uow.shop(), uow.kept_pace("stands_on", "rates")
    try:
        stands = json.loads(parts["stands_on"])
        told: dict[str, str] = stands["jobs"]
        today, kept_day = to_wall(shop.zone, now).date().isoformat(), stands["today"]
        same_days = not (today > kept_day and stands["next"] and stands["next"] <= today) and not (
            today < kept_day and stands["last"] and stands["last"] > today
        )
        if stands["about"] != _about(shop) or not same_days or stands["change"] > uow.last_change_number():
            return None
        touched = uow.jobs_touched(stands["change"])
        if len(touched) > MOST_READ:
            return None
        again = _by_job(uow.worked_among(touched), shop) if touched else {}
        if any(_digest(again.get(job, ())) != told.get(str(job), NOTHING) for job in touched):
            return None
        return from_bytes(parts["rates"]).pinned(uow.rate_pins())
    except (Refused, ValueError, KeyError, TypeError, AttributeError):
        return None


def known(uow: UnitOfWork, now: datetime) -> Known:
    """Return the crews' pace and the days it was learned from."""
    shop = uow.shop()
    today, about, change = to_wall(shop.zone, now).date(), _about(shop), uow.last_change_number()
    kept = _Kept.read(uow.kept_pace(), about)
    if kept is None or kept.change > change:
        days = _by_job(uow.worked_jobs(), shop)
        fresh = _anew(days, about, change, today)
    else:
        fresh = _brought_up(uow, kept, shop, change, today)
    if fresh is not kept and (fresh.days or kept is not None):
        uow.to_keep |= fresh.parts(kept)
    return Known(pace=fresh.pace.pinned(uow.rate_pins()), days=_until(fresh.days, today))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Kept:
    """A pace and the days of all jobs as they were after a change; learned from the days up to `today`.

    `about` is what else they stand on, `since` how many jobs were learned on since all was learned anew.
    """

    about: str
    change: int
    today: date
    since: int
    days: Days
    pace: Pace

    @classmethod
    def read(cls, parts: Mapping[str, bytes], about: str) -> _Kept | None:
        """Return what is kept, None where nothing is or where it is of another program or another shop."""
        try:
            stands = json.loads(parts["stands_on"])
            if stands["about"] != about:
                return None
            return cls(
                about=about,
                change=int(stands["change"]),
                today=date.fromisoformat(stands["today"]),
                since=int(stands["since"]),
                days=_days_of(json.loads(parts["days"])),
                pace=from_bytes(parts["pace"]),
            )
        except (Refused, ValueError, KeyError, TypeError, AttributeError):
            return None

    def parts(self, old: _Kept | None) -> dict[str, bytes]:
        """Return what is to be written where `old` is kept."""
        every = sorted({day.day.isoformat() for mine in self.days.values() for day in mine})
        today = self.today.isoformat()
        stands = {
            "about": self.about,
            "change": self.change,
            "today": today,
            "since": self.since,
            "last": max((day for day in every if day <= today), default=""),
            "next": min((day for day in every if day > today), default=""),
            "jobs": {str(job): _digest(mine) for job, mine in self.days.items()},
        }
        parts = {"stands_on": json.dumps(stands).encode()}
        if old is None or self.days is not old.days:
            parts["days"] = json.dumps(_plain(self.days), separators=(",", ":")).encode()
        if old is None or self.pace is not old.pace:
            parts["pace"] = as_bytes(self.pace)
            parts["rates"] = as_bytes(replace(self.pace, told={}, jobs={}))
        return parts


def _about(shop: Shop) -> str:
    """Return what days are made of beside the jobs: the program, the zone of today, who is a sub."""
    subs = sorted(crew.name for crew in shop.crews if crew.sub is not None)
    return json.dumps([VERSION, shop.zone, subs])


def _anew(days: Days, about: str, change: int, today: date) -> _Kept:
    return _Kept(about=about, change=change, today=today, since=0, days=days, pace=learn(_until(days, today)))


def _brought_up(uow: UnitOfWork, kept: _Kept, shop: Shop, change: int, today: date) -> _Kept:
    """Return what is kept with everything that was changed since; itself where nothing was."""
    touched = uow.jobs_touched(kept.change) if change != kept.change else frozenset()
    days, other = _reread(uow, kept.days, shop, touched)
    if any(min(kept.today, today) < day.day <= max(kept.today, today) for mine in days.values() for day in mine):
        return _anew(days, kept.about, change, today)  # a day has come, or has not come yet
    since = kept.since + len(other)
    if since * MOST_LEARNED_ON > len(days):
        return _anew(days, kept.about, change, today) if other else _moved(kept, change, today)
    pace = kept.pace
    for job in other:
        pace = with_job(pace, job, _up_to(days.get(job, ()), today))
    if not other:
        return _moved(kept, change, today)
    return _Kept(about=kept.about, change=change, today=today, since=since, days=days, pace=pace)


def _moved(kept: _Kept, change: int, today: date) -> _Kept:
    """Return the same pace standing on a later change."""
    if (change, today) == (kept.change, kept.today):
        return kept
    return _Kept(about=kept.about, change=change, today=today, since=kept.since, days=kept.days, pace=kept.pace)


def _reread(uow: UnitOfWork, days: Days, shop: Shop, touched: frozenset[int]) -> tuple[Days, list[int]]:
    """Return the days of all jobs, those of touched ones read again, and the jobs whose days are others than before."""
    if not touched:
        return days, []
    records = uow.worked_among(touched) if len(touched) <= MOST_READ else uow.worked_jobs()
    again = _by_job((record for record in records if record.job.number in touched), shop)
    other = sorted(job for job in touched if again.get(job, ()) != days.get(job, ()))
    if not other:
        return days, []
    found = {job: mine for job, mine in days.items() if job not in touched} | again
    return dict(sorted(found.items())), other


def _by_job(records: Iterable[JobRecord], shop: Shop) -> Days:
    subs = {crew.name for crew in shop.crews if crew.sub is not None}
    found = {record.job.number: tuple(day for day in worked_days(record) if day.crew not in subs) for record in records}
    return {job: days for job, days in sorted(found.items()) if days}


def _until(days: Days, today: date) -> tuple[WorkedDay, ...]:
    return tuple(day for mine in days.values() for day in _up_to(mine, today))


def _up_to(days: Iterable[WorkedDay], today: date) -> tuple[WorkedDay, ...]:
    return tuple(day for day in days if day.day <= today)


# -- days as JSON


def _digest(days: Sequence[WorkedDay]) -> str:
    """Return what tells a job's days from any others."""
    return sha256(repr(_plain({0: tuple(days)})).encode()).hexdigest()[:16] if days else NOTHING


def _plain(days: Days) -> list[Any]:
    """Return days as lists; conditions are the same few sets again and again and are told once."""
    sets: dict[frozenset[str], int] = defaultdict(lambda: len(sets))
    rows = [
        [
            day.job,
            day.crew,
            day.day.isoformat(),
            day.labor_min,
            day.kind.value,
            day.days,
            [[task.number, task.template, task.book_min, sets[task.conditions]] for task in day.done],
        ]
        for mine in days.values()
        for day in mine
    ]
    return [[sorted(one) for one in sets], rows]


def _days_of(plain: Sequence[Any]) -> Days:
    sets = [frozenset(one) for one in plain[0]]
    found: defaultdict[int, list[WorkedDay]] = defaultdict(list)
    for job, crew, day, labor, kind, count, done in plain[1]:
        tasks = tuple(
            DoneTask(number=number, template=template, book_min=book, conditions=sets[at])
            for number, template, book, at in done
        )
        worked = WorkedDay(
            job=job,
            crew=crew,
            day=date.fromisoformat(day),
            labor_min=labor,
            done=tasks,
            kind=HoursKind(kind),
            days=count,
        )
        found[job].append(worked)
    return {job: tuple(mine) for job, mine in found.items()}
