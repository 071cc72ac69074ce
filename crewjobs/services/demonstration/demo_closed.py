"""The demo's jobs of the weeks before, entered from their paper in one change: what was done on which day, and the crews' hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from crewjobs.domain.evening import CrewHours
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.material import Lot
from crewjobs.domain.tasks import Phase, Task
from crewjobs.services.jobs import loading

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.files.past_file import Past
    from crewjobs.storage.unit_of_work import UnitOfWork

DAYS: Final = "days.toml"


def enter_past(uow: UnitOfWork, now: datetime, folder: Path, catalogue: Catalogue) -> None:
    """Store the closed jobs of a folder with their days, as one change.

    Raises:
        Refused: a fault of a file, or a number that is taken.
    """
    from crewjobs.files.detect import read_text_file
    from crewjobs.files.past_file import read_past

    loaded = loading.read([path for path in sorted(folder.glob("*.toml")) if path.name != DAYS], uow.shop().zone)
    zones = {job.number: job.site.zone for job in loaded.jobs}
    past = read_past(read_text_file(folder / DAYS), DAYS, zones)
    for job in loaded.jobs:
        fresh = loading.fresh_record(replace(job, state=JobState.CLOSED), catalogue)
        uow.add_job(_worked(fresh, past))
    uow.commit(f"{len(loaded.jobs)} jobs of the weeks before entered from their paper", at=now)


def _worked(record: JobRecord, past: Past) -> JobRecord:
    """Return a job with its days told and all of it done."""
    number, lots = record.job.number, list[Lot]()
    for came in past.came:
        if came.job == number:
            lots.append(
                Lot(
                    material=came.material,
                    name="A",
                    cartons=came.cartons,
                    arrived_at=came.at,
                    moved_in_at=came.at,
                    checked_at=came.at,
                )
            )
    days = sorted((day for day in past.day if day.job == number), key=lambda day: day.start)
    tasks, hours = list(record.tasks), list[CrewHours]()
    for place, day in enumerate(days):
        worked = CrewHours(crew=day.crew, start=day.start, stop=day.stop, people=day.people, break_min=day.break_min)
        hours.append(worked)
        last = _last(tasks, None if place == len(days) - 1 else day.until)
        tasks = [
            replace(task, started_at=worked.start, done_at=worked.stop, crew=day.crew)
            if at <= last and task.open
            else task
            for at, task in enumerate(tasks)
        ]
    return replace(record, tasks=tuple(tasks), lots=tuple(lots), crew_hours=tuple(hours))


def _last(tasks: Sequence[Task], until: Phase | None) -> int:
    """Return the place of the last task of a phase in the working order, of all tasks without one."""
    return max((at for at, task in enumerate(tasks) if until in (None, task.phase)), default=-1)
