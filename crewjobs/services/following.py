"""The plan follows what was recorded: what can stay, stays, and what cannot goes to the next place there is.

It is a change of its own that came with the first one, so that a planner that fails never costs a tick.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.planning.compare import Move
from crewjobs.services.plan_problem import problem_of
from crewjobs.services.repair import broken, repaired, what_is_left
from crewjobs.services.rows import Done
from crewjobs.services.telling import moved_words
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.engines.planning.problem import PlanProblem
    from crewjobs.storage.database import Database

PLAN_AGAIN: Final = ("Plan again to use it", "Plan again: ")
"""How sentences begin that ask for what has been done by then."""
MOST_MOVES = 4
"""Moves of the coming days that are told one by one."""


def follow(database: Database, who: str, now: datetime, done: Done) -> Done:
    """Repair the plan in force after a change; return what was done with what the plan does about it.

    Nothing is kept where the plan holds as it is. Without a plan nothing happens.
    """
    with database.reading() as uow:
        in_force = uow.latest_plan()
        if in_force is None:
            return done
        problem, based_on = problem_of(uow, now), uow.last_change_number()
    made, moved = repaired(problem, in_force)
    then = tuple(sentence for sentence in done.then if not sentence.startswith(PLAN_AGAIN))
    if not moved and what_is_left(made) == what_is_left(in_force):
        return replace(done, then=then)
    with database.unit_of_work(who=who) as uow:
        number = uow.save_plan(replace(made, based_on=based_on))
        uow.commit(f"plan {number} follows", at=now, caused_by=done.change)
    return replace(done, plan=number, then=(*then, *_words(problem, in_force, made, moved, number)))


def _words(
    problem: PlanProblem, before: WeekPlan, after: WeekPlan, moved: tuple[Move, ...], number: int
) -> Iterator[str]:
    """Yield what a repaired plan does: finishes on another day, what is left out anew, and the first moves."""
    yield f"The plan follows (plan {number}): {counted(len(moved), 'piece')} of work {'moves' if len(moved) == 1 else 'move'}."
    finishes = moved_words(problem.shop, problem.away, problem.jobs, before, after)
    yield from (words for words in finishes if words.startswith("Job "))
    lost = sorted(broken(problem, after) - broken(problem, before))
    if lost:
        yield (
            f"The promise{'' if len(lost) == 1 else 's'} of job{'' if len(lost) == 1 else 's'} "
            f"{listed([str(job) for job in lost], most=9)} would be lost like this: "
            "`crewjobs proposal` looks for a better plan, `crewjobs why` says what can be done."
        )
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    for move in moved[:MOST_MOVES]:
        was = f"{move.was_crew} {at_site(zones[move.job], move.was)}" if move.was else "no place"
        now = f"{move.crew} {at_site(zones[move.job], move.now)}" if move.now else "no place"
        yield f"Job {move.job}: task{'' if len(move.tasks) == 1 else 's'} {_numbers(move)} from {was} to {now}."
    known = what_is_left(before)
    for left in after.left_out:
        if (left.job, left.why) not in known:
            yield f"Job {left.job}: {left.why}."


def _numbers(move: Move) -> str:
    return ", ".join(str(task) for task in move.tasks)


def quietly(database: Database, who: str, now: datetime, done: Done) -> Done:
    """Follow, and where that is refused say so: what was recorded stays recorded."""
    try:
        return follow(database, who, now, done)
    except Refused as refused:
        return replace(done, then=(*done.then, f"The plan could not follow: {refused}"))
