"""What if: a problem with something supposed, and two plans side by side. Nothing here is kept.

Each supposition takes a problem and returns another; both problems are then planned by the same means.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import NamedTuple

from crewjobs.domain.crew import Away, Crew
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import Pin, WeekPlan
from crewjobs.domain.wall import Span, days_from, to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.answering.standing import end_of, last_day
from crewjobs.engines.planning.compare import Move, moves
from crewjobs.engines.planning.improve import improve, planned_cost, repaired_cost
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.layout import task_times
from crewjobs.engines.planning.objective import PlanCost
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.engines.planning.roster import with_parts

Suppose = Callable[[PlanProblem], PlanProblem]
"""One thing supposed."""

WORTH = 5
"""Parts of a plan's cost that are worth moving people for: from blocks without a place to the days houses are open."""
SETTLES = 3
"""How often the first plan is repaired before it counts as at rest; nearly always it is at once."""
SOON_DAYS = 14
"""Moves are told of so many days: what comes later is planned again anyhow."""


# -- what is supposed


def crew_off(problem: PlanProblem, crew: str, day: date) -> PlanProblem:
    """Return the problem with a crew off on a day of the shop."""
    return crew_works(problem, crew, day, ())


def worker_off(problem: PlanProblem, crew: str, worker: str, day: date) -> PlanProblem:
    """Return the problem with one person of a crew out on a day; who was lent that day is out instead."""
    rest = tuple(one for one in problem.away if (one.crew, one.worker, one.day) != (crew, worker, day))
    return replace(problem, away=(*rest, Away(crew=crew, worker=worker, day=day)))


def crew_works(problem: PlanProblem, crew: str, day: date, spans: tuple[Span, ...]) -> PlanProblem:
    """Return the problem with a crew working some hours on one day (none: off), whatever it does on such days else.

    Raises:
        Refused: the hours overlap or do not start and end on a quarter hour.
    """
    found = _crew(problem, crew)
    return _with_crew(problem, replace(found, hours=found.hours.with_single(day, spans)))


def usual_spans(crew: Crew, day: date) -> tuple[Span, ...]:
    """Return the hours a crew has on such a day, else on the last day before it on which it has any; none if never."""
    back = (crew.hours.usual(day - timedelta(days=n)) for n in range(7))
    return next((spans for spans in back if spans), ())


def extra_crew(problem: PlanProblem, name: str, like: str, since: date | None = None) -> PlanProblem:
    """Return the problem with one crew more: the people, cards, hours, floors and truck of another, not its days off.

    It comes from `since` on. Tools that crews share are not more than before.
    """
    found = _crew(problem, like)
    today = to_wall(problem.shop.zone, problem.now).date()
    before = frozenset(days_from(today - timedelta(days=1), (since - today).days + 1)) if since else frozenset()
    workers = tuple(replace(worker, name=f"{name} {n}") for n, worker in enumerate(found.workers, start=1))
    hired = replace(found, name=name, workers=workers, days_off=before, hours=replace(found.hours, but=()))
    shop = problem.shop
    return replace(problem, shop=replace(shop, crews=(*shop.crews, hired)))


def promise_moved(problem: PlanProblem, job: int, day: date) -> PlanProblem:
    """Return the problem with a job promised for another day."""
    return _with_job(problem, job, lambda record: replace(record, job=replace(record.job, promised=day)))


def pinned(problem: PlanProblem, pins: Collection[Pin]) -> PlanProblem:
    """Return the problem with some work kept with a crew on a day, wherever it was pinned before."""
    tasks = {(pin.job, pin.task) for pin in pins}
    rest = tuple(pin for pin in problem.pins if (pin.job, pin.task) not in tasks)
    return replace(problem, pins=(*rest, *pins))


def called_off(problem: PlanProblem, job: int) -> PlanProblem:
    """Return the problem without a job: nothing of it is planned, nothing of it is pinned."""
    without = _with_job(
        problem, job, lambda record: replace(record, job=replace(record.job, state=JobState.CALLED_OFF))
    )
    return replace(without, pins=tuple(pin for pin in problem.pins if pin.job != job))


def _crew(problem: PlanProblem, name: str) -> Crew:
    return next(crew for crew in problem.shop.crews if crew.name == name)


def _with_crew(problem: PlanProblem, crew: Crew) -> PlanProblem:
    crews = tuple(crew if one.name == crew.name else one for one in problem.shop.crews)
    return replace(problem, shop=replace(problem.shop, crews=crews))


def _with_job(problem: PlanProblem, job: int, change: Callable[[JobRecord], JobRecord]) -> PlanProblem:
    return replace(
        problem, jobs=tuple(change(record) if record.job.number == job else record for record in problem.jobs)
    )


# -- both planned by the same means


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How hard a plan is looked for: so many rounds, or until `stop` returned for it says so; neither is at once."""

    rounds: int = 0
    stop: Callable[[], Stop] | None = None


class Looked(NamedTuple):
    """A plan that was looked for, and what it costs."""

    plan: WeekPlan
    cost: PlanCost


def looked_for(
    problem: PlanProblem,
    stays: WeekPlan,
    effort: Effort,
    still: PlanCost | None = None,
    pins: Collection[Pin] = (),
) -> Looked:
    """Return a plan of a problem: `stays` repaired, or planned anew where that is better by what people care for.

    `still` is what `stays` costs where it can be done as it is: then nothing worse is returned. A plan that keeps more of
    some `pins` goes first whatever it costs: what is asked is what they do to the weeks, not whether they are worth it.
    """
    kept = Looked(*repaired_cost(problem, stays))
    if still is not None and still[:WORTH] <= kept.cost[:WORTH]:
        kept = Looked(stays, still)
    tried = [kept, Looked(*planned_cost(problem))]
    if effort.rounds or effort.stop is not None:
        stop = effort.stop() if effort.stop is not None else None
        found = improve(problem, rounds=None if stop else effort.rounds, stop=stop)
        tried.append(Looked(found.plan, found.cost))
    return min(tried, key=lambda one: _worth(one, pins))


def _worth(found: Looked, pins: Collection[Pin]) -> tuple[int, tuple[int, ...]]:
    """Return by what plans are chosen, the least first: how many of some pins one leaves unkept, then what people care for."""
    return sum(one.pin in pins for one in found.plan.unkept), found.cost[:WORTH]


def both(before: PlanProblem, after: PlanProblem, in_force: WeekPlan, effort: Effort) -> tuple[WeekPlan, WeekPlan]:
    """Return the plans without and with what is supposed, looked for alike; where nothing is, one plan twice.

    A crew more never makes it worse: the first plan can still be done. What is found for one of the two is tried for the
    other, too, so that what the supposition does not change is not told as its doing.
    """
    first = without(before, in_force, effort)
    if after == before:
        return first.plan, first.plan
    still = first.cost if only_more(before, after) else None
    pins = supposed_pins(before, after)
    then = looked_for(after, first.plan, effort, still, pins)
    as_well = Looked(*repaired_cost(before, then.plan))
    if as_well.cost[:WORTH] < first.cost[:WORTH]:
        first = _at_rest(before, as_well)
        again = looked_for(after, first.plan, Effort(), first.cost if still is not None else None, pins)
        then = min(then, again, key=lambda one: _worth(one, pins))
    return first.plan, then.plan


def without(before: PlanProblem, in_force: WeekPlan, effort: Effort) -> Looked:
    """Return the plan where nothing is supposed: the one in force or a better one, looked for, and at rest."""
    return _at_rest(before, looked_for(before, in_force, effort))


def supposed_pins(before: PlanProblem, after: PlanProblem) -> frozenset[Pin]:
    """Return the pins that one problem has and the one before it has not."""
    return frozenset(after.pins) - frozenset(before.pins)


def _at_rest(problem: PlanProblem, found: Looked) -> Looked:
    """Return a plan that stays when it is repaired once more, so that nothing moves but for what is supposed."""
    for _ in range(SETTLES):
        again = Looked(*repaired_cost(problem, found.plan))
        if again.plan.placements == found.plan.placements or again.cost[:WORTH] > found.cost[:WORTH]:
            break
        found = again
    return found


def only_more(before: PlanProblem, after: PlanProblem) -> bool:
    """Return whether a problem only has crews that another one lacks: every plan of that one can be done in it.

    A day more is not such a thing: work that goes on over that day would be worked on then.
    """
    crews = before.shop.crews
    same = replace(after, shop=replace(after.shop, crews=crews)) == before
    return same and after.shop.crews[: len(crews)] == crews


# -- side by side


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """A job in one of the plans. `end` (UTC, to the minute) is None where it has no finish there.

    `there` is whether the job is to be done at all, `holds` None where nothing is promised; `crew_days` counts the
    days of each crew at the house.
    """

    there: bool
    end: datetime | None
    promised: date | None
    holds: bool | None
    crew_days: int
    crews: tuple[str, ...]
    why: tuple[str, ...] = ()
    """What of it is left out, and why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobChange:
    """A job in both plans."""

    job: int
    was: Side
    now: Side

    @property
    def changed(self) -> bool:
        """Return whether people would notice: another finish, another stand of its promise, other days of crews."""
        return self.was != self.now

    @property
    def lost(self) -> bool:
        """Return whether a promise that is kept in the first plan is broken in the second."""
        return self.was.holds is True and self.now.holds is False

    @property
    def won(self) -> bool:
        """Return whether a promise that is broken in the first plan is kept in the second."""
        return self.was.holds is False and self.now.holds is True


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """Two plans side by side: every job that is to be done in either, and the moves of the next two weeks."""

    jobs: tuple[JobChange, ...]
    moves: tuple[Move, ...]

    @property
    def changed(self) -> tuple[JobChange, ...]:
        """Return the jobs that change, by number."""
        return tuple(one for one in self.jobs if one.changed)


def compared(before: PlanProblem, plan: WeekPlan, after: PlanProblem, then: WeekPlan) -> Compared:
    """Return two plans side by side, each with the problem it was made from."""
    known = {record.job.number: record for record in (*after.jobs, *before.jobs)}
    old, new = _sides(before, plan), _sides(after, then)
    gone = Side(there=False, end=None, promised=None, holds=None, crew_days=0, crews=())
    zones = {number: record.job.site.zone for number, record in known.items()}
    until = before.now + timedelta(days=SOON_DAYS)
    return Compared(
        jobs=tuple(
            JobChange(job=number, was=old.get(number, gone), now=new.get(number, gone))
            for number in sorted({*old, *new})
        ),
        moves=tuple(
            move
            for move in moves(plan, then, zones)
            if any(moment is not None and moment < until for moment in (move.was, move.now))
        ),
    )


def _sides(problem: PlanProblem, plan: WeekPlan) -> dict[int, Side]:
    floor = Floor(problem)
    return {
        record.job.number: _side(problem, plan, record, floor)
        for record in problem.jobs
        if record.job.state is JobState.BOOKED and record.to_do
    }


def _side(problem: PlanProblem, plan: WeekPlan, record: JobRecord, floor: Floor) -> Side:
    number, promised = record.job.number, record.job.promised
    mine = [placed for placed in plan.placements if placed.key.job == number]
    end = finish(problem, plan, record)
    days: set[tuple[str, date]] = set()
    today = to_wall(problem.shop.zone, problem.now).date()
    for placed in mine:
        calendar = floor.calendar(record, placed.crew) if placed.crew in floor.crews else None
        if calendar is None or not calendar.total:
            days.add((placed.crew, to_wall(problem.shop.zone, placed.start).date()))
            continue
        first = calendar.count(floor.axis.down(placed.start))
        last = max(first, calendar.count(floor.axis.up(placed.end)) - 1)
        last = min(last, calendar.total - 1)
        first = min(first, last)
        windows = range(calendar.window(first), calendar.window(last) + 1)
        days.update((placed.crew, calendar.days[window]) for window in windows)
    days = {(crew, day) for crew, day in days if day >= today}  # what a plan in force had before is past in both
    return Side(
        there=True,
        end=end,
        promised=promised,
        holds=None if promised is None else end is not None and last_day(record, end) <= promised,
        crew_days=len(days),
        crews=tuple(sorted({placed.crew for placed in mine})),
        why=tuple(dict.fromkeys(left.why for left in plan.left_out if left.job == number)),
    )


def finish(problem: PlanProblem, plan: WeekPlan, record: JobRecord) -> datetime | None:
    """Return when the last work of a job ends (UTC, to the minute), None where some of it has no place."""
    if end_of(plan, record.job.number) is None:
        return None
    last = max((p for p in plan.placements if p.key.job == record.job.number), key=lambda placed: placed.end)
    shop = with_parts(problem.shop, problem.away)
    crew = next((crew for crew in shop.crews if crew.name == last.crew), None)
    if crew is None:  # the shop has changed since; the plan's own quarter hour is all there is
        return last.end
    return max((piece.end for piece in task_times(last, record, shop, crew, plan.made_at)), default=last.end)


# -- what cannot be supposed


def check_off(crew: Crew, day: date, holidays: Collection[date]) -> None:
    """Refuse a day off that is none.

    Raises:
        Refused: the crew does not work that day anyhow.
    """
    if day in holidays or not crew.comes(day):
        raise Refused(f"{crew.name} does not work on {day_words(day)}: nobody is off then.")
