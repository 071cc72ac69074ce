"""The search for the fewest planks, then for the most forgiving cuts at that number.

It begins with a layout made row by row. Rounds of annealing then aim at the bound, or at one plank less than the best, longer
every time; a layout at the bound is the proof. With the number found (or between tries where it is not proved) rounds go on
that keep the number and ask for more: no stair steps, a larger smallest rest, joints farther apart.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import format_length
from crewjobs.engines.laying import bounds
from crewjobs.engines.laying.first import first_starts, rule_of_thumb
from crewjobs.engines.laying.layouts import count_planks, faults_between, layout_of
from crewjobs.engines.laying.model import Kind, Layout, Problem, Status
from crewjobs.engines.laying.options import check, options
from crewjobs.engines.laying.pairing import Part
from crewjobs.engines.scheduling.solver import available

if TYPE_CHECKING:
    from crewjobs.engines.laying.annealing import Annealing
    from crewjobs.engines.laying.forgiving import Forgiving

Found = Callable[[Layout], None]
"""Told of every better layout."""
Stop = Callable[[], bool]

QUICK: Final = 40
"""Sweeps of the first short cycles."""
SWEEPS: Final = (120, 200, 300, 450, 700, 1000, 1500)
"""Sweeps of the cycles toward one number; the last is repeated."""
EFFORT: Final = 0.5
"""The solver's deterministic time in which it is first counted what the bound is."""
LONG_EFFORT: Final = 10.0
"""The same for the count that goes on beside the tries."""
FIRST_COUNT, COUNT_BEGINS, COUNT_ENDS = 2, 3, 12
"""After which tries it is counted first, when the long count begins, and when it is waited for."""
REPAIRS: Final = 8
"""Cycles in which joints are looked for that lie apart, before it is said that there are none."""


class Search:
    """A search that goes on as long as it is asked to; the same number of rounds in one run gives the same layout."""

    def __init__(self, problem: Problem, *, seed: int = 0, begin: Sequence[int] | None = None) -> None:
        """Begin a search; `begin` are first pieces known already (one a run), such as those planned before.

        Raises:
            Refused: a run that no cut keeps above the shortest piece.
        """
        check(problem.product, problem.runs)
        self._known = None if begin is None else _as_allowed(problem, begin)
        self.problem = problem
        self.best: Layout | None = None
        self.bound = bounds.by_material(problem)
        self.rounds = 0
        self._seed = seed
        self._annealing: Annealing | None = None
        self._forgiving: Forgiving | None = None
        self._parts: Mapping[int, Part] | None = None
        self._tries = 0
        self._counted = False
        self._counting: bounds.Counting | None = None
        self._turn = 0

    def run(self, *, rounds: int | None = None, stop: Stop = lambda: False, found: Found | None = None) -> Layout:
        """Search until nothing can be improved, so many rounds are over or `stop` says so; return the best layout.

        Raises:
            Refused: there seems to be no layout whose joints lie apart as asked.
        """
        tell = found or (lambda _: None)
        if self.best is None:
            self._begin(stop, tell)
        try:
            while not self.done and not stop():
                if rounds is not None and self.rounds >= rounds:
                    break
                self.rounds += 1
                self._round(stop, tell)
        finally:
            if self._counting is not None:  # what comes of it does not depend on how far it is
                self._counting.end()
                self._counting = None
        return self.layout()

    def layout(self) -> Layout:
        """Return the best layout found so far."""
        if self.best is None:
            return Layout(status=Status.UNKNOWN, bound=self.bound)
        bound = min(self.bound, self.best.planks)
        status = Status.PROVED if self.best.planks <= bound else Status.FOUND
        return replace(self.best, bound=bound, status=status)

    @property
    def done(self) -> bool:
        """Return whether the count is proved and its cuts are as forgiving as this search makes them."""
        if self.best is None or not self.best.pieces:
            return self.best is not None
        return self.best.planks <= self.bound and self._forgiving is not None and self._forgiving.done

    # ------------------------------------------------------------------ first layout

    def _begin(self, stop: Stop, found: Found) -> None:
        """Make a first layout that keeps all rules and takes no more than the rule of thumb, and bound the number."""
        starts = first_starts(self.problem)
        if all(run.laid is not None or run.length <= self.problem.product.length for run in self.problem.runs):
            self._short_only(starts, found)
            return
        self.bound = max(self.bound, bounds.by_prices(self.problem))
        thumb = rule_of_thumb(self.problem)
        known = [] if self._known is None else [self._known]
        ways = [list(one) for one in (*known, starts, thumb.starts) if faults_between(self.problem, one) == 0]
        if ways:
            starts = min(ways, key=lambda one: count_planks(self.problem, one))
            if thumb.kept and thumb.planks < count_planks(self.problem, starts):
                # pieces from wall to wall may go together better as they are cut one after the other
                starts = list(thumb.starts)
                self._keep(layout_of(self.problem, starts, bound=self.bound, bins=thumb.bins), None, found)
            self._take(starts, None, found)
        annealing = self._anneal()
        target = max(self.bound, thumb.planks)
        if self.best is None or self.best.planks > target:
            annealing.begin(starts, target if self.best is None else min(target, self.best.planks - 1))
            for more in range(REPAIRS):
                if annealing.cycle(QUICK * (1 + more), stop):
                    self._take(annealing.starts(), annealing.parts(), found)
                    break
                annealing.aim(annealing.target + (more >= 2 and self.best is None) * (1 + annealing.target // 10))
                if stop():
                    return
        else:
            annealing.begin(starts, self.best.planks)
        if self.best is None:
            self._repair(annealing, stop, found)

    def _repair(self, annealing: Annealing, stop: Stop, found: Found) -> None:
        """Look for joints that lie apart, whatever planks they take.

        Raises:
            Refused: none was found.
        """
        annealing.aim(
            2 * len(annealing.long) + sum(one.length // self.problem.product.length for one in self.problem.runs) + 9
        )
        for more in range(REPAIRS):
            if annealing.cycle(QUICK * (2 + more), stop):
                self._take(annealing.starts(), annealing.parts(), found)
            if self.best is not None or stop():
                return
        raise Refused(self._why_none(annealing))

    def _why_none(self, annealing: Annealing) -> str:
        product, runs = self.problem.product, self.problem.runs
        shortest = format_length(product.min_piece)
        pair = annealing.near.never_apart()
        if pair is None:
            return (
                f"no layout was found with joints {format_length(product.stagger)} apart and no piece under {shortest}: "
                "allow joints nearer to each other, shorter pieces, or turn the rows."
            )
        first, second = sorted(runs[i].row + 1 for i in pair[:2])
        return (
            f"with no piece under {shortest} joints of rows {first} and {second} come at most {format_length(pair[2])} apart: "
            "allow that, shorter pieces, or turn the rows."
        )

    def _short_only(self, starts: list[int], found: Found) -> None:
        """All runs are single pieces from wall to wall, or laid: packing them is all there is."""
        self.bound = max(self.bound, bounds.by_whole_pieces(self.problem))
        self.best = layout_of(self.problem, starts, bound=self.bound)
        found(self.layout())

    def _anneal(self) -> Annealing:
        if self._annealing is None:
            from crewjobs.engines.laying.annealing import Annealing

            self._annealing = Annealing(self.problem, seed=self._seed)
        return self._annealing

    # ------------------------------------------------------------------ rounds

    def _round(self, stop: Stop, found: Found) -> None:
        assert self.best is not None
        open_ = self.best.planks > self.bound
        if open_ and self._tries == FIRST_COUNT and not self._counted and available():
            self._counted = True
            self._raise_bound(bounds.by_counting(self.problem, effort=EFFORT, stop=stop, seed=self._seed), found)
        elif open_ and self._tries == COUNT_ENDS and self._counting is not None:
            self._raise_bound(self._counting.result(stop), found)
            self._counting.end()
            self._counting = None
        elif open_ and (self._tries < 6 or self._turn % 3 or self._forgive().done):
            self._turn += 1
            self._fewer(stop, found)
        else:
            self._turn += 1
            layout = self._forgive().round(self.best, self._parts, stop)
            if layout is not None:
                self.best, self._parts = layout
                found(self.layout())

    def _raise_bound(self, count: bounds.Count | None, found: Found) -> None:
        assert self.best is not None
        if count is not None and count.bound > self.bound:
            self.bound = min(count.bound, self.best.planks)
            found(self.layout())

    def _fewer(self, stop: Stop, found: Found) -> None:
        """Aim at the bound, half way to it, or at one plank less than the best, by turns."""
        assert self.best is not None
        if self._tries == COUNT_BEGINS and available():
            self._counting = bounds.Counting(self.problem, effort=LONG_EFFORT, seed=self._seed)
        best, annealing = self.best.planks, self._anneal()
        target = (self.bound, (self.bound + best) // 2, best - 1)[self._tries % 3]
        annealing.aim(target)
        sweeps = SWEEPS[min(self._tries // 3, len(SWEEPS) - 1)]
        self._tries += 1
        if annealing.cycle(sweeps, stop) or annealing.too_near() == 0:  # a miss may still take fewer than the best
            self._take(annealing.starts(), annealing.parts(), found)

    def _forgive(self) -> Forgiving:
        assert self.best is not None
        if self._forgiving is None:
            from crewjobs.engines.laying.forgiving import Forgiving

            self._forgiving = Forgiving(self.problem, seed=self._seed, tables=self._anneal().tables)
        return self._forgiving

    def _take(self, starts: list[int], parts: Mapping[int, Part] | None, found: Found) -> None:
        """Keep a layout if it takes fewer planks than the best."""
        ways = [parts, None] if parts is not None else [None, self._as_starts()]
        best = min(ways, key=lambda one: count_planks(self.problem, starts, one))
        self._keep(layout_of(self.problem, starts, bound=self.bound, parts=best), best, found)

    def _keep(self, layout: Layout, parts: Mapping[int, Part] | None, found: Found) -> None:
        if self.best is None or layout.planks < self.best.planks:
            self.best, self._parts = layout, parts
            if self._forgiving is not None:
                self._forgiving.begin_again()
            found(self.layout())

    def _as_starts(self) -> dict[int, Part]:
        """Let all pieces from wall to wall stand for starts."""
        length = self.problem.product.length
        return {
            i: Part(Kind.START) for i, run in enumerate(self.problem.runs) if run.laid is None and run.length < length
        }


def _as_allowed(problem: Problem, begin: Sequence[int]) -> list[int]:
    """Return first pieces where they are allowed, else the nearest that are."""
    product = problem.product
    found = []
    for run, start in zip(problem.runs, begin, strict=True):
        if run.laid is not None:
            found.append(run.laid)
        elif run.length <= product.length:
            found.append(run.length)
        else:
            found.append(min((one.start for one in options(product, run.length)), key=lambda one: abs(one - start)))
    return found
