"""Promises that cannot be kept together: which jobs they are.

A set of promises is smallest where without any one of them the planner keeps all the others. It is found by halving
the jobs that may belong to it (U. Junker 2004, QuickXplain: preferred explanations and relaxations for
over-constrained problems, AAAI-04). That the whole set cannot be kept is what the planner finds, not a proof; the
words say so.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from crewjobs.engines.answering.effort import OutOfTime
from crewjobs.engines.answering.trial import Trial, Tried

AGAIN = 3
"""How often a smallest set is looked for where plans turn up that keep what was tried in vain."""


class Asked:
    """Asks a trial no more than it must: what keeps more promises answers for fewer."""

    def __init__(self, trial: Trial) -> None:
        self.trial = trial
        self._found: list[Tried] = [trial.now]
        self._failed: list[frozenset[int]] = []
        self._hard: list[frozenset[int]] = []

    def __call__(self, jobs: frozenset[int], *, harder: bool = False) -> Tried | None:
        """Return what keeps the promises of some jobs, None where nothing was found; `harder` tries longer before that.

        Raises:
            OutOfTime: there was no time to look for it.
        """
        known = next((tried for tried in self._found if jobs <= tried.kept), None)
        vain = self._hard if harder else [*self._failed, *self._hard]
        if known is not None or any(fail <= jobs for fail in vain):
            return known
        found = self.trial.keeps(jobs, harder=harder)
        if found is not None:
            self._found.append(found)
            self._failed = [fail for fail in self._failed if not fail <= found.kept]
            self._hard = [fail for fail in self._hard if not fail <= found.kept]
        else:
            (self._hard if harder else self._failed).append(jobs)
        return found

    def least(self, job: int) -> frozenset[int]:
        """Return the fewest jobs with one among them that were tried in vain, none where none were."""
        return min((fail for fail in (*self._failed, *self._hard) if job in fail), key=len, default=frozenset())


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Jobs whose promises no plan found keeps together.

    `smallest` says that without any one of them the others can be kept: `without` holds for each job left out what
    keeps them. `late` is the one that is late in the plan they were looked for from.
    """

    jobs: tuple[int, ...]
    smallest: bool
    without: Mapping[int, Tried]
    late: int


def sharing(clashes: Sequence[Clash], reason: Callable[[Clash], Hashable]) -> Iterator[tuple[Clash, ...]]:
    """Yield the clashes in their order, pairs that share a job and have one reason together; None is no reason to.

    Of three jobs of which no two can be kept it is all three pairs, which share none.
    """
    left = list(clashes)
    while left:
        first, why = left[0], reason(left[0])
        pairs = [clash for clash in left if len(clash.jobs) == 2 and why is not None and reason(clash) == why]
        group = [first]
        if first in pairs:
            group = max(([pair for pair in pairs if job in pair.jobs] for job in first.jobs), key=len)
        if len(group) == 2:
            outer = tuple(sorted({*group[0].jobs} ^ {*group[1].jobs}))
            group += [pair for pair in pairs if pair.jobs == outer]
        yield tuple(group)
        left = [clash for clash in left if clash not in group]


def clash_of(late: int, others: Collection[int], asked: Asked) -> Clash | None:
    """Return the promises that a job cannot be kept together with, itself among them; `others` can be kept.

    Where time runs out, these are the fewest that were tried in vain; None where plans found meanwhile keep those.
    """
    try:
        for _ in range(AGAIN):
            core = frozenset({late}) | _needed(frozenset({late}), frozenset(), sorted(others), asked)
            for number in sorted(core - {late}):
                if asked(core - {number}) is None:
                    core -= {number}
            without = {number: tried for number in sorted(core) if (tried := asked(core - {number})) is not None}
            if _refused(core, asked):
                return Clash(jobs=tuple(sorted(core)), smallest=without.keys() == core, without=without, late=late)
            # What was found for other jobs keeps what was tried in vain before: with that known, it is looked for anew.
    except OutOfTime:
        pass
    vain = asked.least(late)
    return Clash(jobs=tuple(sorted(vain)), smallest=False, without={}, late=late) if vain else None


def _refused(jobs: frozenset[int], asked: Asked) -> bool:
    """Return whether nothing was found that keeps some jobs, by the hardest try there was time for."""
    try:
        return asked(jobs, harder=True) is None
    except OutOfTime:
        return True


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
