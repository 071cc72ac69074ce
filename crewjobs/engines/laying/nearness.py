"""What joints that lie too near, and stair steps, cost: for all first pieces of a run at once, given those of the others."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from crewjobs.engines.laying.axis import Cuts, Floats, Table, too_near
from crewjobs.engines.laying.joints import neighbours
from crewjobs.engines.laying.model import Problem
from crewjobs.engines.laying.stairs import ALIKE, Window, windows

Tables = dict[tuple[int, int, int, int], Table]
"""What is too near for two runs' first pieces, by their lengths, how they lie to each other, and the distance asked for."""
Choice = Mapping[int, int]
"""Which first piece each run has, by its place among all of them."""

JOINTS: Final = 0.5
"""What a joint too near by a step weighs against a piece too long by a step."""
STAIR: Final = 10.0
"""What a stair step weighs, in the same measure."""


class Nearness:
    """The runs of a problem with their neighbours. `cuts` are the first pieces of runs that are open and longer than a plank."""

    def __init__(self, problem: Problem, cuts: Mapping[int, Cuts], tables: Tables, *, stairs: bool) -> None:
        self.problem = problem
        self.cuts = cuts
        self.tables = tables
        self.phase = {i: problem.runs[i].left + of.start for i, of in cuts.items()}
        self._neighbours()
        self._windows: dict[int, list[Window]] = {i: [] for i in cuts}
        if stairs:
            for window in windows(problem.product, problem.runs):
                for i in window:
                    if i in self._windows:
                        self._windows[i].append(window)

    def _neighbours(self) -> None:
        """Set what joints of each run keep apart from: open neighbours with a table, what is laid as one cost."""
        runs, product = self.problem.runs, self.problem.product
        near: dict[int, list[tuple[int, int]]] = {i: [] for i in self.cuts}
        for a, b, least in neighbours(runs, product):
            for one, other in ((a, b), (b, a)):
                if one in near:
                    near[one].append((other, least))
        self._laid: dict[int, Table] = {}
        self._rows: dict[int, list[tuple[int, int, Table]]] = {i: [] for i in self.cuts}
        for i, of in near.items():
            for other, least in of:
                laid = runs[other].laid
                if laid is None:
                    self._rows[i].append((other, least, self._table(i, other, least)))
                else:
                    cost = self._too_near(i, other, np.array([laid]), least)[0]
                    self._laid[i] = self._laid[i] + cost if i in self._laid else cost

    def _table(self, i: int, other: int, least: int) -> Table:
        runs = self.problem.runs
        key = (runs[i].length, runs[other].length, runs[other].left - runs[i].left, least)
        if key not in self.tables:
            self.tables[key] = self._too_near(i, other, self.cuts[other].start, least)
        return self.tables[key]

    def _too_near(self, i: int, other: int, starts: npt.NDArray[np.int64], least: int) -> Table:
        runs, product = self.problem.runs, self.problem.product
        return np.float32(JOINTS) * too_near(product, runs[i].left, self.cuts[i], runs[other], starts, least)

    def add(self, cost: Floats, i: int, choice: Choice) -> None:
        """Add to the cost of every first piece of a run what its joints cost beside the others'."""
        for other, _, table in self._rows[i]:
            cost += table[choice[other]]
        if i in self._laid:
            cost += self._laid[i]
        for window in self._windows[i]:
            cost += STAIR * self._stair(window, choice, i)

    def of_pair(self, a: int, b: int, choice: Choice) -> float:
        """Return what the joints of two runs cost as they are."""
        total = 0.0
        for i in (a, b):
            mine = choice[i]
            total += sum(float(table[choice[other], mine]) for other, _, table in self._rows[i])
            if i in self._laid:
                total += float(self._laid[i][mine])
            total += STAIR * sum(bool(self._stair(window, choice)) for window in self._windows[i])
        return total

    def too_near(self, choice: Choice) -> float:
        """Return what joints too near cost in all; 0 just where they all lie apart."""
        total = 0.0
        for i, of in self._rows.items():
            mine = choice[i]
            total += sum(float(table[choice[other], mine]) for other, _, table in of if other > i)
            if i in self._laid:
                total += float(self._laid[i][mine])
        return total

    def stairs(self, choice: Choice) -> int:
        """Return how many stairs there are, where they count."""
        found = {window for of in self._windows.values() for window in of}
        return sum(bool(self._stair(window, choice)) for window in found)

    def _stair(self, window: Window, choice: Choice, free: int = -1) -> Any:
        """Return whether four runs make a stair, for all first pieces of one of them where one is free."""
        length = self.problem.product.length
        at = [self.phase[i] if i == free else self._phase_of(i, choice) for i in window]
        shifts = [at[1] - at[0], at[2] - at[1], at[3] - at[2]]
        half = length // 2
        one = np.abs((shifts[0] - shifts[1] + half) % length - half) < ALIKE
        other = np.abs((shifts[1] - shifts[2] + half) % length - half) < ALIKE
        return one & other

    def _phase_of(self, i: int, choice: Choice) -> Any:
        run = self.problem.runs[i]
        return run.left + run.laid if run.laid is not None else self.phase[i][choice[i]]

    def never_apart(self) -> tuple[int, int, int] | None:
        """Return two runs whose joints cannot lie as far apart as asked, and how far they can (1/4064 inch), if there are any."""
        for i, of in self._rows.items():
            for other, least, table in of:
                if table.min() > 0:
                    return i, other, least - round(float(table.min()) / JOINTS * self.problem.product.step)
        return None
