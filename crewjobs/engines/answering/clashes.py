"""Promises that cannot be kept together: which jobs they are, and ways out that were each tried by the planner.

A set of promises is smallest where without any one of them the planner keeps all the others. It is found by halving
the jobs that may belong to it (U. Junker 2004, QuickXplain: preferred explanations and relaxations for
over-constrained problems, AAAI-04). That the whole set cannot be kept is what the planner finds, not a proof; the
words say so.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

from crewjobs.domain.job import HEAVIEST, JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.engines.answering.standing import end_of, last_day, only, promised_jobs, soonest
from crewjobs.engines.planning.blocks import opened
from crewjobs.engines.planning.board import Board, Choose
from crewjobs.engines.planning.choosing import Found
from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.jobwork import JobWork
from crewjobs.engines.planning.list_schedule import first_board, plan_of
from crewjobs.engines.planning.placing import Way
from crewjobs.engines.planning.problem import PlanProblem, Stop

Keeps = Callable[[PlanProblem, frozenset[int]], WeekPlan | None]
"""Return a plan that keeps the promises of some jobs, whatever the others' lateness; None where none was found."""

ROUNDS = 6
"""How many orders are tried by putting the jobs that come out late before the others."""
SEARCHED = 3
"""Rounds of search for one more promise, where no order keeps it."""
FEW = 4
"""So many jobs are tried in every order."""


def kept(problem: PlanProblem, plan: WeekPlan) -> frozenset[int]:
    """Return the jobs whose promises a plan keeps."""
    return frozenset(record.job.number for record in promised_jobs(problem) if _keeps_it(record, plan))


def _keeps_it(record: JobRecord, plan: WeekPlan) -> bool:
    end, promised = end_of(plan, record.job.number), record.job.promised
    return end is not None and promised is not None and last_day(record, end) <= promised


def by_list(stop: Stop) -> Keeps:
    """Return the test by list scheduling: the jobs heaviest, then before all others, those that came out late first."""

    def keeps(problem: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        weighed = _weighed(problem, jobs)
        board, left_out = first_board(weighed, stop=stop)
        orders = _Orders([record for record in promised_jobs(problem) if record.job.number in jobs])
        while not stop():
            plan = plan_of(weighed, board, left_out)
            late = sorted(jobs - kept(problem, plan))
            order = orders.after(late) if late else ()
            if order is None or not set(late) <= set(board.works):
                return None
            if not late:
                return plan
            _place_anew(board, order)
        return None

    return keeps


class _Orders:
    """The orders in which some jobs are placed, one after the other: by their promises, then late ones before the rest.

    Where that comes back to an order tried already, few jobs are tried in every order, many no more.
    """

    def __init__(self, records: Sequence[JobRecord]) -> None:
        by_promise = sorted(records, key=lambda record: (record.job.promised, record.job.number))
        self._order = [record.job.number for record in by_promise]
        self._tried: set[tuple[int, ...]] = set()
        few = len(self._order) <= FEW
        self._all = iter(permutations(self._order)) if few else iter(())

    def after(self, late: Sequence[int]) -> tuple[int, ...] | None:
        """Return the next order to try, given who was late in the one before; None where there is none left."""
        if self._tried and len(self._tried) < ROUNDS:
            self._order = [*late, *(number for number in self._order if number not in late)]
        order: tuple[int, ...] | None = tuple(self._order)
        while order in self._tried or (len(self._tried) >= ROUNDS and order == tuple(self._order)):
            order = next(self._all, None)
        if order is not None:
            self._tried.add(order)
        return order


def _place_anew(board: Board, front: Sequence[int]) -> None:
    """Place all jobs once more: those of `front` first, each as soon as it can be, then the others as ever."""
    known = list(board.works)
    for number in known:
        board.lift(number)
    for number in front:
        if number in board.works:
            board.place(number, _soonest(board))
    for number in known:
        if number not in front:
            board.place(number)


def _soonest(board: Board) -> Choose:
    """Return the choice of the crew that ends a job soonest, whatever that means for crews and open days."""

    def choose(work: JobWork, wished: int) -> Found:
        mains = board.chooser.mains(work)
        found = [board.chooser.attempt(work, Way(main=main, since=wished, wished=wished)) for main in mains]
        return min(found, key=lambda one: (*one.rank[:2], *one.cost[:2], one.cost.end))

    return choose


def _weighed(problem: PlanProblem, jobs: Collection[int]) -> PlanProblem:
    """Return the problem planned anew with some jobs at the heaviest weight, and all others at the lightest."""
    whole = only(problem, [record.job.number for record in problem.jobs])
    records = tuple(
        replace(record, job=replace(record.job, weight=HEAVIEST if record.job.number in jobs else 1))
        for record in whole.jobs
    )
    return replace(whole, jobs=records)


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
        """Return a plan that keeps the promises of some jobs, None where none was found (or there was no time)."""
        known = next((plan for holds, plan in self._plans if jobs <= holds), None)
        if known is not None or any(fail <= jobs for fail in self._failed):
            return known
        plan = self._keeps(only(self._problem, jobs | self._tied), jobs)
        if plan is not None:
            self.add(plan)
        elif not self._stop():
            self._failed.append(jobs)
        return plan

    def add(self, plan: WeekPlan) -> None:
        """Remember which promises a plan keeps."""
        self._plans.append((kept(self._problem, plan), plan))


def _tied(problem: PlanProblem, record: JobRecord) -> bool:
    begun = any(task.open and task.started_at is not None for task in record.tasks)
    pinned = any(pin.job == record.job.number for pin in problem.pins)
    return begun or pinned or opened(record) or bool(record.dry_runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Jobs whose promises no plan tried keeps together.

    `smallest` says that without any one of them the others can be kept: `without` holds for each job left out a plan
    that does.
    """

    jobs: tuple[int, ...]
    smallest: bool
    without: Mapping[int, WeekPlan]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clashes:
    """What was found about the promises of a plan that cannot or do not hold.

    `impossible` cannot be kept even alone; of `alone_late` nothing was found that keeps it alone. `more` are late in
    the plan in force, and yet another plan keeps them with all that hold. `finished` says whether there was time to
    look at all late jobs.
    """

    clashes: tuple[Clash, ...]
    impossible: tuple[int, ...]
    alone_late: tuple[int, ...]
    more: tuple[int, ...]
    finished: bool


def by_search(stop: Stop, rounds: int = SEARCHED) -> Keeps:
    """Return the test by so many rounds of search, the jobs heaviest: slower than by list, and it finds more."""

    def keeps(problem: PlanProblem, jobs: frozenset[int]) -> WeekPlan | None:
        found = improve(_weighed(problem, jobs), rounds=rounds, stop=stop).plan
        return found if jobs <= kept(problem, found) else None

    return keeps


def clashes(
    problem: PlanProblem, plan: WeekPlan, keeps: Keeps, stop: Stop, *, stronger: Keeps | None = None
) -> Clashes:
    """Return which promises clash in the plan in force.

    Every late job that can be kept alone is added to those that hold, where another plan keeps it with them; where none
    is found, also not by the `stronger` test, it clashes with some of them. Jobs there was no time for are not named.
    """
    records = promised_jobs(problem)
    holds = kept(problem, plan)
    late = [record for record in records if record.job.number not in holds]
    impossible = tuple(record.job.number for record in late if _never(problem, record))
    asked = Asked(keeps, problem, stop)
    asked.add(plan)
    loose = [record for record in late if record.job.number not in impossible]
    together, found, alone_late, looked = holds, [], [], 0
    for record in sorted(loose, key=lambda record: (record.job.promised, record.job.number)):
        number = record.job.number
        alone = asked(frozenset({number}))
        if stop():
            break
        looked += 1
        if alone is None:
            alone_late.append(number)
            continue
        more = together | {number}
        if asked(more) is None and not stop() and stronger is not None:
            asked.add(stronger(problem, more) or plan)
        if asked(more) is not None:
            together = more
        elif not stop():
            found.append(clash_of(number, together, asked, stop))
    return Clashes(
        clashes=tuple(found),
        impossible=impossible,
        alone_late=tuple(sorted(alone_late)),
        more=tuple(sorted(together - holds)),
        finished=looked == len(loose) and not stop(),
    )


def _never(problem: PlanProblem, record: JobRecord) -> bool:
    """Return whether a promise cannot be kept even with every crew free."""
    promised = record.job.promised
    end = soonest(only(problem, [record.job.number]), record.job.number)
    return end is None or (promised is not None and last_day(record, end) > promised)


def clash_of(late: int, others: frozenset[int], asked: Asked, stop: Stop) -> Clash:
    """Return the promises that a job cannot be kept together with, itself among them; `others` can be kept."""
    core = frozenset({late}) | _needed(frozenset({late}), frozenset(), sorted(others), asked, stop)
    without = {number: plan for number in sorted(core) if not stop() and (plan := asked(core - {number})) is not None}
    return Clash(jobs=tuple(sorted(core)), smallest=len(without) == len(core), without=without)


def _needed(
    given: frozenset[int], added: frozenset[int], choice: Sequence[int], asked: Asked, stop: Stop
) -> frozenset[int]:
    """Return the jobs of a choice that, with those given, cannot all be kept, none of them for nothing.

    `added` are those of the given ones that were not yet asked about without the choice.
    """
    if added and asked(given) is None and not stop():
        return frozenset()
    if len(choice) == 1 or stop():
        return frozenset(choice)
    half = len(choice) // 2
    first = frozenset(choice[:half])
    of_second = _needed(given | first, first, choice[half:], asked, stop)
    of_first = _needed(given | of_second, of_second, choice[:half], asked, stop)
    return of_first | of_second
