"""The search over orders: best first by what an order costs at least, each looked at closer the longer it stays first.

An order begun has the bound of its pieces alone; a complete one that of prices, then the one of its own small model. What
comes first when none can be better than the plan found is the proof.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count, islice
from random import Random

import numpy as np

from crewjobs.engines.moving.any_order import bound_of_any_order
from crewjobs.engines.moving.fixed_order import solve_order
from crewjobs.engines.moving.kinds import NEVER, Ints, Kinds
from crewjobs.engines.moving.model import MovingPlan, MovingProblem, Stage, Status
from crewjobs.engines.moving.needs import Needs, Undecided
from crewjobs.engines.moving.orders import Alive, Orders
from crewjobs.engines.moving.partitions import Partitions
from crewjobs.engines.moving.placing import Placing
from crewjobs.engines.moving.priced import STEPS, Known, Priced, priced
from crewjobs.engines.moving.solo import Solo, onward
from crewjobs.engines.moving.standing import Stands, Stopped
from crewjobs.engines.moving.step import Step, bits
from crewjobs.engines.scheduling.solver import available

Found = Callable[[MovingPlan], None]
"""Told of every better plan."""
Stop = Callable[[], bool]
BEAM = 6
"""Starts of orders kept side by side while a first plan is looked for."""
TRIES = 6
"""Plans made for an order with a little noise."""
FIRST_LOOKS = 10
"""Times partitions are looked at before the first order is."""
SEEN = 1e-6
"""The effort of an order whose bound was looked at by partitions."""
LOOKS = 6
"""Times partitions are looked at in every round."""
AGAIN = 40
"""The round by which orders are looked at once more by what was learned of partitions meanwhile."""
ROUGH_STEPS = 20
"""Times prices are moved when an order is first looked at."""
ANY_ORDER = {1: 2.0, 40: 10.0, 200: 50.0, 1000: 250.0}
"""In which rounds it is asked what a house costs at least in any order, and with how much deterministic time."""
ANY_ORDER_LARGE = {8: 2.0, 150: 6.0, 600: 20.0, 2000: 100.0}
"""The same where the model is large."""
LARGE = 6000
"""Places of all kinds in all sets from which on a model is large: prices say more at first."""
EFFORT = 20.0
"""The solver's deterministic time for one order; one that is not done with then is taken up again with more."""

REARRANGED = {5: 30, 40: 60, 200: 120, 1000: 300}
"""In which rounds the best plan's places are looked at by a few kinds at a time, and how often, where the gap is wide."""
FULL = 400
"""Kinds times places from which on a house is so full of things,"""
FEW_SECTIONS = 8
"""and sections up to which it is: where there are more, another order is better sooner."""
FEW = 10
"""Kinds that are placed anew at a time."""
FEW_EFFORT = 0.4
"""The solver's deterministic time for them."""
WIDE = 0.02
LEARNED = 8
"""Plans for an order that may turn out not to stand, and teach why, before something else is looked at."""


@dataclass(slots=True)
class _Start:
    """An order begun: its stages, what each kind has cost in each place, and what its stages cost."""

    steps: tuple[Step, ...]
    done: int
    cost: Ints
    setups: int
    lying: tuple[tuple[int, int], ...]
    alive: Alive


class Search:
    """A search that goes on as long as it is asked to; the same number of rounds gives the same plan."""

    def __init__(self, problem: MovingProblem, *, seed: int = 0) -> None:
        self.problem = problem
        self.kinds = Kinds(problem)
        self.orders = Orders(self.kinds)
        self._stands = Stands(self.kinds)
        self._solo = Solo(self.kinds, self.orders)
        self._partitions = Partitions(self.kinds, self.orders)
        self._random = Random(seed)
        self._known: Known = {}
        self._least = 0
        self._queue: list[tuple[int, int, int, int, _Start, Priced | None, float]] = []
        self._ticket = count()
        self._needs: Needs | None = None
        self._again = True
        kinds, places = self.kinds.size
        self._large = kinds * places * len(self._partitions.sets) > LARGE
        self.best: MovingPlan | None = None
        self.upper = NEVER
        self.rounds = 0

    @property
    def bound(self) -> int:
        """What no plan costs less than."""
        if not self._queue:
            return self.upper
        return min(self.upper, max(self._least, self._partitions.least, self._queue[0][0]))

    def run(self, *, rounds: int | None = None, stop: Stop = lambda: False, found: Found | None = None) -> MovingPlan:
        """Search until it is proved, so many rounds are over or `stop` says so; return the best plan."""
        if self.rounds == 0:
            self._begin(stop, found)
            if self.best is None:
                self._any_plan(stop, found)
                self._drop_sets(stop)
                self._beam(self._root(), stop, found)
        while not self._proved and not stop():
            if rounds is not None and self.rounds >= rounds:
                break
            self.rounds += 1
            if self._effort_now:
                self._all_orders(self._effort_now, stop)
            else:
                self._round(stop, found)
            if self.rounds in REARRANGED and not self._proved:
                self._rearrange(REARRANGED[self.rounds], stop, found)
        return self.plan()

    def plan(self) -> MovingPlan:
        """Return the best plan found so far, with how sure it is."""
        over = self._proved
        if self.best is None:
            return MovingPlan(status=Status.NO_WAY if over else Status.UNKNOWN, bound=self.bound)
        status = Status.PROVED if over else Status.FOUND
        return MovingPlan(status=status, stages=self.best.stages, cost=self.upper, bound=min(self.bound, self.upper))

    @property
    def _effort_now(self) -> float:
        return (ANY_ORDER_LARGE if self._large else ANY_ORDER).get(self.rounds, 0.0)

    @property
    def _proved(self) -> bool:
        return self.bound >= self.upper

    def _all_orders(self, effort: float, stop: Stop) -> None:
        """Look what a house costs at least in any order."""
        if available() and len(self.kinds.count):
            found = bound_of_any_order(
                self.kinds, self.orders, self.upper, effort=effort, stop=stop, only=self._partitions.alive(self.upper)
            )
            self._least = max(self._least, found)

    def _any_plan(self, stop: Stop, found: Found | None) -> None:
        """Find a plan at any cost, or that there is none, where the first look has found none."""
        if not available() or stop():
            return
        self._needs = Needs(self.problem, known=self._stands.known, stop=stop)
        try:
            way = self._needs.least()
        except Undecided:
            return
        if way is None:
            self._least = NEVER
            return
        problem = self.problem
        setups = sum(0 if step.opening else problem.setup if step.worked else problem.wait for step in way.steps)
        start = _Start(
            steps=way.steps, done=self.orders.everything, cost=self.kinds.start, setups=setups, lying=(), alive=()
        )
        placing = Placing(self.kinds, way.steps)
        at = placing.of_counts([stage.counts for stage in way.stages])
        self._take(start, placing, at, found, stop)
        self._take(start, placing, placing.bettered(at), found, stop)
        prices = self._look(start, found, stop)
        self._solve(start, self._look(start, found, stop, prices), 0, EFFORT / 40, stop, found)

    def _drop_sets(self, stop: Stop) -> None:
        """Leave partitions out that hold a stage which cannot be stood whatever comes before it."""
        for step in self._partitions.steps if self._needs is not None else ():
            try:
                if not stop() and self._needs is not None and self._needs.stage(step) is None:
                    self._partitions.drop(step.worked)
            except Undecided:
                continue

    def _can_stand(self, start: _Start) -> bool:
        """Return whether the last stage of a start can be stood at all; asked only where plans are hard to find."""
        if self._needs is None or not start.steps:
            return True
        try:
            return self._needs.stage(start.steps[-1]) is not None
        except Undecided:
            return True

    def _rearrange(self, times: int, stop: Stop, found: Found | None) -> None:
        """Place a few kinds of the best plan anew, in its own order, the others left where they are; so many times.

        In houses full of things prices say which orders are good long before they find the best places in one.
        """
        many = self.kinds.size[0] * self.kinds.size[1] >= FULL and len(self.problem.sections) <= FEW_SECTIONS
        if self.best is None or not self.best.stages or not available() or not many:
            return
        problem, kinds = self.problem, self.kinds
        steps = self.orders.steps_of([bits(stage.worked) for stage in self.best.stages])
        setups = sum(0 if step.opening else problem.setup if step.worked else problem.wait for step in steps)
        start = _Start(steps=steps, done=self.orders.everything, cost=kinds.start, setups=setups, lying=(), alive=())
        prices = self._look(start, None, stop)
        for _ in range(times):
            if stop() or self.upper - self.bound <= WIDE * self.upper or len(self.best.stages) != len(steps):
                return
            rows = [np.array([[stage.at[i] for stage in self.best.stages] for i in m]) for m in kinds.members]
            chosen = self._near_each_other(rows)
            kept = {kind: row for kind, row in enumerate(rows) if kind not in chosen}
            solved = solve_order(kinds, steps, prices, self.upper - setups, effort=FEW_EFFORT, stop=stop, kept=kept)
            if solved.at is not None:
                self._take(start, Placing(kinds, steps), solved.at, found, stop)

    def _near_each_other(self, rows: Sequence[Ints]) -> set[int]:
        """Return a few kinds that stand in the same places in some stage as one that is carried; `rows` by kind."""
        carried = [kind for kind, row in enumerate(rows) if np.any(row != self.kinds.home[kind])]
        first = self._random.choice(carried or range(len(rows)))
        places = [*{*rows[first].ravel().tolist()}]
        near = [kind for kind, row in enumerate(rows) if kind != first and np.isin(row, places).any()]
        return {first, *self._random.sample(near, min(len(near), FEW - 1))}

    # -- starts

    def _begin(self, stop: Stop, found: Found | None) -> None:
        root = self._root()
        if self._complete(root):
            self._nothing_left(found)
            return
        for _ in range(FIRST_LOOKS if self._large else 0):
            if stop() or not self._partitions.look(self.upper):
                break
        self._push(root)
        self._beam(root, stop, found)

    def _beam(self, root: _Start, stop: Stop, found: Found | None) -> None:
        """Look at the orders one comes to by the best few of each length."""
        layer = [root]
        while layer and not stop():
            children = [
                (self._bound(child), next(self._ticket), child) for one in layer for child in self._children(one)
            ]
            children = sorted(child for child in children if child[0] < self.upper)
            if self.best is not None or self._needs is not None:
                stood = islice((child for child in children if self._can_stand(child[2])), 2 * BEAM)
                near = [(self._closer(child, bound), ticket, child) for bound, ticket, child in stood]
                children = sorted(child for child in near if child[0] < self.upper)
            for _, _, child in children:
                if self._complete(child):
                    self._look(child, found, stop)
            layer = [child for _, _, child in children if not self._complete(child)][:BEAM]

    def _closer(self, start: _Start, least: int) -> int:
        return max(least, self._partitions.closer(start.steps, self.upper))

    def _root(self) -> _Start:
        orders = self.orders
        return _Start(
            steps=(), done=orders.done, cost=self.kinds.start, setups=0, lying=orders.lying, alive=orders.alive
        )

    def _complete(self, start: _Start) -> bool:
        return start.done == self.orders.everything and (bool(start.steps) or not self.problem.opening)

    def _nothing_left(self, found: Found | None) -> None:
        """Answer for a house in which nothing is left to be worked: everything is carried home."""
        cost = int(sum(self.kinds.homeward[k, at] * self.kinds.count[k] for k, at in enumerate(self.kinds.begins)))
        if cost < self.upper:
            self.upper, self.best = cost, MovingPlan(status=Status.FOUND, cost=cost)
            if found is not None:
                found(self.plan())

    def _children(self, start: _Start) -> Iterator[_Start]:
        problem = self.problem
        if problem.opening and not start.steps:
            yield self._child(start, self.orders.opening(), start.alive, 0)
            return
        for step, lying, alive in self.orders.following(start.done, start.lying, start.alive):
            if self.orders.ends(start.done | step.worked, lying, alive):
                yield self._child(start, step, alive, problem.setup if step.worked else problem.wait)

    def _child(self, start: _Start, step: Step, alive: Alive, setup: int) -> _Start:
        return _Start(
            steps=(*start.steps, step),
            done=start.done | step.worked,
            cost=onward(start.cost, self.kinds.moves, self.kinds.stage(step)),
            setups=start.setups + setup,
            lying=self.orders.lying_after(step, start.lying),
            alive=alive,
        )

    def _bound(self, start: _Start) -> int:
        if self.problem.opening and not start.steps:
            return 0  # one stage comes before all that is counted here
        left = self.orders.stages_left(start.done)
        if left >= 10**6:
            return NEVER
        pieces = self._solo.bound(start.cost, start.done) if len(self.kinds.count) else 0
        alone = start.setups + self.problem.setup * left + pieces
        return min(NEVER, max(alone, self._partitions.of(start.steps)))

    def _push(self, start: _Start, bound: int | None = None, prices: Priced | None = None, effort: float = 0.0) -> None:
        least = self._bound(start) if bound is None else bound
        if least < self.upper:
            heapq.heappush(
                self._queue, (least, -len(start.steps), -int(effort), next(self._ticket), start, prices, effort)
            )

    def _round(self, stop: Stop, found: Found | None) -> None:
        done = not all(self._partitions.look(self.upper) for _ in range(LOOKS))
        if self.best is not None and self._again and (done or self.rounds >= AGAIN):
            self._again = False
            self._beam(self._root(), stop, found)
        least, *_, start, prices, effort = heapq.heappop(self._queue)
        if not effort:
            if not self._can_stand(start):
                return
            known = self._closer(start, least)
            if known > least:
                self._push(start, known, prices, SEEN)
                return
        if not self._complete(start):
            for child in self._children(start):
                self._push(child, max(least, self._bound(child)))
        elif prices is None or effort < EFFORT:
            prices = self._look(start, found, stop, prices)
            self._push(start, max(least, self._ceil(prices.bound) + start.setups), prices, effort + EFFORT / 2)
        elif available():
            least, stood = self._solve(start, prices, least, effort, stop, found)
            self._push(start, least, prices, effort * 4 if stood else effort)
        else:
            heapq.heappush(self._queue, (least, 1, 0, next(self._ticket), start, prices, effort))
            return

    def _solve(
        self, start: _Start, prices: Priced, least: int, effort: float, stop: Stop, found: Found | None
    ) -> tuple[int, bool]:
        """Solve a complete order; return what no plan in it costs less than, and whether nothing was learned meanwhile."""
        below = self.upper - start.setups
        stood = True
        for _ in range(LEARNED):
            solved = solve_order(self.kinds, start.steps, prices, below, effort=effort, stop=stop)
            stood = solved.at is None or self._take(start, Placing(self.kinds, start.steps), solved.at, found, stop)
            least = max(least, solved.bound + start.setups)
            if stood or stop():
                break
        return least, stood

    @staticmethod
    def _ceil(value: float) -> int:
        return int(-(-(value - 1e-6) // 1))

    def _look(self, start: _Start, found: Found | None, stop: Stop, before: Priced | None = None) -> Priced:
        """Bound a complete order by prices, roughly first and then closer, and make plans for it."""
        upper = min(self.upper, NEVER) - start.setups
        for step in start.steps:
            known = self._partitions.prices(step.worked)
            if known is not None:
                self._known.setdefault(step, known)
        steps = ROUGH_STEPS if before is None else STEPS
        prices = priced(self.kinds, start.steps, upper, self._known, steps=steps, before=before)
        if prices.bound > upper - 1:
            return prices
        placing = Placing(self.kinds, start.steps)
        for attempt in range(1 if before is None else TRIES):
            for _ in range(LEARNED):
                at = placing.made(prices.backward, self._random if attempt else None)
                if at is None or self._take(start, placing, placing.bettered(at), found, stop) or stop():
                    break
        if self._needs is not None and before is None:
            self._as_needed(start, placing, found, stop)
        return prices

    def _as_needed(self, start: _Start, placing: Placing, found: Found | None, stop: Stop) -> None:
        """Make a plan for an order from how each of its stages can be stood by itself, where plans are hard to find."""
        assert self._needs is not None
        try:
            stages = [self._needs.stage(step) for step in start.steps]
        except Undecided:
            return
        counts = [stage.counts for stage in stages if stage is not None]
        if len(counts) == len(stages):
            self._take(start, placing, placing.bettered(placing.of_counts(counts)), found, stop)

    def _take(self, start: _Start, placing: Placing, at: Ints, found: Found | None, stop: Stop) -> bool:
        """Keep a plan that is better and stands; return False where it does not stand, having learned why."""
        cost = placing.cost(at) + start.setups
        if cost < self.upper:
            if not self._stood(start, placing.counts(at), stop):
                return False
            self.upper = cost
            stages = tuple(
                Stage(worked=frozenset(i for i in range(len(self.problem.places)) if step.worked >> i & 1), at=row)
                for step, row in zip(start.steps, placing.by_piece(at), strict=True)
            )
            self.best = MovingPlan(status=Status.FOUND, stages=stages, cost=cost)
            if found is not None:
                found(self.plan())
        return True

    def _stood(self, start: _Start, counts: Ints, stop: Stop) -> bool:
        try:
            every = [self._stands.stage(step, at, stop) for step, at in zip(start.steps, counts, strict=True)]
        except Stopped:
            return False
        return None not in every


def solve(
    problem: MovingProblem,
    *,
    rounds: int | None = None,
    stop: Stop = lambda: False,
    found: Found | None = None,
    seed: int = 0,
) -> MovingPlan:
    """Return the best plan found for a house, proved where it is; `found` is told of every better one meanwhile."""
    return Search(problem, seed=seed).run(rounds=rounds, stop=stop, found=found)
