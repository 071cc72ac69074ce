"""Promises that cannot be kept together: which jobs they are.

A set of promises is smallest where without any one of them the planner keeps all the others. It is found by halving
the jobs that may belong to it (U. Junker 2004, QuickXplain: preferred explanations and relaxations for
over-constrained problems, AAAI-04). That the whole set cannot be kept is what the planner finds, not a proof; the
words say so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.engines.answering.standing import last_day, only, promised_jobs, soonest
from crewjobs.engines.answering.together import Keeps, OutOfTime, kept
from crewjobs.engines.planning.blocks import opened
from crewjobs.engines.planning.problem import PlanProblem, Stop

AGAIN = 3
"""How often a smallest set is looked for where plans turn up that keep what was tried in vain."""


class Asked:
    """Asks a test no more than it must: a plan that keeps more promises answers for fewer, and no others are planned.

    Beside the jobs asked about only those are planned that come first anyway: begun, pinned, driven to in vain today.
    """

    def __init__(self, keeps: Keeps, problem: PlanProblem, stop: Stop) -> None:
        self._keeps = keeps
        self._problem = problem
        self._stop = stop
        self._tied = frozenset(record.job.number for record in problem.jobs if _tied(problem, record))
        self._plans: list[tuple[frozenset[int], WeekPlan]] = []
        self._failed: list[frozenset[int]] = []

    def __call__(self, jobs: frozenset[int]) -> WeekPlan | None:
        """Return a plan that keeps the promises of some jobs, None where none was found.

        Raises:
            OutOfTime: there was no time to look for one.
        """
        known = next((plan for holds, plan in self._plans if jobs <= holds), None)
        if known is not None or any(fail <= jobs for fail in self._failed):
            return known
        if self._stop():
            raise OutOfTime
        plan = self._keeps(only(self._problem, jobs | self._tied), jobs)
        if plan is None and self._stop():
            raise OutOfTime
        if plan is not None:
            self.add(plan)
        else:
            self._failed.append(jobs)
        return plan

    def add(self, plan: WeekPlan) -> None:
        """Remember which promises a plan keeps, whatever was tried in vain before."""
        holds = kept(self._problem, plan)
        self._plans.append((holds, plan))
        self._failed = [fail for fail in self._failed if not fail <= holds]

    def least(self, job: int) -> frozenset[int]:
        """Return the fewest jobs with one among them that were tried in vain, none where none were."""
        return min((fail for fail in self._failed if job in fail), key=len, default=frozenset())


def _tied(problem: PlanProblem, record: JobRecord) -> bool:
    begun = any(task.open and task.started_at is not None for task in record.tasks)
    pinned = any(pin.job == record.job.number for pin in problem.pins)
    return begun or pinned or opened(record) or bool(record.dry_runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Jobs whose promises no plan tried keeps together.

    `smallest` says that without any one of them the others can be kept: `without` holds for each job left out a plan
    that does, of these jobs and those that come first anyway. `late` is the one that is late in the plan in force.
    """

    jobs: tuple[int, ...]
    smallest: bool
    without: Mapping[int, WeekPlan]
    late: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Clashes:
    """What was found about the promises of a plan that cannot or do not hold.

    `impossible` cannot be kept even alone; of `alone_late` nothing was found that keeps it alone. `more` are late in
    the plan in force, and yet another plan, `better`, keeps them with all that hold. `unknown` are those there was no time
    to look at.
    """

    clashes: tuple[Clash, ...]
    impossible: tuple[int, ...]
    alone_late: tuple[int, ...]
    more: tuple[int, ...]
    better: WeekPlan | None
    unknown: tuple[int, ...]

    @property
    def finished(self) -> bool:
        """Return whether there was time to look at all late jobs, and to find smallest sets."""
        return not self.unknown and all(clash.smallest for clash in self.clashes)


def clashes(
    problem: PlanProblem,
    plan: WeekPlan,
    keeps: Keeps,
    stop: Stop,
    *,
    seen: Iterable[WeekPlan] = (),
    only_of: int | None = None,
) -> Clashes:
    """Return which promises clash in the plan in force.

    Every late job that can be kept alone is added to those that hold, where another plan keeps it with them; where none
    is found, it clashes with some of them. Plans that were `seen`, too, show what can be kept together. `only_of` is the
    one job that is looked at, else all are.
    """
    holds = kept(problem, plan)
    promised = [record for record in promised_jobs(problem) if only_of is None or record.job.number == only_of]
    late = [record for record in promised if record.job.number not in holds]
    impossible = tuple(record.job.number for record in late if never(problem, record))
    asked = Asked(keeps, problem, stop)
    for one in (plan, *seen):
        asked.add(one)
    loose = [record for record in late if record.job.number not in impossible]
    left = [r.job.number for r in sorted(loose, key=lambda record: (record.job.promised, record.job.number))]
    together, found, alone_late = holds, [], []
    try:
        while left:
            number = left[0]
            if asked(frozenset({number})) is None:
                alone_late.append(number)
            elif asked(together | {number}) is not None:
                together |= {number}
            elif (clash := clash_of(number, together, asked)) is not None:
                found.append(clash)
            else:
                continue  # a plan was found meanwhile that keeps what was tried in vain
            left.pop(0)
    except OutOfTime:
        pass  # what is left over is not known
    return Clashes(
        clashes=tuple(found),
        impossible=impossible,
        alone_late=tuple(sorted(alone_late)),
        more=tuple(sorted(together - holds)),
        better=asked(together) if together != holds else None,
        unknown=tuple(sorted(left)),
    )


def never(problem: PlanProblem, record: JobRecord) -> bool:
    """Return whether a promise cannot be kept even with every crew free."""
    promised = record.job.promised
    end = soonest(only(problem, [record.job.number]), record.job.number)
    return end is None or (promised is not None and last_day(record, end) > promised)


def clash_of(late: int, others: frozenset[int], asked: Asked) -> Clash | None:
    """Return the promises that a job cannot be kept together with, itself among them; `others` can be kept.

    Where time runs out, these are the fewest that were tried in vain; None where plans found meanwhile keep those.
    """
    try:
        for _ in range(AGAIN):
            core = frozenset({late}) | _needed(frozenset({late}), frozenset(), sorted(others), asked)
            for number in sorted(core - {late}):
                if asked(core - {number}) is None:
                    core -= {number}
            without = {number: plan for number in sorted(core) if (plan := asked(core - {number})) is not None}
            if asked(core) is None:
                return Clash(jobs=tuple(sorted(core)), smallest=without.keys() == core, without=without, late=late)
            # A plan found for other jobs keeps what was tried in vain before: with that known, it is looked for anew.
    except OutOfTime:
        pass
    vain = asked.least(late)
    return Clash(jobs=tuple(sorted(vain)), smallest=False, without={}, late=late) if vain else None


def _needed(given: frozenset[int], added: frozenset[int], choice: Sequence[int], asked: Asked) -> frozenset[int]:
    """Return the jobs of a choice that, with those given, cannot all be kept, none of them for nothing.

    `added` are those of the given ones that were not yet asked about without the choice.

    Raises:
        OutOfTime: there was no time to find out.
    """
    if added and asked(given) is None:
        return frozenset()
    if len(choice) == 1:
        return frozenset(choice)
    half = len(choice) // 2
    first = frozenset(choice[:half])
    of_second = _needed(given | first, first, choice[half:], asked)
    of_first = _needed(given | of_second, of_second, choice[:half], asked)
    return of_first | of_second
