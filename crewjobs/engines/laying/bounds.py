"""What no layout opens fewer planks than: by material, by prices on lengths, and by counting how many runs start how.

Leaving joints aside, all that counts of a run is its length, and all that counts of a layout is how many runs of each length
start with which piece. A pairing exists just when it fails for no length v (see `annealing`), so that one whole number for
each length and first piece, with one inequality a length v, gives the least number of planks: a small model in which neither
pieces nor planks are variables. Of the joints it holds what counts can say: among rows alike, one above the other, no two
neighbours start within the stagger of each other, so that no more than every other row starts there.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any, Final

from crewjobs.engines.laying.counting import Block, Counted, Single, Way
from crewjobs.engines.laying.model import Kind, Problem, Profile
from crewjobs.engines.laying.pairing import Part
from crewjobs.engines.scheduling.solver import POLL_SECONDS, library

STEPS: Final = 250
"""Times prices are moved."""


@dataclass(frozen=True, slots=True)
class Count:
    """A bound on the planks; `starts` and `parts` are first pieces with that count, joints not all apart."""

    bound: int
    starts: tuple[int, ...] | None = None
    parts: Mapping[int, Part] | None = None


def by_material(problem: Problem) -> int:
    """Return the planks that the lengths and the cuts fill, with offcuts at hand used up."""
    product = problem.product
    length, kerf = product.length, product.kerf
    lengths = [run.length for run in problem.runs if run.laid is None]
    needed = sum(lengths) + kerf * sum(-(-one // length) for one in lengths)
    needed -= sum(one.length + kerf for one in problem.offcuts)
    return max(0, -(-needed // (length + kerf)))


def by_whole_pieces(problem: Problem) -> int:
    """Return the planks that pieces from wall to wall alone take, however they go together: those of which no two fit count one each.

    For a size a, pieces over a plank less a stand alone, those over half a plank have no other such beside them, and of those from a
    to half a plank as much goes beside as there is room (Martello and Toth, Knapsack Problems, 1990, bound L2 of bin packing).
    """
    product = problem.product
    whole = product.length + product.kerf
    sizes = sorted(
        run.length + product.kerf for run in problem.runs if run.laid is None and run.length <= product.length
    )
    best = 0
    for least in {0, *(size for size in sizes if 2 * size <= whole)}:
        alone = sum(size > whole - least for size in sizes)
        large = [size for size in sizes if whole < 2 * size and size <= whole - least]
        small = sum(size for size in sizes if least <= size and 2 * size <= whole)
        over = small - sum(whole - size for size in large)
        best = max(best, alone + len(large) + max(0, -(-over // whole)))
    return max(0, best - len(problem.offcuts))


def most_spare(problem: Problem, planks: int) -> int:
    """Return a length that the smallest rest of the planks several pieces come from cannot exceed with so many planks.

    All that is left over, shared by the fewest such planks there can be. Where more than two pieces may come from a plank, or
    offcuts are at hand, the plank's length: no bound.
    """
    product, counted = problem.product, Counted(problem)
    several = counted.loose or any(single.along is not None for single in counted.singles)
    if several or problem.offcuts or product.profile is Profile.NONE:
        return product.length
    singles = sum(single.number for single in counted.singles)
    shared = counted.whole + singles - planks
    left = (planks - counted.whole) * (product.length + product.kerf)
    left -= sum(single.number * (single.length + product.kerf) for single in counted.singles)
    for block in counted.blocks:
        ways = counted.ways[block.length]
        shared += block.number * (min(way.planks for way in ways) + 1)
        left -= block.number * (block.length + product.kerf * min(way.pieces for way in ways))
    return min(product.length, left // shared) if shared > 0 else product.length


def by_counting(problem: Problem, *, effort: float, stop: Callable[[], bool] = lambda: False, seed: int = 0) -> Count:
    """Return the least number of planks by counts, or as much of it as the effort proves.

    It holds for cuts on the product's grid and a click profile; with square ends the material's bound is returned.
    """
    least = by_material(problem)
    if problem.product.profile is Profile.NONE:
        return Count(least)
    model = _Model(Counted(problem))
    solver = library().CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.catch_sigint_signal = False
    solver.parameters.linearization_level = 2
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.max_deterministic_time = effort
    with _watched(solver, stop):
        solver.solve(model.cp)
    bound = solver.best_objective_bound
    if 0 < bound < 1e9:
        least = max(least, ceil(bound - 1e-6))
    starts, parts = model.read(solver) if solver.response_proto.solution else (None, None)
    return Count(least, starts, parts)


class Counting:
    """`by_counting` in a thread of its own; the solver leaves the interpreter free meanwhile."""

    def __init__(self, problem: Problem, *, effort: float, seed: int) -> None:
        self._ended = threading.Event()
        self._count: Count | None = None
        self._fault: BaseException | None = None
        self._thread = threading.Thread(target=self._run, args=(problem, effort, seed), daemon=True)
        self._thread.start()

    def _run(self, problem: Problem, effort: float, seed: int) -> None:
        try:
            self._count = by_counting(problem, effort=effort, seed=seed, stop=self._ended.is_set)
        except BaseException as fault:  # noqa: BLE001  # raised again in the caller's thread
            self._fault = fault

    def result(self, stop: Callable[[], bool]) -> Count | None:
        """Wait for the count and return it; None if `stop` says so before."""
        while self._thread.is_alive():
            if stop():
                self.end()
                return None
            self._thread.join(POLL_SECONDS)
        if self._fault is not None:
            raise self._fault
        return self._count

    def end(self) -> None:
        """End it; nothing comes of it."""
        self._ended.set()
        self._thread.join()


class _Model:
    """The counting model: variables, the failure of the pairing from length to length, and the planks."""

    def __init__(self, counted: Counted) -> None:
        self.counted = counted
        self.cp = library().CpModel()
        self.at: dict[int, list[Any]] = {}
        self.planks: list[Any] = [counted.whole]
        product = counted.problem.product
        self.kerf, self.length = product.kerf, product.length
        self.material: list[Any] = [counted.whole * (self.length + self.kerf)]
        self.material += [length + self.kerf for length in counted.loose]
        self.of: list[tuple[Block, dict[int, Any]]] = [(block, self._block(block)) for block in counted.blocks]
        self.roles: list[tuple[Single, Any, Any]] = [self._single(single) for single in counted.singles]
        for t in counted.held:
            self._add(t, 1)
        for s in counted.ending:
            self._add(s, -1)
        self._total()

    def _add(self, v: int, expression: Any) -> None:
        self.at.setdefault(v, []).append(expression)

    def _block(self, block: Block) -> dict[int, Any]:
        """Add how many runs of a block start with each piece."""
        ways = self.counted.ways[block.length]
        of = {way.step: self.cp.new_int_var(0, block.number, "") for way in ways}
        self.cp.add(sum(of.values()) == block.number)
        for way in ways:
            x = of[way.step]
            self._add(way.t, x)
            self._add(way.s, -x)
            self.planks.append(way.planks * x)
            self.material.append((block.length + self.kerf * way.pieces) * x)
        if block.stacked:
            self._spread(block, ways, of)
        return of

    def _spread(self, block: Block, ways: list[Way], of: dict[int, Any]) -> None:
        """No more than every other row starts within the stagger, no more than every third within the second row's."""
        product = self.counted.problem.product
        low, high = ways[0].step, ways[-1].step
        up_to: dict[int, Any] = {low - 1: 0}
        for step in range(low, high + 1):
            if step in of:
                up_to[step] = self.cp.new_int_var(0, block.number, "")
                self.cp.add(up_to[step] == up_to[step - 1] + of[step])
            else:
                up_to[step] = up_to[step - 1]
        # three rows together lie apart by the smaller of both rules only
        for apart, every in ((product.stagger, 2), (min(product.stagger, product.second_row), 3)):
            most, wide = -(-block.number // every), -(-apart // product.step)
            if wide < 1 or most >= block.number:
                continue
            for step in range(low, high + 1):
                there = up_to[min(step + wide - 1, high)] - up_to[step - 1]
                # a start near a plank's end is as near to the second joint of a row that starts short, if it has one
                past = min(product.start_at(step) + apart, block.length) - self.length
                short = min(-(-past // product.step) - 1, step - 1)
                self.cp.add(there + (up_to[short] if short >= low else 0) <= most)

    def _single(self, single: Single) -> tuple[Single, Any, Any]:
        """Add what pieces from wall to wall do: starts, ends, or guests beside a start."""
        starting = self.cp.new_int_var(0, single.number, "")
        ending = self.cp.new_int_var(0, single.number, "")
        self._add(0, starting)
        self._add(single.s, -starting)
        self._add(single.t, ending)
        self.material.append(single.number * (single.length + self.kerf))
        guests = self._guests(single) if single.along is not None else []
        self.cp.add(starting + ending + sum(x for *_, x in guests) == single.number)
        return single, starting, ending

    def _guests(self, single: Single) -> list[tuple[Block, Way, Any]]:
        product = self.counted.problem.product
        found = []
        room = product.length - 2 * product.kerf - single.length - product.min_piece
        for block, of in self.of:
            for way in self.counted.ways[block.length]:
                if product.start_at(way.step) <= room and single.along is not None:
                    x = self.cp.new_int_var(0, min(block.number, single.number), "")
                    self.cp.add(x <= of[way.step])
                    self._add(way.s, x)
                    self._add(way.s + single.along, -x)
                    found.append((block, way, x))
        return found

    def _total(self) -> None:
        counted, cp = self.counted, self.cp
        most = counted.runs + len(counted.problem.offcuts) + 1
        alone = cp.new_int_var(0, most, "")  # ends that stay alone, and starts that are pieces from wall to wall
        failure: Any = 0
        for v in sorted(self.at):
            after = cp.new_int_var(-most, most, "")
            cp.add(after == failure + sum(self.at[v]))
            cp.add(after <= alone)
            failure = after
        highest = most + counted.whole + sum(b.number * (b.length // self.length + 1) for b in counted.blocks)
        total = cp.new_int_var(0, highest, "")
        cp.add(total == sum(self.planks) + alone - len(counted.held))
        at_hand = sum(one.length + self.kerf for one in counted.problem.offcuts)
        cp.add(total * (self.length + self.kerf) + at_hand >= sum(self.material))
        cp.minimize(total)

    def read(self, solver: Any) -> tuple[tuple[int, ...], dict[int, Part]]:
        """Return first pieces by the counts, every other one of a block from the upper half, and the parts of the others."""
        problem = self.counted.problem
        starts = [run.length if run.laid is None else run.laid for run in problem.runs]
        parts = {
            i: Part(Kind.START) for i, run in enumerate(problem.runs) if run.length < self.length and run.laid is None
        }
        for block, of in self.of:
            steps = [step for step, x in of.items() for _ in range(solver.value(x))]
            half = (len(steps) + 1) // 2
            turn = [0] * len(steps)
            turn[0::2], turn[1::2] = steps[:half], steps[half:]
            for i, step in zip(block.runs, turn, strict=True):
                starts[i] = problem.product.start_at(step)
        for single, starting, _ in self.roles:
            for place, i in enumerate(single.runs):
                parts[i] = Part(Kind.START if place < solver.value(starting) else Kind.END)
        return tuple(starts), parts


def by_prices(problem: Problem) -> int:
    """Return a bound without the solver: prices on lengths, moved to where pairings fail (numpy, some hundredths of a second).

    With prices p(v) >= 0 that sum to 1 and P(x) their sum below x, a start s counts P(s) and an end that leaves t counts
    1 - P(t): a plank of one of each counts 1 at most, so that the counts of all pieces, at their least, bound the planks.
    """
    least = by_material(problem)
    counted = Counted(problem)
    if problem.product.profile is Profile.NONE or not counted.ways:
        return least
    import numpy as np

    ways = [
        (
            sum(block.number for block in counted.blocks if block.length == length),
            np.array([way.s for way in of], dtype=np.intp),
            np.array([way.t for way in of], dtype=np.intp),
            np.array([way.planks for way in of], dtype=np.float64),
        )
        for length, of in counted.ways.items()
    ]
    low = min(way.s for of in counted.ways.values() for way in of)
    price = np.full(counted.size, 1.0 / counted.size)
    best = float(least)
    for step in range(STEPS):
        below = np.concatenate([[0.0], np.cumsum(price)])
        value, failure = float(counted.whole - len(counted.held)), np.zeros(counted.size)
        for number, s, t, planks in ways:
            cost = planks + below[s] - below[t]
            pick = int(cost.argmin())
            value += number * float(cost[pick])
            failure[t[pick] :] += number
            failure[s[pick] :] -= number
        for single in counted.singles:
            ranges = [(0, single.s), (single.t, counted.size)]
            if single.along is not None:
                at = np.arange(low, counted.size - single.along)
                if len(at):
                    first = int(at[(below[at + single.along] - below[at]).argmin()])
                    ranges.append((first, first + single.along))
            begin, end = min(ranges, key=lambda one: float(below[one[1]] - below[one[0]]))
            value += single.number * float(below[end] - below[begin])
            failure[begin:end] += single.number
        for held in counted.held:
            value += 1.0 - float(below[held])
            failure[held:] += 1
        for at_hand in counted.ending:
            value -= 1.0 - float(below[at_hand])
            failure[at_hand:] -= 1
        best = max(best, value)
        price = price * np.exp(failure / max(1, counted.runs) * (4.0 / (1.0 + 0.1 * step)))
        price /= price.sum()
    return max(least, ceil(best - 1e-6))


class _watched:
    """Ask from a thread beside the solver whether it should stop."""

    def __init__(self, solver: Any, stop: Callable[[], bool]) -> None:
        self._done = threading.Event()
        self._thread = threading.Thread(target=self._watch, args=(solver, stop), daemon=True)

    def _watch(self, solver: Any, stop: Callable[[], bool]) -> None:
        while not self._done.wait(POLL_SECONDS):
            if stop():
                solver.stop_search()

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._done.set()
        self._thread.join()
