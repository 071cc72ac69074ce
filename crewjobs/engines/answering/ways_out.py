"""Ways out of promises that clash, each one tried: a plan made anew, with every promise compared."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import IntEnum
from typing import Final

from crewjobs.domain.crew import Crew
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import Span, days_from, to_wall
from crewjobs.engines.answering.clashes import Clash, Clashes, Keeps, kept
from crewjobs.engines.answering.standing import end_of, last_day, promised_jobs
from crewjobs.engines.planning.problem import PlanProblem, Stop

SATURDAY: Final = 5
MORNING: Final = Span(start=8 * 60, end=12 * 60)
FULL_DAY: Final = Span(start=8 * 60, end=16 * 60)
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
    """A promise that a plan does not keep: when the job then ends (UTC), None where it has no end."""

    job: int
    promised: date
    end: datetime | None
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Something that can be done, with the plan that shows it.

    `keeps` are the jobs of the clash whose promises hold in it, `slips` all promises of the plan that do not;
    `job` is the one let go; `crew`, `day` and `spans` are extra work, or the usual hours of a day off given back.
    """

    kind: WayKind
    plan: WeekPlan
    keeps: tuple[int, ...]
    slips: tuple[Slip, ...]
    job: int | None = None
    crew: str = ""
    day: date | None = None
    spans: tuple[Span, ...] = ()

    @property
    def late(self) -> tuple[int, int]:
        """Return how many jobs have no end, and the days after promises of the others, added up."""
        return sum(slip.end is None for slip in self.slips), sum(slip.days for slip in self.slips)


def slips_of(problem: PlanProblem, plan: WeekPlan) -> tuple[Slip, ...]:
    """Return the promises a plan does not keep, by job."""
    found = []
    for record in promised_jobs(problem):
        end, promised = end_of(plan, record.job.number), record.job.promised
        assert promised is not None
        days = 0 if end is None else max(0, (last_day(record, end) - promised).days)
        if end is None or days:
            found.append(Slip(job=record.job.number, promised=promised, end=end, days=days))
    return tuple(found)


def ways_out(
    problem: PlanProblem, plan: WeekPlan, clash: Clash, known: Clashes, keeps: Keeps, stop: Stop
) -> tuple[WayOut, ...]:
    """Return what can be done about a clash, best first: the least days late, then the least that is asked of anybody.

    Each way is a whole plan; a way that keeps no more than the plan in force does is none.
    """
    maker = _Ways(problem, kept(problem, plan), clash, known, keeps, stop)
    most = len(slips_of(problem, plan))
    tried = _in_turn(maker.slips(), maker.days_off(), maker.saturdays())
    found = [way for way in tried if len(way.slips) <= most]  # nobody is helped by more broken promises than now
    closer = (maker.closer(way) if way.kind is WayKind.SLIP else way for way in found)
    return tuple(sorted(closer, key=lambda way: (way.late, way.kind)))


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
        self, problem: PlanProblem, holds: frozenset[int], clash: Clash, known: Clashes, keeps: Keeps, stop: Stop
    ) -> None:
        self._problem = problem
        self._clash = clash
        self._holds = holds
        self._goal = holds | frozenset(known.more) | frozenset(clash.jobs)
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
            slips=slips_of(self._problem, plan),
            **what,  # type: ignore[arg-type]
        )

    def slips(self) -> Iterator[WayOut]:
        """Yield for each job of the clash what becomes of it where all the others are kept."""
        for number in sorted(self._clash.jobs, key=lambda n: (self._records[n].job.weight, n)):
            clash = frozenset(self._clash.jobs)
            for rest in dict.fromkeys((self._goal | clash, self._holds | clash, clash)):
                plan = None if self._stop() else self._keeps(self._problem, rest - {number})
                if plan is not None:
                    yield self._way(WayKind.SLIP, plan, job=number)
                    break

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
                return self._way(WayKind.SLIP, plan, job=number)
        return way

    def saturdays(self) -> Iterator[WayOut]:
        """Yield for each crew the first Saturday on which work keeps all of the clash, half the day where that does."""
        for crew in self._crews():
            for day in self._days(SATURDAY):
                if crew.hours.on(day) or crew.off(day) or day in self._problem.shop.holidays:
                    continue
                way = self._extra(crew, day)
                if way is not None:
                    yield way
                    break

    def _extra(self, crew: Crew, day: date) -> WayOut | None:
        for span in (MORNING, FULL_DAY):
            if self._stop():
                return None
            longer = replace(crew, hours=crew.hours.with_single(day, (span,)))
            plan = self._keeps(_with(self._problem, longer), self._goal)
            if plan is not None:
                return self._way(WayKind.SATURDAY, plan, crew=crew.name, day=day, spans=(span,))
        return None

    def days_off(self) -> Iterator[WayOut]:
        """Yield each day off that, given back, keeps all of the clash."""
        for crew in self._crews():
            for day in days_from(self._today, max(0, (self._last - self._today).days + 1)):
                spans = crew.hours.usual(day)
                if not spans or not crew.off(day) or day in self._problem.shop.holidays:
                    continue
                if self._stop():
                    return
                back = replace(crew, hours=crew.hours.with_single(day, spans))
                plan = self._keeps(_with(self._problem, back), self._goal)
                if plan is not None:
                    yield self._way(WayKind.DAY_OFF, plan, crew=crew.name, day=day, spans=spans)

    def _crews(self) -> list[Crew]:
        """Return the shop's crews but the subs, those that work on the clash first."""
        seen = {
            p.crew for plan in self._clash.without.values() for p in plan.placements if p.key.job in self._clash.jobs
        }
        crews = [crew for crew in self._problem.shop.crews if crew.sub is None]
        return sorted(crews, key=lambda crew: crew.name not in seen)

    def _days(self, weekday: int) -> list[date]:
        days = days_from(self._today, max(0, (self._last - self._today).days + 1))
        return [day for day in days if day.weekday() == weekday]


def _promised(problem: PlanProblem, number: int, day: date) -> PlanProblem:
    records = tuple(
        replace(record, job=replace(record.job, promised=day)) if record.job.number == number else record
        for record in problem.jobs
    )
    return replace(problem, jobs=records)


def _with(problem: PlanProblem, crew: Crew) -> PlanProblem:
    crews = tuple(crew if one.name == crew.name else one for one in problem.shop.crews)
    return replace(problem, shop=replace(problem.shop, crews=crews))


def in_another_order(problem: PlanProblem, plan: WeekPlan, known: Clashes, keeps: Keeps) -> WayOut | None:
    """Return the plan that keeps promises which are late in the plan in force, and all that hold, where there is one."""
    found = keeps(problem, kept(problem, plan) | frozenset(known.more)) if known.more else None
    if found is None:
        return None
    return WayOut(kind=WayKind.ORDER, plan=found, keeps=known.more, slips=slips_of(problem, found))
