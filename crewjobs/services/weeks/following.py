"""The plan follows what was recorded: what can stay, stays, and what cannot goes to the next place there is.

It is a change of its own that came with the first one, so that a planner that fails never costs a tick.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final, NamedTuple

from crewjobs.domain.errors import Refused
from crewjobs.domain.plan import NOT_BOOKED, Pin, WeekPlan
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.planning.compare import Move, moves
from crewjobs.services.asked.telling import moved_words
from crewjobs.services.rows import Done
from crewjobs.services.weeks.done_ahead import done_words, given_today
from crewjobs.services.weeks.overtaken import before_overtaken, freed
from crewjobs.services.weeks.pins import NOT_PLANNED, STANDS, unkept_words
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.repair import broken, moves_seen, repaired, stays, what_is_left
from crewjobs.services.weeks.visits import work_words
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.engines.planning.problem import PlanProblem
    from crewjobs.storage.database import Database

PLAN_AGAIN: Final = ("Plan again to use it", "Plan again: ")
"""How sentences begin that ask for what has been done by then."""
STAYS: Final = "The plan stays as it is: no work moves."
"""What is said where only a pin that is not kept is new."""
NOT_TICKED: Final = "since work planned before today is not ticked"
"""Why a plan is another one by now, whatever is recorded."""
_PLAN_ONCE_MENDED: Final = "Do not record it again: once that is mended, `crewjobs plan` plans with it."
MOST_MOVES = 4
"""Moves of the coming days that are told one by one."""


def without_it(database: Database, now: datetime) -> WeekPlan | None:
    """Return what the plan in force would be by now, before something is recorded; None where that is the plan itself.

    It is looked at only where work planned before today is not ticked: that moves by itself, whatever is recorded now.
    """
    with database.reading() as uow:
        in_force, shop = uow.latest_plan(), uow.shop()
        if in_force is None:
            return None
        today = to_utc(shop.zone, to_wall(shop.zone, now).date(), 0)
        still = {(record.job.number, task.number) for record in uow.live_jobs() for task in record.tasks if task.open}
        past = (placed for placed in in_force.placements if placed.end <= today)
        if not any((placed.key.job, task) in still for placed in past for task in placed.tasks):
            return None
        try:
            problem = problem_of(uow, now)
        except Refused:
            return None  # whatever is wrong is said of the plan after the record
    return repaired(problem, in_force)[0]


class Followed(NamedTuple):
    """The plan in force and what it is repaired to: what that moves, whether all stays, which pins are new among the unkept."""

    problem: PlanProblem
    in_force: WeekPlan
    made: WeekPlan
    moved: tuple[Move, ...]
    stays: bool
    unkept: tuple[str, ...]


def supposed(database: Database, now: datetime, pins: Sequence[Pin]) -> Followed | None:
    """Return what the plan in force would be once some work was pinned, as `follow` makes it; None without a plan."""
    with database.reading() as uow:
        in_force = uow.latest_plan()
        if in_force is None:
            return None
        known, problem = before_overtaken(uow, in_force), problem_of(uow, now, pins=pins)
    return _followed(problem, in_force, known)


def since(database: Database, now: datetime, known: WeekPlan) -> Followed:
    """Return what the plan in force is beside one that was `known` before it had followed what was recorded since.

    Raises:
        Refused: there is no shop, or no plan in force.
    """
    with database.reading() as uow:
        made, problem = uow.latest_plan(), problem_of(uow, now)
        if made is None:
            raise Refused("nothing is planned yet: `crewjobs plan` does it.")
        before = before_overtaken(uow, made)
    again, _ = repaired(problem, made, before)  # which pins it does not keep is nowhere stored
    known, made = _without_others(known, problem), _without_others(made, problem)
    return Followed(
        problem,
        known,
        made,
        moves_seen(problem, known, made),
        stays(problem, known, made),
        unkept_words(again, problem.jobs, known),
    )


def _without_others(plan: WeekPlan, problem: PlanProblem) -> WeekPlan:
    """Return a plan without jobs that are none any more: what was called off since moves nowhere."""
    jobs = {record.job.number for record in problem.jobs}
    return replace(
        plan,
        placements=tuple(placed for placed in plan.placements if placed.key.job in jobs),
        left_out=tuple(left for left in plan.left_out if left.job in jobs),
    )


def _followed(problem: PlanProblem, in_force: WeekPlan, known: WeekPlan | None) -> Followed:
    made, moved = repaired(problem, in_force, known)
    return Followed(
        problem, in_force, made, moved, stays(problem, in_force, made), unkept_words(made, problem.jobs, in_force)
    )


def follow(database: Database, who: str, now: datetime, done: Done, anyway: WeekPlan | None = None) -> Done:
    """Repair the plan in force after a change; return what was done with what the plan does about it.

    Nothing is kept where the plan holds as it is and every pin is known to be kept or not. Without a plan nothing happens.
    What it would be `anyway`, without the change, is told apart.
    """
    with database.reading() as uow:
        in_force = uow.latest_plan()
        if in_force is None:
            return done
        problem, based_on, proposed = problem_of(uow, now), uow.last_change_number(), uow.proposed_number()
        known, given = before_overtaken(uow, in_force), given_today(uow, now, done.change)
    if uow.to_keep:  # hours were told: learned once, not anew after every tick to come
        database.keep_pace(uow.to_keep)
    found = _followed(problem, in_force, known)
    over = PLAN_AGAIN if _left_with_a_pin(found) else (*PLAN_AGAIN, NOT_PLANNED)
    over = over if found.stays else (*over, STANDS)
    then = tuple(sentence for sentence in done.then if not sentence.startswith(over))
    free = tuple(done_words(found.problem, given, in_force, found.made))
    if found.stays and not found.unkept:
        return replace(done, then=(*then, *free))
    with database.unit_of_work(who=who) as uow:
        number = uow.save_plan(replace(found.made, based_on=based_on))
        uow.commit(f"plan {number} follows", at=now, caused_by=done.change)
    void = [f"Plan {proposed}, which was proposed, did not know of this and is void."] if proposed else []
    return replace(
        done,
        plan=number,
        then=(
            *then,
            *([STAYS, *free] if found.stays else _words(found, number, anyway, free)),
            *(f"{words}." for words in found.unkept),
            *void,
        ),
    )


def _left_with_a_pin(found: Followed) -> bool:
    """Return whether the repaired plan has no place for some work that is pinned: it may have found one by the pin."""
    left = {(one.job, task) for one in found.made.left_out for task in one.tasks}
    return any((pin.job, pin.task) in left for pin in found.problem.pins)


def slipping(found: Followed, anyway: WeekPlan | None) -> tuple[Move, ...]:
    """Return which moves would be without the record, too."""
    zones = {record.job.number: record.job.site.zone for record in found.problem.jobs}
    by_it = {(m.job, task) for m in moves(anyway or found.in_force, found.made, zones) for task in m.tasks}
    return tuple(m for m in found.moved if anyway is not None and not by_it & {(m.job, task) for task in m.tasks})


def pieces_words(moved: Sequence[Move]) -> str:
    """Return how much moves: ``4 pieces of work move``."""
    return f"{counted(len(moved), 'piece')} of work {'moves' if len(moved) == 1 else 'move'}"


def _words(found: Followed, number: int, anyway: WeekPlan | None, free: Sequence[str]) -> Iterator[str]:
    """Yield what a repaired plan does: which crews are `free`, finishes on another day, what is left out anew, the first moves.

    What moves because of the record comes before what moves anyway.
    """
    problem, before, after = found.problem, found.in_force, found.made
    slipped = slipping(found, anyway)
    moved = (*(m for m in found.moved if m not in slipped), *slipped)
    pieces = pieces_words(moved)
    still = "no work moves by more than an hour"
    if freed(problem, before):
        still = f"what is done gives up its place, {still}"
    yield f"The plan follows (plan {number}): {pieces if moved else still}{slips_words(slipped, moved)}."
    yield from free
    finishes = moved_words(problem.shop, problem.away, problem.jobs, before, after)
    yield from (words for words in finishes if words.startswith("Job "))
    lost = sorted(broken(problem, after) - broken(problem, before))
    old = broken(problem, anyway) if anyway is not None else frozenset[int]()
    if lost:
        yield (
            f"The promise{'' if len(lost) == 1 else 's'} of job{'' if len(lost) == 1 else 's'} "
            f"{listed([str(job) for job in lost], most=9)} would be lost like this: "
            "`crewjobs proposal` looks for a better plan, `crewjobs why` says what can be done."
        )
    if by_slips := [job for job in lost if job in old]:
        jobs = f"job{'' if len(by_slips) == 1 else 's'} {listed([str(job) for job in by_slips], most=9)}"
        yield f"Not by this record: {jobs} would be late without it, too, {NOT_TICKED}."
    records = {record.job.number: record for record in problem.jobs}
    for move in moved[:MOST_MOVES]:
        record = records[move.job]
        zone = record.job.site.zone
        was = f"{move.was_crew} {at_site(zone, move.was)}" if move.was else "no place"
        now = f"{move.crew} {at_site(zone, move.now)}" if move.now else "no place"
        if move.was and move.now and move.was_crew == move.crew:
            now = at_site(zone, move.now)
        yield f"Job {move.job}: {work_words([record.task(task) for task in move.tasks])} from {was} to {now}."
    more = sorted({move.job for move in moved[MOST_MOVES:]})
    if more:
        jobs = f"job{'' if len(more) == 1 else 's'} {listed([str(job) for job in more], most=9)}"
        yield f"{counted(len(moved) - MOST_MOVES, 'piece')} more of {jobs}: the week shows them."
    known = what_is_left(before)
    planned = {placed.key.job for placed in before.placements} | {job for job, _ in known}
    for left in after.left_out:
        # Jobs that came in asked are no news of this record: a list of thousands would be told with the next one.
        if (left.job, left.why) not in known and (left.job in planned or not left.why.endswith(NOT_BOOKED)):
            yield f"Job {left.job}: {left.why}."


def slips_words(slipped: Sequence[Move], moved: Sequence[Move]) -> str:
    """Return how many moves would be without the record, too, and why: the end of a sentence, empty where none would."""
    if not slipped:
        return ""
    which = (
        "it moves"
        if len(moved) == 1
        else "all of it moves"
        if len(slipped) == len(moved)
        else f"{len(slipped)} of them move"
    )
    return f"; {which} anyway, {NOT_TICKED}"


def quietly(database: Database, who: str, now: datetime, done: Done, anyway: WeekPlan | None = None) -> Done:
    """Follow, and where that is refused say so: what was recorded stays recorded."""
    try:
        return follow(database, who, now, done, anyway)
    except Refused as refused:
        return replace(
            done, then=(*done.then, f"This is recorded; the plan could not follow: {refused}", _PLAN_ONCE_MENDED)
        )
