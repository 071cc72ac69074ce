"""What no layout opens fewer planks than: by material, by prices on lengths, and by counting how many runs start how.

Leaving joints aside, all that counts of a run is its length, and all that counts of a layout is how many runs of each length
start with which piece. A pairing exists just when it fails for no length v (see `annealing`), so that one whole number for
each length and first piece, with one inequality a length v, gives the least number of planks exactly: a small model where
pieces and planks are no variables. Pieces from wall to wall so short that three could come from one plank are left out of
it and counted by their material.
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil
from typing import Any, Final

from crewjobs.engines.laying.model import Problem, Profile
from crewjobs.engines.laying.options import options
from crewjobs.engines.scheduling.solver import POLL_SECONDS, library

EFFORT: Final = 6.0
"""The solver's deterministic time for the exact count without joints."""
STEPS: Final = 250
"""Times prices are moved."""


@dataclass(frozen=True, slots=True)
class _Way:
    """A first piece of runs so long: between which lengths it adds to the failure, and the planks it takes besides."""

    s: int
    t: int
    planks: int
    pieces: int


def by_material(problem: Problem) -> int:
    """Return the planks that the lengths and the cuts fill, with offcuts at hand used up."""
    product = problem.product
    length, kerf = product.length, product.kerf
    lengths = [run.length for run in problem.runs if run.laid is None]
    needed = sum(lengths) + kerf * sum(-(-one // length) for one in lengths)
    needed -= sum(one.length + kerf for one in problem.offcuts)
    return max(0, -(-needed // (length + kerf)))


class Counted:
    """The problem as counts: how many runs of each length, and what each first piece does to the pairing."""

    def __init__(self, problem: Problem) -> None:
        product = problem.product
        self.problem = problem
        self.size = product.steps + 2
        self.counts = Counter(run.length for run in problem.runs if run.laid is None)
        self.whole = self.counts.pop(product.length, 0)
        shortest = min([product.min_piece, *self.counts])
        at_hand = max((one.length for one in problem.offcuts), default=0)
        self.small = {
            n
            for n in self.counts
            if n + 2 * shortest + 2 * product.kerf <= product.length or n + shortest + product.kerf <= at_hand
        }
        self.small = {n for n in self.small if n < product.length}
        self.singles = [n for n in self.counts if n < product.length and n not in self.small]
        self.long = {n: list(self._ways(n)) for n in self.counts if n > product.length}
        self.held = [min(one.length // product.step + 1, self.size - 1) for one in problem.offcuts if one.starts]

    def _ways(self, length: int) -> Iterator[_Way]:
        product = self.problem.product
        for one in options(product, length):
            left = product.length - product.kerf - one.end
            yield _Way(
                s=self.size - 1 if one.start >= product.length else one.step + 1,
                t=0 if left < 0 else left // product.step + 1,
                planks=one.full + 1,
                pieces=one.full + 2,
            )

    def single(self, length: int) -> tuple[int, int]:
        """Return where a piece from wall to wall lies as a start and as an end."""
        product = self.problem.product
        left = product.length - product.kerf - length
        return -(-length // product.step) + 1, 0 if left < 0 else left // product.step + 1

    @property
    def free_ends(self) -> int:
        """Return how many offcuts at hand may end a row: each saves a plank at most."""
        return sum(not one.starts for one in self.problem.offcuts)


def by_counting(problem: Problem, *, effort: float = EFFORT, stop: Callable[[], bool] = lambda: False) -> int:
    """Return the least number of planks when joints are left aside, or as much of it as the effort proves.

    Exact where no three pieces come from one plank, cuts are on the product's grid and planks have a click profile; with
    square ends it is no bound, and the material's is returned.
    """
    least = by_material(problem)
    if problem.product.profile is Profile.NONE:
        return least
    counted = Counted(problem)
    cp = library()
    model = cp.CpModel()
    planks = _model(counted, model)
    model.minimize(planks)
    solver = cp.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    solver.parameters.linearization_level = 2
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.max_deterministic_time = effort
    with _watched(solver, stop):
        solver.solve(model)
    bound = solver.best_objective_bound
    if 0 < bound < 1e9:
        least = max(least, ceil(bound - 1e-6) - counted.free_ends)
    return least


def _model(counted: Counted, model: Any) -> Any:
    """Build the counting model; return the variable of planks."""
    problem = counted.problem
    product = problem.product
    kerf = product.kerf
    most = sum(counted.counts.values()) + len(problem.offcuts) + 1
    at: dict[int, list[Any]] = {}
    planks: list[Any] = [counted.whole]
    material: list[Any] = [counted.whole * (product.length + kerf)]
    for length, number in counted.counts.items():
        if length in counted.long:
            ways = counted.long[length]
            of = [model.new_int_var(0, number, "") for _ in ways]
            model.add(sum(of) == number)
            for way, x in zip(ways, of, strict=True):
                at.setdefault(way.t, []).append(x)
                at.setdefault(way.s, []).append(-x)
                planks.append(way.planks * x)
                material.append((length + kerf * way.pieces) * x)
            continue
        material.append(number * (length + kerf))
        if length not in counted.small:
            s, t = counted.single(length)
            starting = model.new_int_var(0, number, "")
            at.setdefault(0, []).append(starting)
            at.setdefault(s, []).append(-starting)
            at.setdefault(t, []).append(number - starting)
    for t in counted.held:
        at.setdefault(t, []).append(1)
    alone = model.new_int_var(0, most, "")  # ends that stay alone, and starts that are pieces from wall to wall
    failure: Any = 0
    for v in sorted(at):
        after = model.new_int_var(-most, most, "")
        model.add(after == failure + sum(at[v]))
        model.add(after <= alone)
        failure = after
    total = model.new_int_var(0, most + sum(n // product.length * c for n, c in counted.counts.items()) + counted.whole, "")
    model.add(total == sum(planks) + alone - len(counted.held))
    at_hand = sum(one.length + kerf for one in problem.offcuts)
    model.add((total * (product.length + kerf)) + at_hand >= sum(material))
    return total


def by_prices(problem: Problem) -> int:
    """Return a bound without the solver: prices on lengths, moved toward where pairings fail (numpy, a few hundredths of a second).

    With prices p(v) >= 0 that sum to 1 and P(x) their sum below x, a start s counts P(s) and an end that leaves t counts
    1 - P(t): a plank of one of each counts 1 at most, so that the counts of all pieces, at their least, bound the planks.
    """
    least = by_material(problem)
    counted = Counted(problem)
    if problem.product.profile is Profile.NONE or not counted.long:
        return least
    import numpy as np

    ways = [
        (
            counted.counts[length],
            np.array([way.s for way in of], dtype=np.intp),
            np.array([way.t for way in of], dtype=np.intp),
            np.array([way.planks for way in of], dtype=np.float64),
        )
        for length, of in counted.long.items()
    ]
    singles = [(counted.counts[length], *counted.single(length)) for length in counted.singles]
    price = np.full(counted.size, 1.0 / counted.size)
    runs = sum(number for number, *_ in ways) + sum(number for number, *_ in singles)
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
        for number, s, t in singles:
            value += number * min(float(below[s]), 1.0 - float(below[t]))
            if below[s] <= 1.0 - below[t]:
                failure[:s] += number
            else:
                failure[t:] += number
        for t in counted.held:
            value += 1.0 - float(below[t])
            failure[t:] += 1
        best = max(best, value - counted.free_ends)
        price = price * np.exp(failure / runs * (4.0 / (1.0 + 0.1 * step)))
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
