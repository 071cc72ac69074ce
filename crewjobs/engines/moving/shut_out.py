"""What is shut out of its section while the floor there cures, for bounds that do not know which stage follows which."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Flags, Floats, Ints


class Ends:
    """The stages an order may end with, the last first, and what each costs in waits besides; `sets` are all its stages.

    An order with fewer stages than these is filled up with -1.
    """

    def __init__(self, sets: int, ends: Iterable[tuple[tuple[int, ...], int]]) -> None:
        known = [*ends]
        self.sets = sets
        self._last: Ints = np.array([last for last, _ in known], dtype=np.int64)
        self._costs: Floats = np.array([cost for _, cost in known], dtype=np.float64)

    def saved(self, less: Floats) -> float:
        """Return what some end saves at most, where a stage that has so many behind it saves `less` (stages behind, stages)."""
        behind = min(len(less), self._last.shape[1])
        padded = np.concatenate([less, np.zeros((len(less), 1))], axis=1)
        return float((padded[np.arange(behind), self._last[:, :behind]].sum(axis=1) - self._costs).max())

    def begun(self, order: Sequence[int], left: Sequence[int], paid: int) -> Ends | None:
        """Return the ends of an order of which some stages are `left` after others, all by number; None: it has none.

        A stage of waiting has the number -1. Those of the result count all stages, waits among them. So much of what the
        waits of an end cost is `paid` already.
        """
        still, length = len(left), self._last.shape[1]
        stages = [*order, *left]
        number = {one: i for i, one in enumerate(stages) if one >= 0}
        order = [one for one in order if one >= 0]
        known = []
        for last, cost in zip(self._last.tolist(), self._costs.tolist(), strict=True):
            tail = [*order[::-1], *[-1] * length][: max(0, length - still)]
            if all(one < 0 or one in left for one in last[:still]) and last[still:] == tail:
                known.append((tuple(number.get(one, -1) for one in last), max(0, int(cost) - paid)))
        return Ends(len(stages), known) if known else None


class ShutOut:
    """Pieces that cannot go home for some stages because the floor there cures.

    A piece whose own section is worked in some stage stands elsewhere in the next ones, whichever these are: in those in
    which that costs it least, or in one of so many stages of waiting. Only the last stages have none, or not as many, behind them. The
    first stages may be `begun`: known, with what cures in them.
    """

    def __init__(
        self, count: Ints, own: Ints, cures: Ints, barred: Flags, waiting: Floats, ends: Ends, begun: int, waits: int
    ) -> None:
        self._count, self._own, self._cures, self._barred, self._begun = count, own, cures, barred, begun
        self._sets, self._waits = ends.sets, waits
        before = np.minimum.accumulate(waiting, axis=1)
        after = np.minimum.accumulate(np.where(barred, NEVER, waiting), axis=1)
        self._waiting = np.maximum(0.0, after - before)
        self._most = int(cures.max())
        self._open = own >= begun
        self._ends = ends

    def later(self, costs: Floats, nearer: Floats, ends: Floats) -> tuple[Floats, float]:
        """Return what each kind costs more by how far it is carried, and what the last stages save of it at most.

        `costs` and `nearer` (the least up to each place) are by stage, kind and place, `ends` is the sum by kind and place.
        """
        more = np.minimum.accumulate(np.where(self._barred[None], NEVER, costs), axis=2) - nearer
        kinds, most = np.arange(len(self._own)), self._most
        more[self._own, kinds] = NEVER
        more[: self._begun] = NEVER
        more = np.concatenate([more, np.full((most, *self._waiting.shape), float(NEVER))])
        more[len(costs) : len(costs) + self._waits] = self._waiting
        least = np.sort(more, axis=0)[:most]
        by_stages = np.concatenate([np.zeros((1, *self._waiting.shape)), np.cumsum(least, axis=0)])
        by_stages = np.minimum(by_stages, NEVER)
        full = by_stages[self._cures, kinds]
        whole = (ends + full).min(axis=1)
        less = np.zeros((most, self._sets))
        column = np.maximum(self._own, 0)
        for behind in range(most):
            each = whole - (ends + by_stages[np.minimum(self._cures, behind), kinds]).min(axis=1)
            less[behind] = np.bincount(column, weights=each * self._count * self._open, minlength=self._sets)
        return full, self._ends.saved(less)
