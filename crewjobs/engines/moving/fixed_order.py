"""The best places for a given order, by a small model of flows: each kind of piece flows from stage to stage.

Ways that cost so much more than the bound that no better plan takes them are left out beforehand (reduced costs). The
solver (OR-Tools) is loaded only here.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Ints, Kinds, Step, numbers
from crewjobs.engines.moving.priced import Priced
from crewjobs.engines.scheduling.solver import POLL_SECONDS, library


@dataclass(frozen=True, slots=True)
class Solved:
    """What came of it: `at[i, t]` by piece in the order of kinds, None where nothing cheaper than the limit was found.

    `bound` is what no plan in this order costs less than; it is the limit where it was proved that there is none below.
    """

    at: Ints | None
    cost: int
    bound: int


def solve_order(
    kinds: Kinds, order: Sequence[Step], prices: Priced, below: int, *, effort: float, stop: Callable[[], bool]
) -> Solved:
    """Return the cheapest places of an order that cost less than `below`, setups left out.

    `effort` is the solver's own deterministic time.
    """
    cp_model = library()
    model: Any = cp_model.CpModel()
    flows = _Flows(kinds, order, prices, below, model)
    if flows.impossible:
        return Solved(None, 0, below)
    flows.hold_floor()
    flows.hold_beds()
    lower = int(np.ceil(prices.bound - 1e-6))
    total = flows.cost()
    model.add(total <= below - 1)
    model.add(total >= lower)
    model.minimize(total)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = effort
    solver.parameters.linearization_level = 2
    status = _run(solver, model, stop)
    if status == cp_model.INFEASIBLE:
        return Solved(None, 0, below)
    bound = max(lower, int(np.ceil(solver.best_objective_bound - 1e-6))) if status != cp_model.MODEL_INVALID else lower
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved(flows.read(solver), round(solver.objective_value), bound)
    return Solved(None, 0, min(bound, below))


def _run(solver: Any, model: Any, stop: Callable[[], bool]) -> Any:
    """Solve while another thread asks whether to stop."""
    done = threading.Event()

    def watch() -> None:
        while not done.wait(POLL_SECONDS):
            if stop():
                solver.stop_search()

    thread = threading.Thread(target=watch, daemon=True)
    thread.start()
    try:
        return solver.solve(model)
    finally:
        done.set()
        thread.join()


class _Flows:
    def __init__(self, kinds: Kinds, order: Sequence[Step], prices: Priced, below: int, model: Any) -> None:
        self._kinds, self._order, self._model = kinds, order, model
        self.impossible = False
        self._into: list[dict[tuple[int, int], list[tuple[int, Any]]]] = []
        self._stage = np.array([kinds.stage(step) for step in order], dtype=np.int64)
        spare = below - 1 - prices.bound + 1e-6
        alone = prices.alone
        before = np.where(kinds.start >= NEVER, np.inf, 0.0)
        for t in range(len(order)):
            total = before[:, :, None] + kinds.moves + (prices.stages[t] + prices.backward[t])[:, None, :]
            kept = (total - alone[:, None, None] <= spare) & (self._stage[t] < NEVER)[:, None, :]
            arcs: dict[tuple[int, int], list[tuple[int, Any]]] = {}
            for k, a, b in zip(*(axis.tolist() for axis in np.nonzero(kept)), strict=True):
                count = int(kinds.count[k])
                arcs.setdefault((k, b), []).append((a, model.new_int_var(0, count, f"f{k}.{t}.{a}.{b}")))
            self._into.append(arcs)
            before = prices.forward[t]
        self._stands: list[dict[tuple[int, int], Any]] = []
        self._balance()

    def _balance(self) -> None:
        kinds, model = self._kinds, self._model
        for t, arcs in enumerate(self._into):
            at: dict[tuple[int, int], Any] = {}
            for (k, b), into in arcs.items():
                at[k, b] = model.new_int_var(0, int(kinds.count[k]), f"y{k}.{t}.{b}")
                model.add(at[k, b] == sum(flow for _, flow in into))
            for k in range(len(kinds.count)):
                here = [var for (kind, _), var in at.items() if kind == k]
                if not here:
                    self.impossible = True
                    return
                model.add(sum(here) == int(kinds.count[k]))
            if t:
                leaving: dict[tuple[int, int], list[Any]] = {}
                for (k, _), into in arcs.items():
                    for a, flow in into:
                        leaving.setdefault((k, a), []).append(flow)
                for key, var in self._stands[-1].items():
                    model.add(var == sum(leaving.get(key, [])))
            self._stands.append(at)

    def hold_floor(self) -> None:
        """Hold every place's capacity, less where the crew walks through on the way it takes."""
        kinds, model = self._kinds, self._model
        for t, (step, at) in enumerate(zip(self._order, self._stands, strict=True)):
            always = kinds.access.always(step.worked, step.curing)
            walked: dict[int, Any] = {}
            for ways in kinds.access.ways(step.worked, step.curing):
                open_ways = sorted({way & ~always for way in ways})
                if 0 in open_ways:
                    continue
                takes = [model.new_bool_var(f"way{t}.{way}") for way in open_ways]
                model.add_exactly_one(takes)
                for way, taken in zip(open_ways, takes, strict=True):
                    for place in numbers(way):
                        if place not in walked:
                            walked[place] = model.new_bool_var(f"walked{t}.{place}")
                        model.add_implication(taken, walked[place])
            for place in range(kinds.size[1]):
                load = [int(kinds.footprint[k]) * var for (k, b), var in at.items() if b == place]
                if not load:
                    continue
                full, narrow = int(kinds.capacity[place]), int(min(kinds.capacity[place], kinds.as_passage[place]))
                if always >> place & 1:
                    model.add(sum(load) <= narrow)
                elif place in walked:
                    model.add(sum(load) <= full - (full - narrow) * walked[place])
                else:
                    model.add(sum(load) <= full)

    def hold_beds(self) -> None:
        """Hold how many beds stand where people sleep."""
        kinds = self._kinds
        if kinds.problem.beds:
            for at in self._stands:
                slept = [var for (k, b), var in at.items() if kinds.bed[k] and kinds.sleeps[b]]
                self._model.add(sum(slept) >= kinds.problem.beds)

    def cost(self) -> Any:
        """Return what all flows cost."""
        kinds = self._kinds
        terms = []
        for t, arcs in enumerate(self._into):
            for (k, b), into in arcs.items():
                for a, flow in into:
                    each = int(kinds.moves[k, a, b] + self._stage[t, k, b])
                    if t == len(self._into) - 1:
                        each += int(kinds.homeward[k, b])
                    if each:
                        terms.append(each * flow)
        return sum(terms)

    def read(self, solver: Any) -> Ints:
        """Return where every piece stands: of a kind each goes on from where it is, as many as flow from there."""
        kinds = self._kinds
        rows: list[list[int]] = []
        for k, count in enumerate(kinds.count):
            here = [int(kinds.home[k])] * int(count)
            paths: list[list[int]] = [[] for _ in here]
            for arcs in self._into:
                left = {
                    (a, b): int(solver.value(flow)) for (kind, b), into in arcs.items() if kind == k for a, flow in into
                }
                for i, place in enumerate(here):
                    to = next(b for (a, b), many in sorted(left.items()) if a == place and many)
                    left[place, to] -= 1
                    here[i] = to
                    paths[i].append(to)
            rows += paths
        return np.array(rows, dtype=np.int64).reshape(len(rows), len(self._order))
