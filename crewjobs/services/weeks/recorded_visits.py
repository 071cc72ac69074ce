"""Where crews were in a week by what is recorded: their hours at houses, work begun or ticked, dry runs; a plan made since knows nothing of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.services.jobs.known_hours import recorded_on, ticked_by, under_way_on
from crewjobs.services.rows import Visit
from crewjobs.services.weeks.visits import done_words
from crewjobs.services.wording import task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

NOTHING_TICKED = "nothing ticked for it"
DRY_RUN = "dry run: "
"""How what a visit was about begins where its crew stood there for nothing."""


def recorded_visits(uow: UnitOfWork, zone: str, monday: date, now: datetime) -> dict[date, tuple[Visit, ...]]:
    """Return by day of a week, in a shop's `zone`, a visit for each job at which a crew has hours, work or a dry run of that day.

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
    at_work = [one.crew for one in hours] + [task.crew for task in record.tasks if task.crew]
    for crew in dict.fromkeys(at_work):
        mine = [one for one in hours if one.crew == crew]
        ticked = ticked_by(record, crew, day)
        what = [f"ticked: {done_words(record, ticked)}"] if ticked else []
        if mine:
            span = min(one.start for one in mine), max(one.stop for one in mine)
        else:  # as of a sub, whose hours nobody takes down
            under_way = list(under_way_on(record, crew, day))
            what += [f"{task_words(one.task)} {one.words}" for one in under_way]
            done = [at for task in ticked for at in (task.started_at, task.done_at) if at is not None]
            known = [at for at in done if to_wall(here, at).date() == day] + [at for one in under_way for at in one.at]
            if not known:
                continue
            span = min(known), max(known)
        words = "; ".join(what) or NOTHING_TICKED
        yield _visit(record, zone, crew, span, words, recorded_on(record, crew, day))
    for one in record.dry_runs if day < today else ():
        if to_wall(here, one.at).date() == day:
            yield _visit(record, zone, one.crew, (one.at, one.at), f"{DRY_RUN}{one.because}", "")


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
