"""How little more a house needs to have a plan at all, whatever the plan costs.

Between two stages everything may be carried anywhere, so that stages can be looked at one by one: there is a plan where
some order has only stages that can be stood. A stage that cannot is asked how much it lacks at least of one thing (floor,
beds, a walkway); the order whose worst stage lacks least is found by the shortest way through all that may be done and cure.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any, Final

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Ints, Kinds
from crewjobs.engines.moving.model import MovingProblem
from crewjobs.engines.moving.orders import Alive, Orders
from crewjobs.engines.moving.solving import run
from crewjobs.engines.moving.stage_rules import hold_stage
from crewjobs.engines.moving.standing import Known, Stands, Stop, Stopped
from crewjobs.engines.moving.step import Step
from crewjobs.engines.scheduling.solver import library

EFFORT: Final = 20.0
"""The solver's deterministic time for one stage."""
LEAST_EFFORT: Final = 0.02
"""What a stage counts as at least, by the time that making its model and starting the solver takes."""

Lack = Callable[[Any, Kinds, Mapping[tuple[int, int], Any], Any], Any]
"""What a stage lacks, an expression to be as small as can be: from a model, its kinds, how many of each stand in each place,
and how many beds are slept in."""
_State = tuple[int, tuple[tuple[int, int], ...], Alive, bool]


class Undecided(Exception):
    """The solver was stopped, or did not come to an end with a stage."""


@dataclass(slots=True)
class Purse:
    """Deterministic time that is left for all stages that are looked at with it."""

    left: float = float("inf")


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """A stage that can be stood: what it lacks at least, how many of each kind stand in each place, whether it is `helped`.

    A stage is helped when it could not be stood in the house as it is. `beds` are slept in, where they were counted.
    """

    lack: int
    counts: Ints
    helped: bool
    beds: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """An order that lacks least, stage by stage; `members` are the pieces of each kind."""

    steps: tuple[Step, ...]
    stages: tuple[Looked, ...]
    members: tuple[tuple[int, ...], ...] = ()

    @property
    def most(self) -> int:
        """Return what its worst stage lacks."""
        return max((stage.lack for stage in self.stages), default=0)

    @property
    def helped(self) -> int:
        """Return how many of its stages could not be stood in the house as it is."""
        return sum(stage.helped for stage in self.stages)

    @property
    def helped_steps(self) -> tuple[Step, ...]:
        """Return the stages that could not be stood in the house as it is, those that lack most at the head."""
        return tuple(step for step, _ in self._helped())

    def standing(self, place: int) -> tuple[int, ...]:
        """Return the pieces that stand in a place in the stage that lacks most."""
        for _, stage in self._helped():
            here = stage.counts[:, place].tolist()
            return tuple(sorted(i for many, some in zip(here, self.members, strict=True) for i in some[:many]))
        return ()

    def _helped(self) -> list[tuple[Step, Looked]]:
        every = [(step, stage) for step, stage in zip(self.steps, self.stages, strict=True) if stage.helped]
        return sorted(every, key=lambda one: -one[1].lack)


class Needs:
    """A house whose stages are looked at one by one; `lack` is what some may lack, none: a stage can be stood or not.

    `whole` is the same house without what was relaxed for it: its stages that can be stood there lack nothing.
    """

    def __init__(
        self,
        problem: MovingProblem,
        *,
        lack: Lack | None = None,
        whole: Needs | None = None,
        known: Known | None = None,
        stop: Stop = lambda: False,
        purse: Purse | None = None,
    ) -> None:
        self._purse = purse or Purse()
        self._missed = False  # whether a stage was not looked at because nothing was left for it
        self.problem = problem
        self.kinds = Kinds(problem)
        self._stands = Stands(self.kinds, known)
        self._orders = Orders(self.kinds)
        self._lack, self._whole, self._stop = lack, whole, stop
        self._stages: dict[Step, Looked | None] = {}
        self._doubtful: set[Step] = set()

    @property
    def counts(self) -> bool:
        """Return whether it is counted how much stages lack."""
        return self._lack is not None

    def stage(self, step: Step) -> Looked | None:
        """Return what a stage lacks at least, and what stands where then; None where it cannot be stood at all.

        Raise `Undecided` where that was not found out.
        """
        if step in self._doubtful:
            raise Undecided
        if step not in self._stages:
            try:
                self._stages[step] = self._found(step)
            except Undecided:
                if not self._stop() and self._purse.left > 0:
                    self._doubtful.add(step)
                raise
        return self._stages[step]

    def _found(self, step: Step) -> Looked | None:
        whole = self._whole.stage(step) if self._whole is not None and self._whole.fair(step) else None
        if whole is not None and self._whole is not None:
            return Looked(0, self._placed(whole.counts, self._whole.kinds), helped=False)
        learned = -1
        while learned < self.kinds.cuts.count:  # what does not stand teaches why
            learned = self.kinds.cuts.count
            found = self._solved(step)
            try:
                if found is None or self._stands.stage(step, found.counts, self._stop, beds=found.beds) is not None:
                    return found
            except Stopped as stopped:
                raise Undecided from stopped
        raise Undecided

    def fair(self, step: Step) -> bool:
        """Return whether a stage may be at all, as far as furniture does not matter."""
        return step.opening or self._orders.possible(step)

    def _placed(self, counts: Ints, kinds: Kinds) -> Ints:
        """Return how many of each kind stand in each place, from the same of the house this one was made from."""
        at: dict[int, int] = {}
        for kind, members in enumerate(kinds.members):
            places = np.repeat(np.arange(counts.shape[1]), counts[kind])
            at.update(zip(members, places.tolist(), strict=True))
        found = np.zeros(self.kinds.size, dtype=np.int64)
        for kind, members in enumerate(self.kinds.members):
            for number in members:
                found[kind, at[number]] += 1
        return found

    def _solved(self, step: Step) -> Looked | None:
        kinds = self.kinds
        stage = kinds.stage(step)
        model: Any = library().CpModel()
        at: dict[tuple[int, int], Any] = {}
        for kind, many in enumerate(kinds.count.tolist()):
            here = [
                at.setdefault((kind, place), model.new_int_var(0, many, f"y{kind}.{place}"))
                for place in range(kinds.size[1])
                if stage[kind, place] < NEVER
            ]
            model.add(sum(here) == many)
        lacking = self._lack is not None and not step.opening
        slept = hold_stage(model, kinds, step, at, "", count_beds=lacking)
        lack: Any = 0
        if self._lack is not None and lacking:
            lack = self._lack(model, kinds, at, slept)
            model.minimize(lack)
        cp_model, solver = library(), library().CpSolver()
        if self._purse.left <= 0:
            raise Undecided
        status = run(solver, model, min(EFFORT, self._purse.left), self._stop)
        self._purse.left -= LEAST_EFFORT + solver.response_proto.deterministic_time
        if status == cp_model.INFEASIBLE:
            return None
        if status != cp_model.OPTIMAL:
            raise Undecided
        counts = np.zeros(kinds.size, dtype=np.int64)
        for (kind, place), var in at.items():
            counts[kind, place] = solver.value(var)
        beds = min(int(solver.value(slept)), self._whole.problem.beds) if lacking and self._whole is not None else None
        return Looked(int(solver.value(lack)), counts, helped=self._whole is not None, beds=beds)

    # -- an order

    def least(self) -> Way | None:
        """Return an order whose worst stage lacks least, and of these one that lacks in the fewest stages; None: no order.

        Raise `Undecided` where a stage could not be decided with which there might be one that lacks less.
        """
        self._missed = False
        worst = self._shortest(max, lambda stage: stage.lack)
        if (self._doubtful or self._missed) and (worst is None or worst.most > 0):
            raise Undecided
        if worst is None:
            return None
        most = worst.most
        found = self._shortest(lambda a, b: a + b, lambda stage: int(stage.helped) if stage.lack <= most else NEVER)
        if self._missed:
            raise Undecided
        return found

    def _shortest(self, join: Callable[[int, int], int], price: Callable[[Looked], int]) -> Way | None:
        problem, orders, ticket = self.problem, self._orders, count()
        first: _State = orders.done, orders.lying, orders.alive, not problem.opening
        came: dict[_State, tuple[_State, Step] | None] = {first: None}
        best = {first: 0}
        heap = [(0, 0, next(ticket), first)]
        while heap:  # of equally good starts the one that is farthest
            so_far, *_, state = heapq.heappop(heap)
            if so_far > best[state]:
                continue
            done, lying, alive, opened = state
            if done == orders.everything and opened:
                return self._back(state, came)
            opening = orders.opening()
            following = (
                orders.following(done, lying, alive)
                if opened
                else [(opening, orders.lying_after(opening, lying), alive)]
            )
            for step, lying_then, still in following:
                after: _State = done | step.worked, lying_then, still, True
                if not orders.ends(*after[:3]):
                    continue
                try:
                    found = self.stage(step)
                except Undecided:
                    if self._stop():
                        raise
                    self._missed |= self._purse.left <= 0
                    continue
                if self._stop():
                    raise Undecided
                if found is None or price(found) >= NEVER:
                    continue
                total = join(so_far, price(found))
                if total < best.get(after, NEVER):
                    best[after], came[after] = total, (state, step)
                    heapq.heappush(heap, (total, -after[0].bit_count(), next(ticket), after))
        return None

    def _back(self, state: _State, came: Mapping[_State, tuple[_State, Step] | None]) -> Way:
        steps: list[Step] = []
        while (before := came[state]) is not None:
            state, step = before
            steps.append(step)
        steps.reverse()
        found = [self.stage(step) for step in steps]
        return Way(tuple(steps), tuple(one for one in found if one is not None), self.kinds.members)
