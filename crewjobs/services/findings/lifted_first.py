"""What whoever works on what was found under a floor is told: what lies over the place is lifted first, and nothing is set down on it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from crewjobs.domain.found import ROT, WHOLE_HOUSE
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.tear_out import OFF_STAIRS, TAKES_OUT
from crewjobs.engines.readiness.found import EXTRA_WORK, comes_before
from crewjobs.engines.readiness.shut import shutting

LIFTED_FIRST: Final = "what still lies over it is lifted there first, what stands on that is moved off"
LAID_OVER: Final = "what is laid over it already is taken up there first and laid again after: the plan has no hours for that, they are agreed"
NOTHING_ON_IT: Final = "rot in {}: nothing is set down on it, nobody steps on it; how far it goes is looked at before anything heavy is moved there"
HALF_ON_HALF: Final = "move-furniture-over"
"""The template of what sets a room's furniture down on its other half."""


def lifted_first_words(record: JobRecord, task: Task) -> Iterator[str]:
    """Yield it for open work under the present floor of its place, of which some is still to come out, and not before that work.

    Nothing takes out what this job has laid there, nor what lies where a callback goes: that is said as well.
    """
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
    elif _laid_over(record, place):
        yield LAID_OVER


def _laid_over(record: JobRecord, place: str) -> bool:
    """Return whether some of a new floor lies in a place, laid by this job or by the one that a callback comes back to."""
    laid = any(
        task.phase is Phase.INSTALL
        and task.needs_material is not None
        and task.key.scope.name == (place or task.key.scope.name)
        and (task.started_at is not None or task.done_at is not None)
        for task in record.tasks
    )
    rooms = {room.name: room.layers for room in record.job.rooms}
    floors = rooms | {flight.name: flight.layers for flight in record.job.stairs}
    there = any(layers and name == (place or name) for name, layers in floors.items())
    return laid or (record.job.is_callback and there)


def nothing_on_it_words(record: JobRecord, task: Task, now: datetime) -> Iterator[str]:
    """Yield of soft wood that is not cut out yet what is minded where a room's furniture is moved onto its other half.

    It is known by the room, not by its half: the crew may come in for the repair, and the heap may stand on it.
    """
    if not task.open or task.key.template != HALF_ON_HALF:
        return
    place = task.key.scope.name
    if any(one.kind == ROT and one.place in (place, WHOLE_HOUSE) for one in shutting(record, now)):
        yield NOTHING_ON_IT.format(place)
