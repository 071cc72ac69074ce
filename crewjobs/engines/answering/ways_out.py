"""Ways out of promises that clash, each one tried: a plan made anew, with every promise compared."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import IntEnum
from typing import Final

from crewjobs.domain.crew import Crew
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import Span, days_from, to_wall
from crewjobs.engines.answering.clashes import Clash, Clashes, never
from crewjobs.engines.answering.standing import end_of, last_day, promised_jobs
from crewjobs.engines.answering.together import Keeps, kept, whole
from crewjobs.engines.answering.what_if import usual_spans
from crewjobs.engines.planning.problem import PlanProblem, Stop

SATURDAY: Final = 5
MORNING: Final = Span(start=8 * 60, end=12 * 60)
CLOSER_DAYS: Final = 3
"""How many earlier days are tried for a promise that slips."""


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

    `keeps` are the jobs of the clash whose promises hold in it, `slips` all promises of the plan that do not; `open_end`
    are jobs without a promise that have an end in the plan in force, and none in it. `job` is the one let go; `as_is`
    says that it is the plan in force; `crew`, `day` and `spans` are extra work, or the usual hours of a day off given back.
    """

    kind: WayKind
    plan: WeekPlan
    keeps: tuple[int, ...]
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


def ways_out(
    problem: PlanProblem, plan: WeekPlan, clash: Clash, known: Clashes, keeps: Keeps, stop: Stop
) -> tuple[WayOut, ...]:
    """Return what can be done about a clash, best first: the least days late, then the least that is asked of anybody.

    Each way is a whole plan; none keeps fewer promises than the plan in force.
    """
    maker = _Ways(problem, plan, clash, known, keeps, stop)
    most = len(slips_of(problem, plan))
    tried = _in_turn(maker.slips(), maker.days_off(), maker.saturdays())
    found = [way for way in tried if len(way.slips) <= most]  # nobody is helped by more broken promises than now
    closer = (maker.closer(way) if way.kind is WayKind.SLIP else way for way in found)
    return tuple(sorted(closer, key=lambda way: (way.late, way.kind)))


def overtime(
    problem: PlanProblem, plan: WeekPlan, number: int, known: Clashes, keeps: Keeps, stop: Stop
) -> WayOut | None:
    """Return the extra work that keeps a promise which cannot be kept otherwise, and all that hold; None where none does."""
    maker = _Ways(problem, plan, Clash(jobs=(number,), smallest=False, without={}, late=number), known, keeps, stop)
    most = len(slips_of(problem, plan))
    return next((way for way in _in_turn(maker.days_off(), maker.saturdays()) if len(way.slips) < most), None)


def in_another_order(problem: PlanProblem, plan: WeekPlan, known: Clashes, keeps: Keeps) -> WayOut | None:
    """Return the plan that keeps promises which are late in the plan in force, and all that hold, where there is one."""
    if known.better is None:
        return None
    goal = kept(problem, plan) | frozenset(known.more)
    found = whole(problem, known.better, goal) or keeps(problem, goal)
    if found is None:
        return None
    return WayOut(
        kind=WayKind.ORDER,
        plan=found,
        keeps=known.more,
        slips=slips_of(problem, found, plan),
        open_end=_open_end(problem, found, plan),
    )


def _in_turn(*ways: Iterator[WayOut]) -> Iterator[WayOut]:
    """Yield one of each kind after the other, so that each kind is tried while there is time."""
    left = list(ways)
    while left:
        for one in list(left):
            way = next(one, None)
            if way is None:
                left.remove(one)
            else:
                yield way


class _Ways:
    """Tries one way after the other, as long as there is time."""

    def __init__(
        self, problem: PlanProblem, plan: WeekPlan, clash: Clash, known: Clashes, keeps: Keeps, stop: Stop
    ) -> None:
        self._problem = problem
        self._plan = plan
        self._clash = clash
        self._holds = kept(problem, plan)
        self._goal = self._holds | frozenset(known.more) | frozenset(clash.jobs)
        self._keeps = keeps
        self._stop = stop
        self._records = {record.job.number: record for record in promised_jobs(problem)}
        promises = [r.job.promised for n, r in self._records.items() if n in clash.jobs and r.job.promised]
        zone = problem.shop.zone
        self._today, self._last = to_wall(zone, problem.now).date(), max(promises)

    def _way(self, kind: WayKind, plan: WeekPlan, **what: object) -> WayOut:
        holds = kept(self._problem, plan)
        return WayOut(
            kind=kind,
            plan=plan,
            keeps=tuple(number for number in self._clash.jobs if number in holds),
            slips=slips_of(self._problem, plan, self._plan),
            open_end=_open_end(self._problem, plan, self._plan),
            as_is=plan is self._plan,
            **what,  # type: ignore[arg-type]
        )

    # -- a promise let go

    def slips(self) -> Iterator[WayOut]:
        """Yield for each job of the clash what becomes of it where all the others are kept."""
        for number in sorted(self._clash.jobs, key=lambda n: (self._records[n].job.weight, n)):
            rest = frozenset(self._clash.jobs) - {number}
            plans = [self._plan] if rest <= self._holds else []
            found = self._without(number)
            plans += [found] if found is not None else []
            if plans:
                yield min((self._way(WayKind.SLIP, plan, job=number) for plan in plans), key=_harm)

    def _without(self, number: int) -> WeekPlan | None:
        """Return a plan that keeps what it can beside a job of the clash: all the others of the clash at least."""
        clash = frozenset(self._clash.jobs)
        for goal in dict.fromkeys((self._goal | clash, self._holds | clash)):
            plan = None if self._stop() else self._keeps(self._problem, goal - {number})
            if plan is not None:
                return plan
        known = self._clash.without.get(number)
        if known is not None and not self._stop():
            return whole(self._problem, known, clash - {number})
        return None

    def closer(self, way: WayOut) -> WayOut:
        """Return a slip with the job on an earlier day, as if it were promised for that, where there is such a plan."""
        number = way.job or 0
        promised, end = self._records[number].job.promised, end_of(way.plan, number)
        if promised is None or end is None:
            return way
        holds = kept(self._problem, way.plan)
        days = (last_day(self._records[number], end) - promised).days
        for day in days_from(promised + timedelta(days=1), max(0, min(CLOSER_DAYS, days - 1))):
            if self._stop():
                break
            plan = self._keeps(_promised(self._problem, number, day), holds | {number})
            if plan is not None:
                return min(way, self._way(WayKind.SLIP, plan, job=number), key=_harm)
        return way

    # -- more work

    def saturdays(self) -> Iterator[WayOut]:
        """Yield for each crew a Saturday on which work keeps all of the clash, half the day where that does.

        Of every crew the last Saturday before the promises is tried first: most of the work is there by then.
        """
        done: set[str] = set()
        for day in reversed(self._days(SATURDAY)):
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

    def days_off(self) -> Iterator[WayOut]:
        """Yield each day off that, given back, keeps all of the clash."""
        for crew in self._crews():
            for day in days_from(self._today, max(0, (self._last - self._today).days + 1)):
                spans = crew.hours.usual(day)
                if not spans or not crew.off(day) or day in self._problem.shop.holidays:
                    continue
                way = self._extra(WayKind.DAY_OFF, crew, day, spans)
                if way is not None:
                    yield way

    def _extra(self, kind: WayKind, crew: Crew, day: date, spans: tuple[Span, ...]) -> WayOut | None:
        longer = _with(self._problem, replace(crew, hours=crew.hours.with_single(day, spans)))
        if self._stop() or any(never(longer, self._records[number]) for number in self._clash.jobs):
            return None
        for goal in dict.fromkeys((self._goal, self._holds | frozenset(self._clash.jobs))):
            plan = None if self._stop() else self._keeps(longer, goal)
            if plan is not None:
                return self._way(kind, plan, crew=crew.name, day=day, spans=spans)
        return None

    def _crews(self) -> list[Crew]:
        """Return the shop's crews but the subs, those that work most on the clash first."""
        counts: dict[str, int] = {}
        for plan in (self._plan, *self._clash.without.values()):
            for placed in plan.placements:
                if placed.key.job in self._clash.jobs:
                    counts[placed.crew] = counts.get(placed.crew, 0) + 1
        crews = [crew for crew in self._problem.shop.crews if crew.sub is None]
        return sorted(crews, key=lambda crew: -counts.get(crew.name, 0))

    def _days(self, weekday: int) -> list[date]:
        days = days_from(self._today, max(0, (self._last - self._today).days + 1))
        return [day for day in days if day.weekday() == weekday]


def _harm(way: WayOut) -> tuple[int, int, int, int, int, bool]:
    """Return what a way does to people, the worst first; of equal ones the plan in force, which moves nobody."""
    lost = sum(slip.held for slip in way.slips)
    unended = len(way.open_end) + sum(slip.end is None for slip in way.slips)
    later = sum(slip.later or 0 for slip in way.slips)
    return unended, len(way.slips), way.late[1], lost, later, not way.as_is


def _minutes(spans: tuple[Span, ...]) -> int:
    return sum(span.end - span.start for span in spans)


def _promised(problem: PlanProblem, number: int, day: date) -> PlanProblem:
    records = tuple(
        replace(record, job=replace(record.job, promised=day)) if record.job.number == number else record
        for record in problem.jobs
    )
    return replace(problem, jobs=records)


def _with(problem: PlanProblem, crew: Crew) -> PlanProblem:
    crews = tuple(crew if one.name == crew.name else one for one in problem.shop.crews)
    return replace(problem, shop=replace(problem.shop, crews=crews))
