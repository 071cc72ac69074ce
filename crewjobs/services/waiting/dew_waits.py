"""Floors too near the dew point on the waiting list: what is spread on them waits until somebody warms, dries and reads again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from crewjobs.domain.job import JobRecord
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wording import listed, typed
from crewjobs.engines.readiness.dew import dew_standing, spreads
from crewjobs.services.rows import WaitRow
from crewjobs.services.wording import task_words, told_of


def dew_rows(record: JobRecord, now: datetime, units: UnitSystem) -> Iterator[WaitRow]:
    """Yield a row for every room that was read too near the dew point and has something to be spread in it."""
    for room in record.job.rooms:
        held = [task for task in record.tasks if task.open and spreads(task) and task.key.scope.name == room.name]
        found = dew_standing(record, room.name, now) if held else None
        if found is None:
            continue
        number = record.job.number
        yield WaitRow(
            job=number,
            title=record.job.title,
            what=told_of(record.job, f"{room.name}: {found.words}", units),
            state=WaitState.NOT_READY,
            since=None,
            ready_at=None,
            minutes_left=None,
            done=None,
            verified=True,
            holds=listed([task_words(task) for task in held], most=3),
            call=(
                f"warm the floor or dry the air, then read both again: `crewjobs reading {number} surface … --room {typed(room.name)}` and "
                f"`crewjobs reading {number} air … --room {typed(room.name)}`"
            ),
        )
