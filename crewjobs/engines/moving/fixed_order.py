"""The best places for a given order, by a small model of flows: each kind of piece flows from stage to stage.

Ways that cost so much more than the bound that no better plan takes them are left out beforehand (reduced costs). The
solver (OR-Tools) is loaded only here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Ints, Kinds
from crewjobs.engines.moving.priced import Priced
from crewjobs.engines.moving.solving import run
from crewjobs.engines.moving.stage_rules import hold_stage
from crewjobs.engines.moving.step import Step
from crewjobs.engines.scheduling.solver import library


@dataclass(frozen=True, slots=True)
class Solved:
    """What came of it: `at[i, t]` by piece in the order of kinds, None where nothing cheaper than the limit was found.

    `bound` is what no plan in this order costs less than; it is the limit where it was proved that there is none below.
    """

    at: Ints | None
    cost: int
    bound: int


def solve_order(
    kinds: Kinds,
    order: Sequence[Step],
    prices: Priced,
    below: int,
    *,
    effort: float,
    stop: Callable[[], bool],
    kept: Mapping[int, Ints] | None = None,
) -> Solved:
    """Return the cheapest places of an order that cost less than `below`, setups left out.

    `effort` is the solver's own deterministic time. Pieces of kinds in `kept` go where they go there, shape (pieces, stages):
    then the bound says nothing of the order.
    """
    cp_model = library()
    model: Any = cp_model.CpModel()
    flows = _Flows(kinds, order, prices, below, model, kept or {})
    if flows.impossible:
        return Solved(None, 0, below)
    flows.hold()
    lower = int(np.ceil(prices.bound - 1e-6))
    total = flows.cost()
    model.add(total <= below - 1)
    model.add(total >= lower)
    model.minimize(total)
    solver = cp_model.CpSolver()
    solver.parameters.linearization_level = 2
    status = run(solver, model, effort, stop)
    if status == cp_model.INFEASIBLE:
        return Solved(None, 0, below)
    bound = max(lower, int(np.ceil(solver.best_objective_bound - 1e-6))) if status != cp_model.MODEL_INVALID else lower
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved(flows.read(solver), round(solver.objective_value), bound)
    return Solved(None, 0, min(bound, below))


class _Flows:
    def __init__(
        self, kinds: Kinds, order: Sequence[Step], prices: Priced, below: int, model: Any, kept: Mapping[int, Ints]
    ) -> None:
        self._kinds, self._order, self._model, self._kept = kinds, order, model, kept
        self.impossible = False
        self._into: list[dict[tuple[int, int], list[tuple[int, Any]]]] = []
        self._stage = np.array([kinds.stage(step) for step in order], dtype=np.int64)
        spare = below - 1 - prices.bound + 1e-6
        alone = prices.alone
        before = np.where(kinds.start >= NEVER, np.inf, 0.0)
        for t in range(len(order)):
            total = before[:, :, None] + kinds.moves + (prices.stages[t] + prices.backward[t])[:, None, :]
            held = (total - alone[:, None, None] <= spare) & (self._stage[t] < NEVER)[:, None, :]
            held[[*kept]] = False
            arcs: dict[tuple[int, int], list[tuple[int, Any]]] = {}
            for k, a, b in zip(*(axis.tolist() for axis in np.nonzero(held)), strict=True):
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
            for k, rows in self._kept.items():
                for place in rows[:, t].tolist():
                    at[k, place] = at.get((k, place), 0) + 1
            for k in range(len(kinds.count)):
                if k in self._kept:
                    continue
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
                    if key[0] in self._kept:
                        continue
                    model.add(var == sum(leaving.get(key, [])))
            self._stands.append(at)

    def hold(self) -> None:
        """Hold what holds in every stage."""
        for t, (step, at) in enumerate(zip(self._order, self._stands, strict=True)):
            hold_stage(self._model, self._kinds, step, at, str(t))

    def cost(self) -> Any:
        """Return what all flows cost."""
        kinds = self._kinds
        terms: list[Any] = [self._of_kept()]
        for t, arcs in enumerate(self._into):
            for (k, b), into in arcs.items():
                for a, flow in into:
                    each = int(kinds.moves[k, a, b] + self._stage[t, k, b])
                    if t == len(self._into) - 1:
                        each += int(kinds.homeward[k, b])
                    if each:
                        terms.append(each * flow)
        return sum(terms)

    def _of_kept(self) -> int:
        """Return what the pieces that go where they go cost."""
        kinds, total = self._kinds, 0
        for k, rows in self._kept.items():
            for row in rows.tolist():
                places = [int(kinds.begins[k]), *row]
                total += sum(int(kinds.moves[k, a, b]) for a, b in pairwise(places))
                total += sum(int(self._stage[t, k, place]) for t, place in enumerate(row))
                total += int(kinds.homeward[k, places[-1]])
        return total

    def read(self, solver: Any) -> Ints:
        """Return where every piece stands: of a kind each goes on from where it is, as many as flow from there."""
        kinds = self._kinds
        rows: list[list[int]] = []
        for k, count in enumerate(kinds.count):
            if k in self._kept:
                rows += self._kept[k].tolist()
                continue
            here = [int(kinds.begins[k])] * int(count)
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
