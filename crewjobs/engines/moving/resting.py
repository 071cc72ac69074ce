"""A plan in which as little as can be is carried while all waits: what may as well be carried on the next day of work is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Kinds
from crewjobs.engines.moving.model import MovingPlan, MovingProblem, Stage
from crewjobs.engines.moving.orders import Orders
from crewjobs.engines.moving.standing import Stands, counted
from crewjobs.engines.moving.step import Step


def rested(problem: MovingProblem, plan: MovingPlan) -> MovingPlan:
    """Return a plan that costs no more, with everything left standing through a wait where the wait allows it."""
    kinds = Kinds(problem)
    stands = Stands(kinds)
    steps = Orders(kinds).steps_of([sum(1 << s for s in stage.worked) for stage in plan.stages])
    kind_of = {number: kind for kind, members in enumerate(kinds.members) for number in members}
    stages, cost = [*plan.stages], _cost(problem, kinds, kind_of, steps, plan.stages)
    for number, step in enumerate(steps):
        if step.worked or step.opening:
            continue
        before = stages[number - 1].at if number else tuple(piece.begins for piece in problem.pieces)
        allowed = kinds.stage(step)
        at = tuple(
            there if allowed[kind_of[i], there] < NEVER else here
            for i, (there, here) in enumerate(zip(before, stages[number].at, strict=True))
        )
        trial = [*stages[:number], Stage(worked=frozenset(), at=at), *stages[number + 1 :]]
        counts = counted(kinds, at)
        if at == stages[number].at or np.any(kinds.footprint @ counts > kinds.floor(step)):
            continue
        price = _cost(problem, kinds, kind_of, steps, trial)
        if price <= cost and stands.stage(step, counts) is not None:
            stages, cost = trial, price
    return replace(plan, stages=tuple(stages))


def _cost(
    problem: MovingProblem, kinds: Kinds, kind_of: dict[int, int], steps: Sequence[Step], stages: Sequence[Stage]
) -> int:
    """Return what carrying and nights cost."""
    total = 0
    for i, piece in enumerate(problem.pieces):
        places = [piece.begins, *(stage.at[i] for stage in stages), piece.home]
        total += sum(piece.moves[a][b] for a, b in pairwise(places))
        total += sum(int(kinds.stage(step)[kind_of[i], stage.at[i]]) for step, stage in zip(steps, stages, strict=True))
    return total
