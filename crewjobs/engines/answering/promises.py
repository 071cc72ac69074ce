"""How the promises stand that the plan in force does not keep: which cannot be kept, which clash, and what can be done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.engines.answering.clashes import Asked, Clash, clash_of
from crewjobs.engines.answering.effort import Effort, OutOfTime
from crewjobs.engines.answering.ground import Ground
from crewjobs.engines.answering.rivals import MOST as RIVALS
from crewjobs.engines.answering.rivals import rivals
from crewjobs.engines.answering.standing import kept, promised_jobs
from crewjobs.engines.answering.trial import Trial, alone
from crewjobs.engines.answering.ways_out import ROUNDS, WayKind, WayOut, Ways, harm, helps, slips_of, way_of
from crewjobs.engines.planning.problem import PlanProblem

MOST: Final = 3
"""So many clashes are looked for, each with its ways out; for so many promises that cannot be kept overtime is tried."""
FIRST: Final = 0.7
"""The share of what is left that a job may take, so that others come to their turn too."""
MORE_ROUNDS: Final = 8
"""Rounds of search for what another order of the work costs others, where there is time."""
AGAIN: Final = 2
"""How often a job is looked at anew because plans turned up that keep what was tried in vain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was found about the promises of a plan that cannot or do not hold.

    `impossible` are proved never to hold, even with every crew free; of `alone_late` nothing was found that keeps them
    alone. `more` are late in the plan in force and kept by `order`, another plan that keeps all that hold, too. Each clash
    comes with its ways out; `saves` is extra work for promises that cannot be kept otherwise. `dear` are plans that keep a
    job and all that hold, but leave other work without an end that has one. `unknown` are those there
    was no time to look at, `cut` says that there was no time for something.
    """

    impossible: tuple[int, ...]
    alone_late: tuple[int, ...]
    clashes: tuple[tuple[Clash, tuple[WayOut, ...]], ...]
    more: tuple[int, ...]
    order: WayOut | None
    saves: tuple[WayOut, ...]
    dear: tuple[WayOut, ...]
    unknown: tuple[int, ...]
    cut: bool

    @property
    def ways(self) -> tuple[WayOut, ...]:
        """Return all ways, as they are told."""
        of_clashes = [way for _, ways in self.clashes for way in ways]
        return (*self.saves, *of_clashes, *((self.order,) if self.order is not None else ()))


def look(
    problem: PlanProblem,
    plan: WeekPlan,
    effort: Effort,
    *,
    seen: Iterable[WeekPlan] = (),
    only_of: int | None = None,
) -> Found:
    """Return how the promises stand that the plan in force does not keep, `only_of` one job or of all.

    Plans that were `seen`, too, show what can be kept together. The same question with the same effort gets the same
    answer, unless the clock ends it sooner: then it gets the first part of that.
    """
    return _Look(problem, plan, effort, seen, only_of).found()


@dataclass(slots=True)
class _Told:
    impossible: list[int] = field(default_factory=list)
    alone_late: list[int] = field(default_factory=list)
    clashes: list[tuple[Clash, tuple[WayOut, ...]]] = field(default_factory=list)
    dear: list[WayOut] = field(default_factory=list)
    unknown: list[int] = field(default_factory=list)
    cut: bool = False


class _Look:
    def __init__(
        self, problem: PlanProblem, plan: WeekPlan, effort: Effort, seen: Iterable[WeekPlan], only_of: int | None
    ) -> None:
        self._problem = problem
        self._in_force = plan
        self._effort = effort
        self._ground = self._beginning = Ground(problem, effort)
        self._told = _Told()
        self._holds = kept(problem, plan)
        self._broken = slips_of(problem, plan)
        self._base = plan
        for one in seen:
            self._take(one)
        late = [
            record
            for record in promised_jobs(problem)
            if record.job.number not in self._holds and only_of in (None, record.job.number)
        ]
        self._late = [r.job.number for r in sorted(late, key=lambda record: (record.job.promised, record.job.number))]
        self._only_of = only_of
        self._trial: Trial | None = None

    def found(self) -> Found:
        told = self._told
        # What no plan keeps is a forward pass a job, and known however little time there is.
        told.impossible += [number for number in self._late if self._ground.never(number)]
        for number in self._late:
            if number in told.impossible or number in kept(self._problem, self._base):
                continue
            if self._effort() or len(told.clashes) >= MOST:
                told.unknown.append(number)
            else:
                self._one(number)
        order = self._order()
        saves = tuple(self._saves())
        return Found(
            impossible=tuple(sorted(told.impossible)),
            alone_late=tuple(sorted(told.alone_late)),
            clashes=tuple(told.clashes),
            more=order.wins if order is not None else (),
            order=order,
            saves=saves,
            dear=tuple(way for way in told.dear if not set(way.keeps) & kept(self._problem, self._base)),
            unknown=tuple(sorted(told.unknown)),
            cut=told.cut or bool(told.unknown) or self._effort(),
        )

    # -- one late job

    def _one(self, number: int) -> None:
        """Find out what keeps a job, or with which it clashes; note that there was no time where that is so."""
        effort = self._effort if self._only_of is not None else self._effort.part(FIRST)
        try:
            for most in (RIVALS, 2 * RIVALS):
                trial = self._trial_of(number, most, effort)
                if self._clashes(number, trial, effort):
                    return
                if alone(self._ground, (number,), effort).keeps(frozenset({number})) is None:
                    self._told.alone_late.append(number)
                    return
        except OutOfTime:
            self._told.cut = True
        self._told.unknown.append(number)

    def _trial_of(self, number: int, most: int, effort: Effort) -> Trial:
        trial = self._trial
        if trial is None or number not in trial.jobs or most > RIVALS:
            trial = Trial(self._beginning, self._base, rivals(self._ground, self._base, number, most), effort)
        trial.effort = effort
        self._trial = trial
        return trial

    def _clashes(self, number: int, trial: Trial, effort: Effort) -> bool:
        """Return whether it is known what becomes of a job: it can be kept with those that hold, or it clashes."""
        for _ in range(AGAIN):
            asked = Asked(trial)
            holds = trial.now.kept & trial.jobs
            tried = asked(holds | {number})
            if tried is not None:
                tried = trial.better(tried, tried.kept, ROUNDS)
                plan = trial.plan(tried)
                if self._take(plan):
                    trial.now = tried
                else:
                    self._told.dear.append(way_of(self._problem, self._in_force, WayKind.ORDER, plan, (number,)))
                return True
            if not holds or asked(frozenset({number})) is None:
                return False
            clash = clash_of(number, holds, asked)
            if clash is not None and not self._holds_alone(clash, trial, effort):
                self._told.clashes.append((clash, self._ways(clash, asked, effort)))
                return True
        return False

    def _holds_alone(self, clash: Clash, trial: Trial, effort: Effort) -> bool:
        """Return whether the jobs of a clash can be kept where work that was not tried does not stand in their way.

        Raises:
            OutOfTime: there was no time to look.
        """
        if rivals(self._ground, self._base, clash.late, len(self._problem.jobs)) <= trial.jobs:
            return False
        bare = alone(self._ground, clash.jobs, effort)
        return bare.keeps(frozenset(clash.jobs), harder=True) is not None

    def _take(self, plan: WeekPlan) -> bool:
        """Go on from a plan that keeps all that the one so far keeps and more, and leaves nothing without an end."""
        way = way_of(self._problem, self._in_force, WayKind.ORDER, plan, ())
        if kept(self._problem, plan) > kept(self._problem, self._base) and helps(way, self._broken):
            self._base = plan
            self._beginning = self._ground.beginning(plan)
            return True
        return False

    # -- what can be done

    def _ways(self, clash: Clash, asked: Asked, effort: Effort) -> tuple[WayOut, ...]:
        ways = Ways(self._ground, self._in_force, self._base, clash, effort)
        found: list[WayOut] = list(ways.slips(asked)) if clash.smallest else []
        found += ways.more_work() if clash.smallest or len(clash.jobs) <= RIVALS // 2 else ()
        return tuple(sorted(found, key=lambda way: (way.late, way.kind, harm(way))))

    def _order(self) -> WayOut | None:
        if self._base is self._in_force:
            return None
        way = self._order_of(self._base)
        if self._trial is None or self._effort():
            return way
        tried = self._trial.better(self._trial.now, self._trial.now.kept, MORE_ROUNDS)
        more = self._order_of(self._trial.plan(tried))
        return more if set(more.wins) >= set(way.wins) and harm(more) < harm(way) else way

    def _order_of(self, plan: WeekPlan) -> WayOut:
        return way_of(self._problem, self._in_force, WayKind.ORDER, plan, sorted(kept(self._problem, plan)))

    def _saves(self) -> Iterable[WayOut]:
        """Yield the extra work that keeps promises which cannot be kept otherwise."""
        out = {left.job for left in self._in_force.left_out}
        today = to_wall(self._problem.shop.zone, self._problem.now).date()
        numbers = [
            number
            for number in sorted({*self._told.impossible, *self._told.alone_late} - out)
            if (promised := self._ground.records[number].job.promised) is not None and promised >= today
        ]
        for number in numbers[:MOST]:
            clash = Clash(jobs=(number,), smallest=False, without={}, late=number)
            way = next(Ways(self._ground, self._in_force, self._base, clash, self._effort).more_work(), None)
            if way is not None:
                yield way
