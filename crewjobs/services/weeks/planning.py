"""Planning the weeks ahead; the plan is kept as a new version."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import NOT_BOOKED, WeekPlan
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.domain.wording import day_words, typed, upper
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.roster import with_parts
from crewjobs.services.asked.telling import moved_words
from crewjobs.services.rows import Done
from crewjobs.services.weeks.overtaken import before_overtaken
from crewjobs.services.weeks.pins import unkept_words, void_words
from crewjobs.services.weeks.plan_faults import plan_faults, refuse_two_places
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.repair import repaired, stays
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.storage.database import Database

Progress = Callable[[int, int, str], None]
Stop = Callable[[], bool]


def plan(
    database: Database, who: str, now: datetime, progress: Progress | None = None, stop: Stop | None = None
) -> Done:
    """Plan all booked jobs from now on and keep the plan as a new version; pins and work begun stay.

    With a plan in force that one is repaired to what is known now: what can stay, stays, and what has no place yet
    gets one. What would be better is for a proposal (`proposals.improve`). The planning itself runs outside any transaction, so that ticks are not held up by it; a change made
    meanwhile shows as a stale plan, which the next planning mends.

    Raises:
        Refused: there is no shop, somebody stands in two of its crews, or planning was stopped.
    """
    from crewjobs.engines.planning.list_schedule import plan_week

    with database.reading() as uow:
        problem, based_on, pins = problem_of(uow, now), uow.last_change_number(), uow.pins()
        known = before_overtaken(uow, problem.previous) if problem.previous is not None else None
    refuse_two_places(problem.shop)
    told = (*_begins_words(problem, now), *void_words(problem, pins), *plan_faults(problem.jobs, problem.shop, now))
    if problem.previous is None:
        made = plan_week(problem, progress=progress, stop=stop)
        if stop is not None and stop():
            raise Refused("planning was stopped; nothing is planned yet.")
        moves: tuple[str, ...] = ()
    else:
        made, _ = repaired(problem, problem.previous, known)
        if stays(problem, problem.previous, made):
            same = f"Plan {problem.previous.number} stays as it is: nothing of it has to move."
            return Done(
                sentence=same, change=0, then=(*told, *_left_words(made, problem.jobs), *_idle_words(problem, made))
            )
        moves = moved_words(problem.shop, problem.away, problem.jobs, problem.previous, made)
    if uow.to_keep:  # the pace it was planned by, so that neither the next plan nor a tick learns all of it anew
        database.keep_pace(uow.to_keep)
    done = keep_plan(database, who, now, made, based_on, (*moves, *told))
    return replace(done, then=(*done.then, *_idle_words(problem, made)))


def _begins_words(problem: PlanProblem, now: datetime) -> Iterator[str]:
    """Yield that a plan begins later than now, where this clock stands before the last record."""
    if problem.now > now:
        zone = problem.shop.zone
        yield (
            f"The last record is of {at_site(zone, problem.now)}, later than this clock's {at_site(zone, now)}: "
            "planned from there on."
        )


def keep_plan(
    database: Database, who: str, now: datetime, made: WeekPlan, based_on: int, moved: tuple[str, ...]
) -> Done:
    """Keep a plan as a new version in force; `moved` are sentences on what it moves."""
    with database.unit_of_work(who=who) as uow:
        number = uow.save_plan(replace(made, based_on=based_on))
        jobs, left = {p.key.job for p in made.placements}, {left.job for left in made.left_out}
        what = f"plan {number}: {_jobs(len(jobs))} planned, {len(left) or 'none'} left out in whole or part"
        what = what.removesuffix(" in whole or part") if not left else what
        change = uow.commit(what, at=now)
        zone, records = uow.shop().zone, uow.live_jobs()
    then = (*moved, *_left_words(made, records))
    return Done(sentence=f"{upper(what)}, to {at_site(zone, made.until)}.", change=change, then=then, plan=number)


def _left_words(made: WeekPlan, records: Sequence[JobRecord]) -> Iterator[str]:
    # Why something has no place that somebody could mend comes before what nobody has agreed to yet.
    rest = sorted(made.left_out, key=lambda left: left.why.endswith(NOT_BOOKED))
    yield from (f"Job {left.job}: {left.why}" for left in rest)
    yield from unkept_words(made, records)


def _idle_words(problem: PlanProblem, made: WeekPlan) -> Iterator[str]:
    """Yield which crews have nothing today, and which parts of crews nothing on their day, though there is work."""
    zone = problem.shop.zone
    today = to_wall(zone, problem.now).date()
    if not made.placements:
        return
    busy = {
        (placed.crew, day)
        for placed in made.placements
        for day in days_from(
            to_wall(zone, placed.start).date(),
            (to_wall(zone, placed.end).date() - to_wall(zone, placed.start).date()).days + 1,
        )
    }
    for crew in with_parts(problem.shop, problem.away).crews:
        for day in sorted(crew.only) or [today]:
            if (
                crew.sub
                or day < today
                or not crew.comes(day)
                or day in problem.shop.holidays
                or (crew.name, day) in busy
            ):
                continue
            spans = crew.hours.on(day)
            if day == today and (not spans or to_utc(zone, day, spans[-1].end) <= problem.now):
                continue
            yield (
                f"{crew.name} has no work on {day_words(day)}: `crewjobs offers {typed(crew.name)}` says what is ready, "
                "`crewjobs pin` puts it into the plan."
            )


def _jobs(count: int) -> str:
    return f"{count} job{'' if count == 1 else 's'}"
