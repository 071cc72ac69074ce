"""Ways out of promises that clash, each one a plan of all jobs that keeps what it says, held against the plan in force."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import IntEnum
from typing import Final

from crewjobs.domain.crew import Crew
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import Span, days_from, to_wall
from crewjobs.engines.answering.clashes import Asked, Clash
from crewjobs.engines.answering.effort import Effort, OutOfTime
from crewjobs.engines.answering.ground import Ground
from crewjobs.engines.answering.rivals import rivals
from crewjobs.engines.answering.standing import end_of, kept, last_day, promised_jobs
from crewjobs.engines.answering.trial import Trial, Tried
from crewjobs.engines.answering.what_if import usual_spans
from crewjobs.engines.planning.problem import PlanProblem

SATURDAY: Final = 5
MORNING: Final = Span(start=8 * 60, end=12 * 60)
ROUNDS: Final = 2
"""Rounds of search for what a way does to the other jobs."""
MOST_DAYS: Final = 8
"""So many days more of work are tried at most."""


class WayKind(IntEnum):
    """What is done, in the order in which equal ways are told."""

    ORDER = 0
    DAY_OFF = 1
    SATURDAY = 2
    SLIP = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A promise that a plan does not keep: when the job then ends (UTC), None where it has no end.

    `held` says that the plan in force keeps it; `later` are the days after the end it has there, None where it has one
    there and none here.
    """

    job: int
    promised: date
    end: datetime | None
    days: int
    held: bool = False
    later: int | None = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Something that can be done, with the plan that shows it.

    `keeps` are the jobs of the clash whose promises hold in it, `wins` all that hold in it and not in the plan in force,
    `slips` all promises of the plan that do not; `open_end` are jobs without a promise that have an end in the plan in
    force, and none in it. `job` is the one let go; `as_is` says that it is the plan in force; `crew`, `day` and `spans`
    are extra work, or the usual hours of a day off given back.
    """

    kind: WayKind
    plan: WeekPlan
    keeps: tuple[int, ...]
    wins: tuple[int, ...]
    slips: tuple[Slip, ...]
    open_end: tuple[int, ...] = ()
    job: int | None = None
    as_is: bool = False
    crew: str = ""
    day: date | None = None
    spans: tuple[Span, ...] = ()

    @property
    def late(self) -> tuple[int, int]:
        """Return how many jobs have no end, and the days after promises of the others, added up."""
        return sum(slip.end is None for slip in self.slips), sum(slip.days for slip in self.slips)

    @property
    def name(self) -> str:
        """Return what it is called where it is taken: ``slip-7``, ``birch-2026-03-07``, ``order``."""
        if self.day is not None:
            return f"{'-'.join(self.crew.casefold().split())}-{self.day.isoformat()}"
        return f"slip-{self.job}" if self.kind is WayKind.SLIP else "order"


def slips_of(problem: PlanProblem, plan: WeekPlan, in_force: WeekPlan | None = None) -> tuple[Slip, ...]:
    """Return the promises a plan does not keep, by job, against a plan in force."""
    found = []
    before = in_force or plan
    for record in promised_jobs(problem):
        number, promised = record.job.number, record.job.promised
        end, was = end_of(plan, number), end_of(before, number)
        assert promised is not None
        days = 0 if end is None else max(0, (last_day(record, end) - promised).days)
        if end is None or days:
            held = was is not None and last_day(record, was) <= promised
            later = _later(record, end, was)
            found.append(Slip(job=number, promised=promised, end=end, days=days, held=held, later=later))
    return tuple(found)


def _later(record: JobRecord, end: datetime | None, was: datetime | None) -> int | None:
    if was is None:
        return 0
    return None if end is None else max(0, (last_day(record, end) - last_day(record, was)).days)


def _open_end(problem: PlanProblem, plan: WeekPlan, in_force: WeekPlan) -> tuple[int, ...]:
    promised = {record.job.number for record in promised_jobs(problem)}
    numbers = sorted(record.job.number for record in problem.jobs if record.job.number not in promised)
    return tuple(n for n in numbers if end_of(in_force, n) is not None and end_of(plan, n) is None)


def way_of(
    problem: PlanProblem, in_force: WeekPlan, kind: WayKind, plan: WeekPlan, jobs: object, **what: object
) -> WayOut:
    """Return a plan as a way out for some jobs, held against the plan in force."""
    holds = kept(problem, plan)
    return WayOut(
        kind=kind,
        plan=plan,
        keeps=tuple(number for number in jobs if number in holds),  # type: ignore[attr-defined]
        wins=tuple(sorted(holds - kept(problem, in_force))),
        slips=slips_of(problem, plan, in_force),
        open_end=_open_end(problem, plan, in_force),
        as_is=plan is in_force,
        **what,  # type: ignore[arg-type]
    )


def helps(way: WayOut, in_force: tuple[Slip, ...]) -> bool:
    """Return whether a way breaks no more promises than the plan in force, leaves no job without an end, and wins one.

    What is as in the plan in force moves nobody and wins nothing.
    """
    endless = way.open_end or any(slip.later is None for slip in way.slips)
    return not endless and len(way.slips) <= len(in_force) and bool(way.wins or way.as_is)


def harm(way: WayOut) -> tuple[int, int, int, int, bool]:
    """Return what a way does to people, the worst first; of equal ones the plan in force, which moves nobody."""
    lost = sum(slip.held for slip in way.slips)
    later = sum(slip.later or 0 for slip in way.slips)
    return len(way.slips), way.late[1], lost, later, not way.as_is


class Ways:
    """Tries ways out of one clash after the other, as long as there is time.

    `base` is the plan they start from, which may keep more than the one in force; `asked` what was tried on it.
    """

    def __init__(self, ground: Ground, in_force: WeekPlan, base: WeekPlan, clash: Clash, effort: Effort) -> None:
        self._ground = ground
        self._problem = ground.problem
        self._in_force = in_force
        self._base = base
        self._clash = clash
        self._jobs = frozenset(clash.jobs)
        self._broken = slips_of(self._problem, in_force)
        self._effort = effort
        self._records = {record.job.number: record for record in promised_jobs(self._problem)}
        promises = [r.job.promised for n, r in self._records.items() if n in clash.jobs and r.job.promised]
        self._today, self._last = to_wall(self._problem.shop.zone, self._problem.now).date(), max(promises)

    def _way(self, kind: WayKind, plan: WeekPlan, **what: object) -> WayOut:
        return way_of(self._problem, self._in_force, kind, plan, self._clash.jobs, **what)

    # -- a promise let go

    def slips(self, asked: Asked) -> Iterator[WayOut]:
        """Yield for each job of the clash what becomes of it where all the others are kept."""
        for number in sorted(self._clash.jobs, key=lambda n: (self._records[n].job.weight, n)):
            plans = [self._in_force] if self._jobs - {number} <= kept(self._problem, self._in_force) else []
            plans += self._without(number, asked)
            ways = [self._way(WayKind.SLIP, plan, job=number) for plan in plans]
            # A job that need not be let go after all is no slip; a job that stays late while nothing is won is none.
            ways = [way for way in ways if helps(way, self._broken) and number not in way.wins]
            if ways:
                yield min(ways, key=harm)

    def _without(self, number: int, asked: Asked) -> list[WeekPlan]:
        """Return a plan that keeps what it can beside a job of the clash: all the others of the clash at least."""
        trial = asked.trial
        goals = ((trial.now.kept & trial.jobs) | self._jobs, self._jobs)
        for goal in goals:
            try:
                tried = asked(goal - {number})
            except OutOfTime:
                tried = next((one for one in (self._clash.without.get(number),) if one is not None), None)
            if tried is not None:
                return self._searched(trial, tried, self._jobs - {number})
        return []

    def _searched(self, trial: Trial, tried: Tried, goal: frozenset[int]) -> list[WeekPlan]:
        """Return plans that keep all of a goal: with all else that is kept so far, and with what of it costs least let go."""
        found = [trial.better(tried, tried.kept, ROUNDS)]
        if tried.kept > goal:
            found.append(trial.better(tried, goal, ROUNDS))
        return [trial.plan(one) for one in found]

    # -- more work

    def more_work(self) -> Iterator[WayOut]:
        """Yield the days off that, given back, keep all of the clash, and the Saturdays on which work does, in turn."""
        days, saturdays = self._days_off(), self._saturdays()
        left, tried = [days, saturdays], 0
        while left and tried < MOST_DAYS and not self._effort():
            for one in list(left):
                way = next(one, None)
                tried += 1
                if way is None:
                    left.remove(one)
                elif helps(way, self._broken):
                    yield way

    def _saturdays(self) -> Iterator[WayOut]:
        """Yield for each crew a Saturday on which work keeps all of the clash, half the day where that does.

        Of every crew the last Saturday before the promises is tried first: most of the work is there by then.
        """
        done: set[str] = set()
        for day in reversed([day for day in self._days() if day.weekday() == SATURDAY]):
            for crew in self._crews():
                if crew.name in done or crew.hours.on(day) or crew.off(day) or day in self._problem.shop.holidays:
                    continue
                way = self._saturday(crew, day)
                if way is not None:
                    done.add(crew.name)
                    yield way

    def _saturday(self, crew: Crew, day: date) -> WayOut | None:
        """Return the way by work on a Saturday: what a whole day does not do, half of one does not either."""
        found = None
        usual = usual_spans(crew, day)
        morning = (MORNING,)
        for spans in (usual, morning) if _minutes(usual) > _minutes(morning) else (morning,):
            way = self._extra(WayKind.SATURDAY, crew, day, spans)
            if way is None:
                break
            found = way
        return found

    def _days_off(self) -> Iterator[WayOut]:
        """Yield each day off that, given back, keeps all of the clash."""
        for crew in self._crews():
            for day in self._days():
                spans = crew.hours.usual(day)
                if spans and crew.off(day) and day not in self._problem.shop.holidays:
                    way = self._extra(WayKind.DAY_OFF, crew, day, spans)
                    if way is not None:
                        yield way

    def _extra(self, kind: WayKind, crew: Crew, day: date, spans: tuple[Span, ...]) -> WayOut | None:
        """Return the way by more hours of a crew, None where no plan was found with them that keeps all of the clash."""
        if self._effort():
            return None
        ground = Ground(with_hours(self._problem, crew, day, spans), self._effort)
        if any(ground.never(number) for number in self._clash.jobs):
            return None
        trial = Trial(ground, self._base, rivals(ground, self._base, self._clash.late) | self._jobs)
        try:
            for goal in dict.fromkeys(((trial.now.kept & trial.jobs) | self._jobs, self._jobs)):
                tried = trial.keeps(goal)
                if tried is not None:
                    plans = self._searched(trial, tried, self._jobs)
                    ways = [self._way(kind, plan, crew=crew.name, day=day, spans=spans) for plan in plans]
                    return min(ways, key=harm)
        except OutOfTime:
            pass
        return None

    def _crews(self) -> list[Crew]:
        """Return the shop's crews but the subs, those that work most on the clash first."""
        counts: dict[str, int] = {}
        for placed in self._base.placements:
            if placed.key.job in self._jobs:
                counts[placed.crew] = counts.get(placed.crew, 0) + 1
        crews = [crew for crew in self._problem.shop.crews if crew.sub is None]
        return sorted(crews, key=lambda crew: -counts.get(crew.name, 0))

    def _days(self) -> list[date]:
        return list(days_from(self._today, max(0, (self._last - self._today).days + 1)))


def _minutes(spans: tuple[Span, ...]) -> int:
    return sum(span.end - span.start for span in spans)


def with_hours(problem: PlanProblem, crew: Crew, day: date, spans: tuple[Span, ...]) -> PlanProblem:
    """Return a problem with other hours of a crew on a day."""
    longer = replace(crew, hours=crew.hours.with_single(day, spans))
    crews = tuple(longer if one.name == crew.name else one for one in problem.shop.crews)
    return replace(problem, shop=replace(problem.shop, crews=crews))
