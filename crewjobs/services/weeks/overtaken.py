"""Plans that facts have overtaken: work planned anew that was done by then, and places of work that is done ahead."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import Placement, WeekPlan

if TYPE_CHECKING:
    from crewjobs.engines.planning.problem import PlanProblem
    from crewjobs.storage.unit_of_work import UnitOfWork

EARLY: Final = timedelta(minutes=30)
"""Work done ahead gives up its place where a crew gets more than so much of its time at a house back; less is on time."""
LOOKS_BACK: Final = 100
"""So many changes are looked at for the plans that followed."""
MOST_BACK: Final = timedelta(days=4)
"""Plans are looked at so far back: over a weekend."""


def before_overtaken(uow: UnitOfWork, in_force: WeekPlan) -> WeekPlan | None:
    """Return the newest plan that did not plan work anew that was done by then; None where that is the one in force.

    Yesterday's sheets typed one by one in the morning: after the first, the plan has the other crews do again today what
    they did yesterday, and all else later. Once that is known to be done the plan was for nothing, and what people know is
    the one before it. Only plans that merely followed records are passed over.
    """
    records = {record.job.number: record for record in uow.live_jobs()}
    if not _overtaken(in_force, records):
        return None
    followed = {plan_that_followed(change.what) for change in uow.changes(limit=LOOKS_BACK)}
    older = uow.plans_until(in_force.made_at, back_to=in_force.made_at - MOST_BACK)
    newer = in_force
    for plan in sorted((one for one in older if one.number < in_force.number), key=lambda one: -one.number):
        if newer.number not in followed:
            return None
        if not _overtaken(plan, records):
            return plan
        newer = plan
    return None


def plan_that_followed(what: str) -> int:
    """Return the number of the plan that merely followed a record, by the sentence of its change; 0 for any other change."""
    number = what.removeprefix("plan ").removesuffix(" follows")
    return int(number) if number.isdigit() else 0


def _overtaken(plan: WeekPlan, records: Mapping[int, JobRecord]) -> bool:
    """Return whether a plan has work begin after it was made that was done before."""
    return any(
        (done := records[placed.key.job].task(number).done_at) is not None and done < plan.made_at
        for placed in plan.placements
        if placed.start >= plan.made_at and placed.key.job in records
        for number in placed.tasks
    )


def freed(problem: PlanProblem, plan: WeekPlan) -> tuple[Placement, ...]:
    """Return the places of a plan whose work is all done ahead; none where no crew gets half an hour at a house back."""
    records = {record.job.number: record for record in problem.jobs}
    done = [
        placed
        for placed in plan.placements
        if placed.end > problem.now
        and placed not in problem.stands
        and placed.key.job in records
        and not any(records[placed.key.job].task(number).open for number in placed.tasks)
    ]
    back: dict[tuple[str, int], timedelta] = {}
    for placed in done:
        at = placed.crew, placed.key.job
        back[at] = back.get(at, timedelta()) + placed.end - max(placed.start, problem.now)
    return tuple(placed for placed in done if back[placed.crew, placed.key.job] > EARLY)
