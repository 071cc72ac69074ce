"""What is told of the work in a house whose air handler stays off for what was found there: nothing that tells to run it again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Caution, Task
from crewjobs.engines.readiness.shut import air_left_off
from crewjobs.services.jobs.known import VENTS_BACK
from crewjobs.services.weeks.lead_closed import COVERED_NOTE, DUCT_NOTE, closings


def title_told(record: JobRecord, task: Task, catalogue: Catalogue, now: datetime) -> str:
    """Return a task's title as it is told at an instant: its own, or the one its template has for while the air stays off."""
    template = catalogue.template(task.key.template)
    if template is not None and template.air_off_title and task.open and air_left_off(record, now):
        return template.air_off_title
    return task.title


def notes_told(record: JobRecord, task: Task, catalogue: Catalogue, now: datetime) -> tuple[str, ...]:
    """Return the notes of a task's template, without those that tell to run the air handler where it stays off.

    Where rooms are closed off for lead paint it is said what of it stays as it is.
    """
    template = catalogue.template(task.key.template)
    if template is None:
        return ()
    closed = {room: check for room, (_, check) in closings(record).items() if check.open}
    if task.key.template == VENTS_BACK and task.key.scope.name in closed:
        return (*template.notes, DUCT_NOTE)
    if air_left_off(record, now) or not template.air_notes:
        return template.notes
    return (*template.notes, *template.air_notes, *([COVERED_NOTE] if closed else ()))


def cautions_told(record: JobRecord, cautions: Iterable[Caution], now: datetime) -> tuple[Caution, ...]:
    """Return cautions, first things first, without those that tell to run the air handler where it stays off."""
    off = air_left_off(record, now)
    told = (caution for caution in cautions if not (off and caution.air))
    return tuple(sorted(told, key=lambda caution: (caution.order, caution.key)))
