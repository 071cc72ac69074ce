"""When material that has not come into the rooms yet will be ready: as the plan in force has it carried in.

The week, the calendar and the house's pages tell that instant; lists that look at the material's own clock tell it too.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from crewjobs.domain.job import JobRecord
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.clocks import ACCLIMATING, MaterialClock
from crewjobs.engines.readiness.lots import is_carry_in
from crewjobs.services.weeks.visits import Planned


def as_planned(found: Planned | None, record: JobRecord, clock: MaterialClock) -> MaterialClock:
    """Return a material's clock with the instant the plan has it ready: its hours count in the rooms, not from the truck.

    As it was where nobody has planned to carry it in, where it lies in the rooms already, and where the plan is of before a
    new date that it cannot keep.
    """
    if found is None or clock.state not in (WaitState.DUE, WaitState.ARRIVED):
        return clock
    name, after = clock.material.name, {link.before: link for link in record.links if link.name == ACCLIMATING}
    carried = [task for task in record.tasks if is_carry_in(task) and task.open and task.key.scope.name == name]
    ends = [found.waits_from(record, task) for task in carried]
    known = [
        end + timedelta(minutes=after[task.number].wait_min if task.number in after else clock.material.acclimation_min)
        for task, end in zip(carried, ends, strict=True)
        if end is not None
    ]
    if not known or len(known) < len(carried) or (clock.ready_at is not None and max(known) < clock.ready_at):
        return clock
    return replace(
        clock, ready_at=max(known), by_plan=True, verified=clock.verified and not clock.material.acclimation_min
    )
