"""Rooms with the same present floor as the one in which suspect asbestos was found: there may be more of it."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import SUSPECT
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tear_out import TAKES_OUT
from crewjobs.domain.wording import listed


def same_floor_words(record: JobRecord, finding: Finding) -> Iterator[str]:
    """Yield in which rooms with open work the same coverings lie as in that of a finding, and who is asked about it.

    Not those in which it was found as well: there it has its own holds, or its way on.
    """
    here = next((room for room in record.job.rooms if room.name == finding.place), None)
    if finding.kind != SUSPECT or here is None:
        return
    known = {one.place for one in record.findings if one.kind == SUSPECT}
    worked = {task.key.scope.name for task in record.tasks if task.open}
    kinds = {layer.covering for layer in here.layers}
    taken = [
        (task.key.scope.name, TAKES_OUT[task.key.template], task.done_at is not None)
        for task in record.tasks
        if task.key.template in TAKES_OUT and not task.not_needed
    ]
    out = {(name, covering) for name, covering, done in taken if done}
    out -= {(name, covering) for name, covering, done in taken if not done}  # some section of the room has it still
    others = {
        room.name: {
            covering
            for covering in kinds & {layer.covering for layer in room.layers}
            if (room.name, covering) not in out
        }
        for room in record.job.rooms
        if room.name != here.name and room.name not in known and room.name in worked
    }
    rooms = [name for name, same in others.items() if same]
    if rooms:
        same = sorted({str(covering) for name in rooms for covering in others[name]})
        yield (
            f"{listed(same, most=4)} {'lies' if len(same) == 1 else 'lie'} in {listed(rooms, most=6)} too: whether the same is there, "
            "nobody has said. Ask the inspector to sample there as well; the lead decides whether work there waits."
        )
