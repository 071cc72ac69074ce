"""What each kind of piece costs at least if it were alone in the house: the bound on every start of an order."""

from __future__ import annotations

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Ints, Kinds
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.step import Step


class Solo:
    """Costs to the end of each kind from each place, by the sections that are done: the cheapest order, each kind its own.

    What cures, what else stands there and where the crew walks are left aside, so that no plan costs less.
    """

    def __init__(self, kinds: Kinds, orders: Orders) -> None:
        self._kinds = kinds
        self._orders = orders
        self._to_end: dict[int, Ints] = {orders.everything: kinds.homeward}

    def to_end(self, done: int) -> Ints:
        """Return what each kind costs from each place when some sections are done, shape (kinds, places)."""
        found = self._to_end.get(done)
        if found is None:
            found = np.full(self._kinds.size, NEVER, dtype=np.int64)
            for worked in self._orders.sets(done):
                step = Step(worked=worked, curing=0, phase=self._kinds.phase(done, worked))
                after = self.to_end(done | worked) + self._kinds.stage(step)
                np.minimum(found, least(self._kinds.moves, after), out=found)
            np.minimum(found, NEVER, out=found)
            self._to_end[done] = found
        return found

    def bound(self, cost: Ints, done: int) -> int:
        """Return what the pieces cost at least over a whole order, by what each cost so far in each place."""
        each = np.minimum((cost + self.to_end(done)).min(axis=1), NEVER)
        return int(each @ self._kinds.count)


def least(moves: Ints, after: Ints) -> Ints:
    """Return for each kind and place the least of carrying it somewhere and what follows there."""
    found: Ints = (moves + after[:, None, :]).min(axis=2)
    return found


def onward(cost: Ints, moves: Ints, stage: Ints) -> Ints:
    """Return what each kind has cost in each place after one more stage, the cheapest way there."""
    found: Ints = np.minimum((cost[:, :, None] + moves).min(axis=1) + stage, NEVER)
    return found
