"""Where crews were in a week by what is recorded: their hours at houses, and dry runs; a plan made since knows nothing of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.services.jobs.known_hours import recorded_on, ticked_by
from crewjobs.services.rows import Visit
from crewjobs.services.weeks.visits import done_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

NOTHING_TICKED = "nothing ticked for it"


def recorded_visits(uow: UnitOfWork, zone: str, monday: date, now: datetime) -> dict[date, tuple[Visit, ...]]:
    """Return by day of a week, in a shop's `zone`, a visit for each job at which a crew has hours or a dry run of that day.

    None of a week to come, and no dry run of today: nobody is to go there again, and the plan has its crew elsewhere. Such a visit
    has no tasks of the plan in force.
    """
    days = tuple(days_from(monday, 7))
    found: dict[date, list[Visit]] = {day: [] for day in days}
    today = to_wall(zone, now).date()
    if today >= monday:
        # A house may keep another clock than the shop: its date of an hour can be another one.
        since, until = to_utc(zone, monday, 0) - timedelta(days=1), to_utc(zone, monday, 0) + timedelta(days=8)
        records = [uow.job(number) for number in uow.numbers_on_the_clock(since, until)]
        for day in days:
            found[day] = [visit for record in records for visit in _at_job(record, zone, day, today)]
    return {day: tuple(sorted(of_day, key=lambda one: (one.crew, one.start))) for day, of_day in found.items()}


def _at_job(record: JobRecord, zone: str, day: date, today: date) -> Iterator[Visit]:
    here = record.job.site.zone
    hours = [one for one in record.crew_hours if to_wall(here, one.start).date() == day]
    for crew in dict.fromkeys(one.crew for one in hours):
        mine = [one for one in hours if one.crew == crew]
        ticked = ticked_by(record, crew, day)
        what = f"ticked: {done_words(record, ticked)}" if ticked else NOTHING_TICKED
        start, end = min(one.start for one in mine), max(one.stop for one in mine)
        yield _visit(record, zone, crew, (start, end), what, recorded_on(record, crew, day))
    for one in record.dry_runs if day < today else ():
        if to_wall(here, one.at).date() == day:
            yield _visit(record, zone, one.crew, (one.at, one.at), f"dry run: {one.because}", "")


def _visit(record: JobRecord, zone: str, crew: str, span: tuple[datetime, datetime], what: str, recorded: str) -> Visit:
    return Visit(
        job=record.job.number,
        title=record.job.title,
        crew=crew,
        start=to_wall(zone, span[0]),
        end=to_wall(zone, span[1]),
        what=what,
        tasks=(),
        reason="",
        pinned=False,
        begun=False,
        recorded=recorded,
    )
