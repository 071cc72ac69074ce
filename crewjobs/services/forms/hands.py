"""How many people a job's work needs together where no crew of the shop has so many."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.domain.job import JobRecord


def people_short(record: JobRecord, shop: Shop) -> int:
    """Return how many people some open task of a job needs together and no crew has that lays what it asks for; 0 for none."""
    short = 0
    for task in record.tasks:
        able = [len(crew.workers) for crew in shop.crews if task.skill is None or task.skill in crew.skills]
        if task.open and able and max(able) < task.least_people:
            short = max(short, task.least_people)
    return short
