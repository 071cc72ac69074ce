"""Crews that are done at a house ahead of the day they were given, as the record is made that ends the last of it there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from shlex import quote
from typing import TYPE_CHECKING, Any, NamedTuple

from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.services.weeks.overtaken import EARLY, plan_that_followed
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.engines.planning.problem import PlanProblem
    from crewjobs.storage.unit_of_work import UnitOfWork

Piece = tuple[int, int]
"""Job and task."""


class Given(NamedTuple):
    """What a record ended, and the day the crews were given: its plans, oldest first, of which the first is the one they know."""

    ended: frozenset[Piece]
    plans: tuple[WeekPlan, ...]


def given_today(uow: UnitOfWork, now: datetime, change: int) -> Given:
    """Return which open tasks a change ended, and the plans of the day from the one on that the crews were given.

    Plans that followed what was done today do not count: each frees what is done, so that by the last of them the day ends
    where the tick before left it. The crews hold the newest that was made for another reason, else the first of the day.
    """
    zone = uow.shop().zone
    today = to_wall(zone, now).date()
    start, end = to_utc(zone, today, 0), to_utc(zone, today + timedelta(days=1), 0)
    ended: set[Piece] = set()
    worked: set[int] = set()
    for number, table, before, after in uow.rows_since(("task", "how_far"), start):
        if number == change and table == "task" and before and after and _open(before) and not _open(after):
            ended.add((after["job"], after["number"]))
        if _tells_of_work(table, before, after, start):
            worked.add(number)
    if not ended:
        return Given(frozenset(), ())
    causes = {plan_that_followed(one.what): one.caused_by for one in uow.changes_since(start)}
    plans = uow.plans_until(end, back_to=start, within=(start, end))
    others = [place for place, plan in enumerate(plans) if causes.get(plan.number) not in worked]
    return Given(frozenset(ended), plans[max(others, default=0) :])


def _open(row: Mapping[str, Any]) -> bool:
    return row["done_at"] is None and not row["not_needed"]


def _tells_of_work(
    table: str, before: Mapping[str, Any] | None, after: Mapping[str, Any] | None, since: datetime
) -> bool:
    """Return whether a row says that work was begun, done or brought so far from an instant on."""
    if after is None:
        return False
    if table == "how_far":
        said = [after["at"]] if before is None else []
    else:
        said = [after[name] for name in ("started_at", "done_at") if before and after[name] != before[name]]
    return any(at is not None and datetime.fromisoformat(at) >= since for at in said)


def done_words(problem: PlanProblem, given: Given, before: WeekPlan, after: WeekPlan) -> Iterator[str]:
    """Yield which crews are done at a house today ahead of the time they were given, by what a record ended.

    Neither the plan `before` the record nor the one `after` it has open work for them there today, and none at another
    house at this hour; nor is anything under way there by the plan that nobody has ticked yet.
    """
    zone, now = problem.shop.zone, problem.now
    today = to_wall(zone, now).date()
    still_open = {(record.job.number, task.number) for record in problem.jobs for task in record.tasks if task.open}
    jobs = {record.job.number for record in problem.jobs}

    def touches(placed: Placement) -> bool:
        return to_wall(zone, placed.start).date() <= today <= to_wall(zone, placed.end).date()

    def is_open(placed: Placement) -> bool:
        return any((placed.key.job, task) in still_open for task in placed.tasks)

    # What runs as planned counts as done to its end for the planner alone: its crew is at it still.
    runs = [placed for placed in problem.stands if now < placed.end]
    to_do = [placed for plan in (before, after) for placed in plan.placements if touches(placed) and is_open(placed)]
    to_do += runs
    still = {(placed.crew, placed.key.job) for placed in to_do}
    busy = {placed.crew for placed in to_do if placed.start <= now < placed.end}
    known = [[placed for placed in plan.placements if touches(placed)] for plan in (*given.plans, before)]
    ended = {
        (placed.crew, placed.key.job)
        for placed in known[-1]
        if placed.key.job in jobs and any((placed.key.job, task) in given.ended for task in placed.tasks)
    }
    for crew, job in sorted(ended - still):
        own = _first_with(known, crew, job)
        last = max(placed.end for placed in own)
        if crew in busy or min(placed.start for placed in own) > now:
            continue
        if to_wall(zone, last).date() == today and last - now > EARLY:
            yield (
                f"{crew} is done at job {job}, planned to {at_site(zone, last)}: "
                f"`crewjobs offers {quote(crew)}` says what it could do now."
            )


def _first_with(plans: Sequence[Sequence[Placement]], crew: str, job: int) -> list[Placement]:
    """Return what the first of the plans that sends a crew to a house has for it there."""
    own = ([placed for placed in plan if (placed.crew, placed.key.job) == (crew, job)] for plan in plans)
    return next(placed for placed in own if placed)
