"""What of a present floor stays under the new one: coverings whose taking out a way on from a finding took off the job.

Not what others took out by that way.
"""

from __future__ import annotations

from crewjobs.domain.found import TAKEN_OUT
from crewjobs.domain.house import Covering
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tear_out import TAKES_OUT

Left = dict[str, frozenset[Covering]]
"""By room, the coverings that stay under the new floor."""


def left_under(record: JobRecord) -> Left:
    """Return, by room, what of the present floor is not taken out."""
    dropped = {number for way in record.ways_taken if way.way not in TAKEN_OUT for number in way.drops}
    found: dict[str, frozenset[Covering]] = {}
    for task in record.tasks:
        covering = TAKES_OUT.get(task.key.template)
        if covering is not None and task.number in dropped:
            room = task.key.scope.name
            found[room] = found.get(room, frozenset()) | {covering}
    return found
