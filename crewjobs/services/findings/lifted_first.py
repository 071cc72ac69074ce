"""What whoever works under a floor is told where that floor is taken out only later: what lies over the place is lifted first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.tear_out import OFF_STAIRS, TAKES_OUT
from crewjobs.engines.readiness.found import EXTRA_WORK, comes_before

LIFTED_FIRST: Final = "what still lies over it is lifted there first, what stands on that is moved off"


def lifted_first_words(record: JobRecord, task: Task) -> Iterator[str]:
    """Yield it for open work under the present floor of its place, of which some is still to come out, and not before that work."""
    if not task.open or task.key.template != EXTRA_WORK:
        return
    place = task.key.scope.name
    if not any(one.under and (one.what, one.place) == (task.key.cause, place) for one in record.job.work):
        return
    before = comes_before(record, task.number)
    if any(
        other.open
        and (other.key.template in TAKES_OUT or other.key.template in OFF_STAIRS)
        and other.key.scope.name == (place or other.key.scope.name)
        and other.number not in before
        for other in record.tasks
    ):
        yield LIFTED_FIRST
