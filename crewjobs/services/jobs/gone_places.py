"""What becomes of a room or stairs that is taken out of a job: its open work goes, what was recorded of it stays."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed

if TYPE_CHECKING:
    from crewjobs.domain.job import Job, JobRecord


def gone_places(before: JobRecord, after: JobRecord) -> Iterator[str]:
    """Yield a sentence for each room and each stairs that a job no longer has, with how much was recorded of it.

    Nothing recorded is lost with a place: readings, findings and the lead's word on lots stay in the job's record.
    """
    names = _places(after.job)
    still = {task.number for task in after.tasks if not task.not_needed}
    for name in _places(before.job):
        if name in names:
            continue
        off = sum(
            task.number not in still and not task.not_needed and task.open and task.key.scope.name == name
            for task in before.tasks
        )
        facts = [
            _count([*(one.room for one in before.air), *(one.room for one in before.readings)].count(name), "reading"),
            _count(sum(name in one.rooms for one in before.lot_uses), "word on a lot", "words on lots"),
            _count(sum(one.place == name for one in before.findings), "finding"),
        ]
        told = [one for one in facts if one]
        tasks = (
            f"{_count(off, 'task')} of it {'falls' if off == 1 else 'fall'} away" if off else "no open task was of it"
        )
        kept = f"; recorded of it, and kept with the job: {listed(told)}" if told else ""
        number = after.job.number
        yield (f"Job {number}: {quoted(name)} is no longer in the job: {tasks}{kept}. `crewjobs undo` brings it back.")


def _places(job: Job) -> dict[str, None]:
    return dict.fromkeys((*(room.name for room in job.rooms), *(stairs.name for stairs in job.stairs)))


def _count(count: int, one: str, more: str = "") -> str:
    """Return how many there are, empty for none."""
    return f"{count} {one if count == 1 else more or f'{one}s'}" if count else ""
