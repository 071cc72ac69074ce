"""The jobs as a table for a spreadsheet: who, where, when, how much labor, what was paid."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import Money
from crewjobs.domain.job import LIVE, Job, JobRecord, JobState
from crewjobs.domain.units import FOOT, MILLIMETRE, UnitSystem
from crewjobs.domain.wall import to_wall
from crewjobs.engines.estimating.estimate import total
from crewjobs.engines.planning.paces import paces_in
from crewjobs.services.asked.telling import last_told
from crewjobs.services.jobs.job_list import current_phase, hours_said_done, job_row
from crewjobs.services.spreadsheets.export_rows import Columns, Days, ExportTable, Table, day_cell, yes
from crewjobs.services.weeks.visits import Planned, planned

if TYPE_CHECKING:
    from crewjobs.services.rows import JobRow
    from crewjobs.storage.unit_of_work import UnitOfWork

_M2_IN_FT2: Final = (FOOT / (1000 * MILLIMETRE)) ** 2
"""Square metres in a square foot: both lengths are exact."""


_NOT_TOLD: Final = ("links", "passed", "findings", "ways_taken", "walks", "air", "readings", "moves", "layouts")
"""What of a past job the table says nothing of, and is not read of thousands of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """A job with what is told of it; days are the site's."""

    record: JobRecord
    begun: date | None
    starts: datetime | None
    ends: datetime | None
    late: str
    book_h: float
    left_h: float
    own_h: float | None

    @property
    def days(self) -> tuple[date | None, ...]:
        """Return all its days: wished, promised, begun, planned, worked."""
        zone = self.record.job.site.zone
        worked = [to_wall(zone, one.start).date() for one in self.record.crew_hours]
        plan = [one.date() for one in (self.starts, self.ends) if one is not None]
        return (self.record.job.wished, self.record.job.promised, self.begun, *plan, *worked)


def jobs_table(uow: UnitOfWork, now: datetime, days: Days) -> ExportTable:
    """Return all jobs, or those with any day among some: wished, promised, planned or worked; never an entry note."""
    live = uow.live_jobs()
    found = planned(uow, live) if live else None
    past = uow.past_jobs(without=_NOT_TOLD, called_off=True)
    records = sorted((*live, *past), key=lambda record: record.job.number)
    known = [_known(record, found, now) for record in records]
    table = Table(what="jobs", columns=_columns(uow.shop().units))
    return table.of([one for one in known if days.all or any(days.has(day) for day in one.days)])


def _known(record: JobRecord, found: Planned | None, now: datetime) -> _Known:
    job, zone = record.job, record.job.site.zone
    needed = [task for task in record.tasks if not task.not_needed]
    still = [task for task in needed if task.open and job.state in LIVE]  # of a job that is over nothing is left
    placed = [one for one in found.plan.placements if one.key.job == job.number] if found and still else []
    row = job_row(record, found if placed else None, now)
    first = [task.started_at or task.done_at for task in needed]
    begun = min((at for at in (*first, *(one.start for one in record.crew_hours)) if at is not None), default=None)
    own = None
    crews = {task: one.crew for one in placed for task in one.tasks}
    paces = paces_in({one.key: one for one in placed}.values())
    if placed and paces.times and all(task.number in crews for task in still):
        own = sum(task.estimate.expected * paces.of(crews[task.number], job.number, task.number) for task in still) / 60
    return _Known(
        record=record,
        begun=to_wall(zone, begun).date() if begun else None,
        starts=to_wall(zone, min(one.start for one in placed)) if placed else None,
        ends=row.planned_finish,
        late=_late(job, row, planned=not still or row.planned_finish is not None),
        book_h=total(needed).hours,
        left_h=total(still).hours - hours_said_done(record) if still else 0.0,
        own_h=own,
    )


def _late(job: Job, row: JobRow, *, planned: bool) -> str:
    """Return whether the promise is missed by the plan.

    Of a booked job that the plan does not finish, or with planned work of a day that is over not ticked, nobody can say that
    it holds.
    """
    if row.late or job.promised is None or job.state is not JobState.BOOKED:
        return yes(row.late)
    return "not planned" if not planned else "not ticked" if row.unticked else yes(row.late)


def _clock(at: datetime | None) -> str | None:
    return f"{at:%H:%M}" if at is not None else None


def _paid(one: _Known, fact: Money) -> float | None:
    """Return what was noted of a fact of money, all of it together; None where it has not happened."""
    cents = [noted.cents for noted in one.record.money if noted.fact is fact]
    return sum(cents) / 100 if cents else None


def _paid_on(one: _Known, fact: Money) -> str | None:
    return day_cell(max((noted.day for noted in one.record.money if noted.fact is fact), default=None))


def _columns(units: UnitSystem) -> Columns[_Known]:
    metric = units == "metric"
    times = _M2_IN_FT2 if metric else 1.0
    return (
        ("job", lambda one: one.record.job.number),
        ("title", lambda one: one.record.job.title),
        ("customer", lambda one: one.record.job.customer.name),
        ("phone", lambda one: one.record.job.customer.phone),
        ("mail", lambda one: one.record.job.customer.mail),
        ("address", lambda one: one.record.job.site.address),
        ("zone", lambda one: one.record.job.site.zone),
        ("year built", lambda one: one.record.job.site.year_built),
        ("drive (min)", lambda one: one.record.job.site.drive_min),
        ("state", lambda one: one.record.job.state.value),
        ("callback of job", lambda one: one.record.job.callback_of),
        ("phase", lambda one: current_phase(one.record) if one.record.tasks else ""),
        ("wished", lambda one: day_cell(one.record.job.wished)),
        ("promised", lambda one: day_cell(one.record.job.promised)),
        ("told finish", lambda one: day_cell(last_told(one.record))),
        ("begun", lambda one: day_cell(one.begun)),
        ("planned start", lambda one: day_cell(one.starts.date() if one.starts else None)),
        ("planned start at", lambda one: _clock(one.starts)),
        ("planned finish", lambda one: day_cell(one.ends.date() if one.ends else None)),
        ("planned finish at", lambda one: _clock(one.ends)),
        ("late", lambda one: one.late),
        (f"new floor ({'m2' if metric else 'ft2'})", lambda one: one.record.job.area_ft2 * times),
        ("tasks", lambda one: sum(not task.not_needed for task in one.record.tasks)),
        ("tasks done", lambda one: sum(not task.not_needed and not task.open for task in one.record.tasks)),
        ("labor by the book (h)", lambda one: one.book_h),
        ("labor left by the book (h)", lambda one: one.left_h),
        ("labor left by own pace (h)", lambda one: one.own_h),
        ("labor so far (h)", lambda one: sum(day.labor for day in one.record.crew_hours) / 60),
        ("waited so far (h)", lambda one: sum(day.waited for day in one.record.crew_hours) / 60),
        ("dry runs", lambda one: len(one.record.dry_runs)),
        ("deposit in", lambda one: _paid_on(one, Money.DEPOSIT)),
        ("deposit ($)", lambda one: _paid(one, Money.DEPOSIT)),
        ("balance asked", lambda one: _paid_on(one, Money.ASKED)),
        ("balance asked ($)", lambda one: _paid(one, Money.ASKED)),
        ("balance received", lambda one: _paid_on(one, Money.RECEIVED)),
        ("balance received ($)", lambda one: _paid(one, Money.RECEIVED)),
    )
