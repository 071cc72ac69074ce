"""At a fixed number of planks, the cuts that forgive most: no stair steps, then the largest smallest rest, then wide joints.

The smallest rest is what a plank of two pieces still has when both are cut: with a rest of 1/2 in a wall may be that much off.
Each round asks the annealing for a little more than the best has, halving what is asked when it fails.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from crewjobs.domain.units import INCH
from crewjobs.engines.laying.annealing import Annealing
from crewjobs.engines.laying.bounds import most_spare
from crewjobs.engines.laying.layouts import layout_of
from crewjobs.engines.laying.model import Layout, Problem
from crewjobs.engines.laying.nearness import Tables
from crewjobs.engines.laying.pairing import Part

ENOUGH: Final = 2 * INCH
"""A rest with which no wall is too far off: more is not asked for (common practice, no source)."""
SWEEPS: Final = ((60, 150), (400, 800))
"""Sweeps of a try and of the one after it, the first time through and the second."""
TRIES: Final = 2
"""Tries in which something is to be had."""
WARM: Final = 6.0
"""How warm a try begins: what is there already is kept by and large."""

Better = tuple[Layout, Mapping[int, Part] | None]


@dataclass(slots=True)
class _Asked:
    """Something to have more of: the most it has been had, the least it could not be had, and the grid."""

    had: int
    most: int
    grid: int
    failed: int = 0

    @property
    def done(self) -> bool:
        return self.most - self.had < self.grid

    @property
    def middle(self) -> int:
        return max(self.had + self.grid, (self.had + self.most) // 2 // self.grid * self.grid)

    def missed(self, value: int) -> None:
        """Note that it was not had; after two tries no more than less than that is asked for."""
        self.failed += 1
        if self.failed >= TRIES:
            self.failed, self.most = 0, value - self.grid

    def got(self, value: int) -> None:
        """Note how much was had."""
        self.failed, self.had = 0, max(self.had, value)


class Forgiving:
    """Rounds that make a layout more forgiving; the same layout and seed give the same rounds."""

    def __init__(self, problem: Problem, *, seed: int = 0, tables: Tables | None = None) -> None:
        """Begin; `tables` are those of an annealing of this problem."""
        self.problem = problem
        self._seed = seed
        self._tables: Tables = {} if tables is None else tables
        self._stage = 0
        self._asked: _Asked | None = None
        self._tries = 0
        self._time = 0
        self.done = False

    def begin_again(self) -> None:
        """Forget what was asked for: there are fewer planks now."""
        self._stage, self._asked, self._tries, self._time, self.done = 0, None, 0, 0, False

    def round(self, best: Layout, parts: Mapping[int, Part] | None, stop: Callable[[], bool]) -> Better | None:
        """Ask for a little more once; return the better layout with the parts of its pieces, if there is one."""
        if self._stage == 0:
            return self._break_stairs(best, parts, stop)
        asked = self._asked or self._ask(best)
        if asked is None or asked.done:
            self._next(best)
            return None
        value = asked.middle
        product = self.problem.product
        spare, stagger, second = best.spare or 0, product.stagger, product.second_row
        if self._stage == 1:
            spare = value
        else:
            stagger = max(stagger, best.stagger or 0)
        if self._stage == 2:
            stagger = value
        if self._stage == 3:
            second = value
        found = self._try(best, parts, min(spare, ENOUGH), stagger, second, SWEEPS[self._time][asked.failed], stop)
        if found is None:
            if not stop():
                asked.missed(value)
            return None
        layout = found[0]
        reached = (layout.spare, layout.stagger, layout.second)[self._stage - 1] or 0
        asked.got(max(value, min(reached, asked.most)))
        return found

    def _ask(self, best: Layout) -> _Asked | None:
        """Return what this stage asks for."""
        product = self.problem.product
        step = product.step
        if self._stage == 1 and best.spare is not None:
            self._asked = _Asked(best.spare, min(ENOUGH, most_spare(self.problem, best.planks)), step)
        elif self._stage == 2 and best.stagger is not None:
            self._asked = _Asked(best.stagger, product.length // 2, 4 * step)
        elif self._stage == 3 and best.second is not None and best.stagger is not None:
            self._asked = _Asked(best.second, best.stagger, 4 * step)
        return self._asked

    def _next(self, best: Layout) -> None:
        self._stage, self._asked, self._tries = self._stage + 1, None, 0
        if self._stage > 3:
            self._stage, self._time = 0, self._time + 1
            self.done = self._time == len(SWEEPS)
        elif self._ask(best) is None:
            self._next(best)

    def _break_stairs(self, best: Layout, parts: Mapping[int, Part] | None, stop: Callable[[], bool]) -> Better | None:
        if best.stairs == 0 or self._tries > 2:
            self._next(best)
            return None
        self._tries += 1
        product = self.problem.product
        return self._try(best, parts, 0, product.stagger, product.second_row, SWEEPS[self._time][0] * self._tries, stop)

    def _try(
        self,
        best: Layout,
        parts: Mapping[int, Part] | None,
        spare: int,
        stagger: int,
        second: int,
        sweeps: int,
        stop: Callable[[], bool],
    ) -> Better | None:
        """Anneal from the best toward more; return a layout if it is better."""
        product = self.problem.product
        stricter = replace(product, stagger=min(stagger, product.length // 2), second_row=second)
        problem = replace(self.problem, product=stricter)
        kept = {product.stagger, product.second_row, stricter.stagger, stricter.second_row}
        for key in [key for key in self._tables if key[-1] not in kept]:
            del self._tables[key]
        annealing = Annealing(problem, seed=self._seed, spare=spare, stairs=True, tables=self._tables)
        annealing.begin(list(best.starts), best.planks, parts)
        annealing.stairs_allowed = max(0, best.stairs - 1) if self._stage == 0 else best.stairs
        if not annealing.cycle(sweeps, stop, warm=WARM):
            return None
        layout = layout_of(self.problem, annealing.starts(), bound=best.bound, parts=annealing.parts())
        return (layout, annealing.parts()) if merit(layout) > merit(best) else None


def merit(layout: Layout) -> tuple[int, int, int, int, int]:
    """Rank layouts: fewer planks, fewer stair steps, the largest smallest rest that matters, joints apart."""
    return (
        -layout.planks,
        -layout.stairs,
        min(layout.spare if layout.spare is not None else ENOUGH, ENOUGH),
        layout.stagger if layout.stagger is not None else 0,
        layout.second if layout.second is not None else 0,
    )
