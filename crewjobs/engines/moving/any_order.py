"""What a house costs at least in any order: the stages side by side, without one coming before another.

A piece that stands somewhere in some stage has been carried there from where it started and is carried home: whatever the order, it
costs no less than that way there and back for the dearest place it stands in over all stages, and its nights. What
each stage can hold is kept exactly. Most plans carry every piece out once and back once, so this is often the cost of the
best plan, and then the proof for every order in one small model.
"""

from __future__ import annotations

from collections.abc import Callable, Container
from typing import Any

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Ints, Kinds
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.solving import run
from crewjobs.engines.moving.stage_rules import hold_stage
from crewjobs.engines.moving.step import Step, numbers
from crewjobs.engines.scheduling.solver import library


def bound_of_any_order(
    kinds: Kinds,
    orders: Orders,
    below: int,
    *,
    effort: float,
    stop: Callable[[], bool],
    only: Container[int] | None = None,
) -> int:
    """Return what no plan costs less than; `below` where it was proved that none costs less than that.

    `effort` is the solver's deterministic time. `only` are the sets (bits of sections) of which a plan that costs less
    consists, where that is known.
    """
    cp_model = library()
    model: Any = cp_model.CpModel()
    there_and_back = kinds.there_and_back
    chosen: dict[int, Any] = {}
    terms: list[Any] = []
    standing: list[dict[tuple[int, int], Any]] = []
    for worked in orders.all_sets:
        step = Step(worked=worked, curing=0, phase=kinds.phase_of_any_order(worked))
        if worked & orders.done or (only is not None and worked not in only) or not orders.possible(step):
            continue
        on = chosen[worked] = model.new_bool_var(f"set {worked}")
        terms.append(kinds.problem.setup * on)
        stage = kinds.stage(step)
        at: dict[tuple[int, int], Any] = {}
        for k, count in enumerate(kinds.count.tolist()):
            here = []
            for place in range(kinds.size[1]):
                if stage[k, place] < NEVER and there_and_back[k, place] < NEVER:
                    var = at[k, place] = model.new_int_var(0, count, f"y{k}.{worked}.{place}")
                    here.append(var)
                    if stage[k, place]:
                        terms.append(int(stage[k, place]) * var)
            model.add(sum(here) == count * on)
        hold_stage(model, kinds, step, at, str(worked), on)
        standing.append(at)
    for section in numbers(orders.everything & ~orders.done):
        holding = [on for worked, on in chosen.items() if worked >> section & 1]
        if not holding:
            return below
        model.add_exactly_one(holding)
    if not chosen:
        return 0
    terms += _ways(model, kinds, there_and_back, standing)
    total = sum(terms)
    model.add(total <= below - 1)
    model.minimize(total)
    solver = cp_model.CpSolver()
    solver.parameters.linearization_level = 2
    status = run(solver, model, effort, stop)
    if status == cp_model.INFEASIBLE:
        return below
    return min(below, int(np.ceil(solver.best_objective_bound - 1e-6)))


def _ways(model: Any, kinds: Kinds, there_and_back: Ints, standing: list[dict[tuple[int, int], Any]]) -> list[Any]:
    """Return what carrying costs at least: so many of a kind as stand that far in some stage are carried that far."""
    terms = []
    for k, count in enumerate(kinds.count.tolist()):
        levels = sorted({int(v) for v in there_and_back[k] if 0 < v < NEVER})
        before = 0
        for level in levels:
            far = model.new_int_var(0, count, f"far{k}.{level}")
            for at in standing:
                there = [var for (kind, place), var in at.items() if kind == k and there_and_back[k, place] >= level]
                if there:
                    model.add(far >= sum(there))
            terms.append((level - before) * far)
            before = level
    return terms
