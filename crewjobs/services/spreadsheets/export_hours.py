"""Crews' hours as a table for a spreadsheet: one row for each stretch of a crew at a house, and for each dry run."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.evening import CrewHours
from crewjobs.domain.house_ready import DryRun
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall
from crewjobs.services.spreadsheets.export_rows import Columns, Days, ExportTable, Table, yes

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """Hours of a crew, or a dry run; `at` and `until` are the site's wall times."""

    record: JobRecord
    crew: str
    at: datetime
    until: datetime | None = None
    hours: CrewHours | None = None
    dry_run: DryRun | None = None


def hours_table(uow: UnitOfWork, days: Days) -> ExportTable:
    """Return all crews' hours and dry runs, or those of some days, by day, time and job."""
    lines = [line for record in uow.jobs_on_the_clock() for line in _lines(record)]
    lines.sort(key=lambda line: (line.at.date(), line.at, line.record.job.number, line.crew))
    return Table(what="hours", columns=_COLUMNS).of([line for line in lines if days.all or days.has(line.at.date())])


def _lines(record: JobRecord) -> list[_Line]:
    zone = record.job.site.zone
    hours = [
        _Line(record=record, crew=one.crew, at=to_wall(zone, one.start), until=to_wall(zone, one.stop), hours=one)
        for one in record.crew_hours
    ]
    return [
        *hours,
        *(_Line(record=record, crew=one.crew, at=to_wall(zone, one.at), dry_run=one) for one in record.dry_runs),
    ]


def _hours(minutes: int) -> float:
    return minutes / 60


_COLUMNS: Final[Columns[_Line]] = (
    ("day", lambda line: line.at.date().isoformat()),
    ("job", lambda line: line.record.job.number),
    ("title", lambda line: line.record.job.title),
    ("customer", lambda line: line.record.job.customer.name),
    ("crew", lambda line: line.crew),
    ("from", lambda line: f"{line.at:%H:%M}"),
    ("to", lambda line: f"{line.until:%H:%M}" if line.until else None),
    ("zone", lambda line: line.record.job.site.zone),
    ("people", lambda line: line.hours.people if line.hours else None),
    ("break (min)", lambda line: line.hours.break_min if line.hours else None),
    ("there (h)", lambda line: _hours(line.hours.minutes) if line.hours else None),
    ("waited (min)", lambda line: line.hours.wait_min if line.hours else None),
    ("waited for", lambda line: line.hours.wait_why if line.hours else None),
    ("labor (h)", lambda line: _hours(line.hours.labor) if line.hours else None),
    ("dry run", lambda line: yes(line.dry_run is not None)),
    ("why it was dry", lambda line: line.dry_run.because if line.dry_run else None),
    ("callback", lambda line: yes(line.record.job.is_callback)),
)
"""`labor` is every person's work added up, without breaks and waiting."""
