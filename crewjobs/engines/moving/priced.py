"""A complete order bounded by prices on floor and on beds: what no plan in that order costs less than.

Lagrangian relaxation: what stands in a place beyond its capacity costs a price a square foot, a bed in a place that sleeps
earns one. Each piece then takes its own cheapest way through the stages, and the sum, less what the prices stand for,
is a bound for every set of prices. They are moved against what is exceeded (Polyak's step), as in M. L. Fisher, "The
Lagrangian relaxation method for solving integer programming problems", Management Science 27 (1981).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from crewjobs.engines.moving.kinds import NEVER, Floats, Ints, Kinds
from crewjobs.engines.moving.step import Step, numbers

STEPS = 80
"""Times the prices are moved."""
STALLS = 6
"""Times without a better bound after which the steps are made smaller."""


@dataclass(frozen=True, slots=True)
class Priced:
    """The best prices found and what follows from them; arrays by stage, then kind, then place.

    `bound` is what no plan in this order costs less than, setups left out. `forward` is what a piece of a kind has cost at least when
    it stands in a place in a stage, `backward` what it costs at least from there on, both with prices.
    """

    bound: float
    stages: Floats
    forward: Floats
    backward: Floats
    price: Floats
    earns: Floats

    @property
    def alone(self) -> Floats:
        """Return what one piece of each kind costs at least, with prices."""
        found: Floats = (self.forward[0] + self.backward[0]).min(axis=1)
        return found


Known = dict[Step, tuple[Floats, float]]
"""Prices of stages met before: a square foot in each place, and what a bed that sleeps earns."""


def floor_of(kinds: Kinds, order: Sequence[Step]) -> Ints:
    """Return how much may stand in each place in each stage, whichever way the crew takes; shape (stages, places)."""
    floor: Ints = np.array([kinds.floor(step) for step in order], dtype=np.int64)
    for t, step in enumerate(order):
        for place in numbers(kinds.always(step)):
            floor[t, place] = min(floor[t, place], kinds.as_passage[place])
    return floor


def priced(
    kinds: Kinds, order: Sequence[Step], upper: int, known: Known, *, steps: int = STEPS, before: Priced | None = None
) -> Priced:
    """Return a bound for an order, and the prices it was found with; `upper` is what a plan costs, setups left out.

    `known` are the prices of stages met before: orders have most of their stages in common, and so the prices. The best
    ones are kept there. `before` is what was found for this order already.
    """
    plain: Floats = np.array([kinds.stage(step) for step in order], dtype=np.float64)
    floor = floor_of(kinds, order)
    beds: Ints = np.array([kinds.beds(step) for step in order], dtype=np.int64)
    sleeping: Floats = np.array([np.outer(kinds.bed, kinds.sleeps_in(step)) for step in order], dtype=np.float64)
    price: Floats = np.zeros(floor.shape)
    earns: Floats = np.zeros(len(order))
    for t, step in enumerate(order):
        if step in known:
            price[t], earns[t] = known[step]
    if before is not None:
        price, earns = before.price.copy(), before.earns.copy()
    best: Priced | None = None
    scale, stalled = 1.0, 0
    for _ in range(max(1, steps)):
        stages = plain + kinds.footprint[None, :, None] * price[:, None, :] - earns[:, None, None] * sleeping
        forward, taken = _cheapest(kinds, stages)
        ends = forward[-1] + kinds.homeward
        last = ends.argmin(axis=1)
        each = ends[np.arange(len(last)), last]
        value = float(each @ kinds.count) - float((price * floor).sum()) + float(earns @ beds)
        if best is None or value > best.bound + 1e-9:
            best, stalled = Priced(value, stages, forward, forward, price, earns), 0
        else:
            stalled += 1
            if stalled == STALLS:
                scale, stalled = scale * 0.6, 0
        load, slept = _loads(kinds, taken, last, sleeping)
        over = load - floor
        short = beds - slept
        over[(over < 0) & (price <= 0)] = 0
        short[(short < 0) & (earns <= 0)] = 0
        size = float((over**2).sum() + (short**2).sum())
        if size == 0 or value >= upper - 1e-6:
            break
        target = upper if upper < NEVER / 2 else value + 0.05 * abs(value) + kinds.problem.setup  # no plan is known yet
        pace = scale * max(1.0, target - value) / size
        price = np.maximum(0.0, price + pace * over)
        earns = np.maximum(0.0, earns + pace * short)
    assert best is not None
    for t, step in enumerate(order):
        known[step] = best.price[t], float(best.earns[t])
    if before is not None and before.bound >= best.bound:
        return before
    return replace(best, backward=_backward(kinds, best.stages))


def _cheapest(kinds: Kinds, stages: Floats) -> tuple[Floats, Ints]:
    """Return what each kind costs at least in each stage and place, and from which place it came there."""
    count = len(stages)
    forward: Floats = np.empty((count, *kinds.size))
    came: Ints = np.zeros((count, *kinds.size), dtype=np.int64)
    cost: Floats = kinds.start.astype(np.float64)
    for t in range(count):
        ways = cost[:, :, None] + kinds.moves
        came[t] = ways.argmin(axis=1)
        cost = np.take_along_axis(ways, came[t][:, None, :], axis=1)[:, 0, :] + stages[t]
        forward[t] = cost
    return forward, came


def _backward(kinds: Kinds, stages: Floats) -> Floats:
    backward: Floats = np.empty(stages.shape)
    backward[-1] = kinds.homeward
    for t in range(len(stages) - 2, -1, -1):
        backward[t] = (kinds.moves + (stages[t + 1] + backward[t + 1])[:, None, :]).min(axis=2)
    return backward


def _loads(kinds: Kinds, came: Ints, last: Ints, sleeping: Floats) -> tuple[Floats, Floats]:
    """Return what stands in each place, and how many beds sleep, in each stage where each kind takes its cheapest way."""
    count, places = len(came), kinds.size[1]
    load, slept = np.zeros((count, places)), np.zeros(count)
    at, every = last, np.arange(len(last))
    area = (kinds.footprint * kinds.count).astype(np.float64)
    for t in range(count - 1, -1, -1):
        load[t] = np.bincount(at, weights=area, minlength=places)
        slept[t] = (sleeping[t, every, at] * kinds.count).sum()
        at = came[t][every, at]
    return load, slept
